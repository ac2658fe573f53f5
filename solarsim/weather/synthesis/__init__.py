"""Runs drawn from the climate."""
