"""The roof's tests use the solar room's weather made by hand."""

from tests.solar.conftest import make_panels, make_weather

__all__ = ["make_panels", "make_weather"]
