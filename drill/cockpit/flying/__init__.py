"""The flight screen: the panel, what is heard and told, and the line for orders."""
