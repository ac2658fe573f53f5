"""Build the climate bundle and the towns."""
