"""Parts, labour, total."""
