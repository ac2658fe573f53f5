"""A stay in words and pictures."""
