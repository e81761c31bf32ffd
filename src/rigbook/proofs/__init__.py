"""What holds in every reachable state."""
