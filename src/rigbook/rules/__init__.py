"""Measures, packs, findings."""
