"""Mass, axles, balance."""
