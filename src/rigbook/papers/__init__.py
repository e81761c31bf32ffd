"""Drawings and papers: only show."""
