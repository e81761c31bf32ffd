"""The order of the run; one assessment out."""
