"""Questions that a builder asks."""
