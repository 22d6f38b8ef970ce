"""Simulated pilots of several skills fly a scenario by the thousand: how hard it is. They are a model, not people."""
