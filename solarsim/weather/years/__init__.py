"""Hourly series over years: their quality, their windows, and where they are kept."""
