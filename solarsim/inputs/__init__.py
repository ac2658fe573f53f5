"""What the builder describes."""
