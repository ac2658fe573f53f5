"""Real years in words and pictures."""
