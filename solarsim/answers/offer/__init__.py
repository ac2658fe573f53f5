"""The offer: what a builder hands over before the order."""
