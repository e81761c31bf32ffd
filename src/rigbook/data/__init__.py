"""Tables as printed, bibliography, rule packs, example shop."""
