"""Assets for pages and papers."""
