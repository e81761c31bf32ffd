"""Text to SI floats and back: the edge where units live."""
