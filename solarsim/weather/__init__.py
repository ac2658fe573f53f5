"""Weather runs from climate or files."""
