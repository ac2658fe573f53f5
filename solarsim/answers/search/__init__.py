"""The best builds of a space of parts: price, weight and days on the same weather."""
