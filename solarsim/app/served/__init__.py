"""The app as `solarsim app` serves it."""
