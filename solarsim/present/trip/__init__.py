"""A trip in words, tables and pictures."""
