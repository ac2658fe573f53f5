"""What the builder describes, read from files and written to them."""
