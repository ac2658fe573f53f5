"""Embedded climate and places, and the script that builds them."""
