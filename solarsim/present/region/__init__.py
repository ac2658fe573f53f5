"""A region in words, tables and maps."""
