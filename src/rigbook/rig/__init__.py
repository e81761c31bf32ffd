"""The worked-out vehicle: frozen, typed."""
