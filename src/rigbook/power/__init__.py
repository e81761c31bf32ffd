"""Currents, conductors, protection, supply."""
