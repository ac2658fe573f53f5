"""Demand, sources, bank and dispatch."""
