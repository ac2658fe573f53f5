"""For every test: no example is failed for the time it takes."""

from hypothesis import settings

settings.register_profile("solarsim", deadline=None)
settings.load_profile("solarsim")
