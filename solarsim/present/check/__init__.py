"""The electrical check in words and tables."""
