"""Hourly solar-and-battery simulator for camper vans."""
