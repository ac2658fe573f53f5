"""What the buyer's page holds."""
