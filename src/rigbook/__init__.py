"""One book for each rig."""

__version__ = "0.1.0"
