"""The best builds that a search found: words, table, document, van files."""
