"""One schema for each kind of document."""
