"""The embedded climate of a place."""
