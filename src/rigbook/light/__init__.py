"""Light: photometric files, lamps as sources, warning by zone, light around the vehicle, scene light, colour."""
