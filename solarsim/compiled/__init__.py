"""Loops that are compiled once and kept."""
