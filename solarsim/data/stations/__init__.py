"""Derive the station table of the tests."""
