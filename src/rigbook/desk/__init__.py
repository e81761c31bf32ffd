"""A shop folder opened for work."""
