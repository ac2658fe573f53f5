"""A battery monitor's log against the model."""
