"""The roof in words and to scale."""
