"""The climate of a place, in words, as a document and drawn."""
