"""What a visitor uploads."""
