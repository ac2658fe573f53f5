"""What fits on the roof, where, and what each obstacle costs."""
