"""The text: YAML with positions, one schema a kind, splice editing, differences."""
