"""Light: photometric files and distributions of luminous intensity."""
