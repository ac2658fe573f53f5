"""The sun, the clear sky and the turn of the year."""
