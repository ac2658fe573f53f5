"""Voltage, current, cable and fuse checks of one van, from published rules."""
