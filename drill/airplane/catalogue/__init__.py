"""The failures that can be asked for, as data, a module for each system."""
