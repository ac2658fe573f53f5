"""From what a client says to a load profile."""
