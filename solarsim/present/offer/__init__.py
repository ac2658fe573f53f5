"""The offer in words, tables and files."""
