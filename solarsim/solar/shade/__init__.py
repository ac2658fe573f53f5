"""What stands on the roof, as factors on power."""
