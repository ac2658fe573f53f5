"""The list of what to buy in words, tables and files."""
