"""Light on the panels and power out of the controller."""
