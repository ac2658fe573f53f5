import pytest
from hypothesis import given
from hypothesis import strategies as st

from solarsim.weather.elevation import grid_elevation_m, lookup_elevation_m
from solarsim.weather.places import find_place


def test_elevations_are_near_the_truth():
    # Published heights: Denver 1609 m, La Paz 3640 m (from memory), Amsterdam about 0.
    assert lookup_elevation_m(39.74, -104.99) == pytest.approx(1609, abs=60)
    assert lookup_elevation_m(-16.5, -68.15) == pytest.approx(3640, abs=300)
    assert lookup_elevation_m(52.37, 4.89) == pytest.approx(0.0, abs=30)
    assert lookup_elevation_m(0.0, -30.0) == 0.0
    # Beside deep water, and in a real depression (Calipatria, California, -55 m; from memory).
    assert -20.0 <= find_place("Puerto Vallarta").elevation_m <= 100.0
    assert find_place("Calipatria, US").elevation_m == pytest.approx(-55, abs=30)


@pytest.mark.parametrize(
    ("town", "height_m"),
    # Heights of the towns, from memory.
    [("Innsbruck", 574), ("Aosta", 583), ("Bolzano", 262), ("Salzburg", 424), ("Lienz", 673)],
)
def test_towns_in_narrow_valleys_lie_on_their_floor(town, height_m):
    assert find_place(town).elevation_m == pytest.approx(height_m, abs=80)


def test_airfields_on_the_rim_of_a_canyon_do_not_lift_the_town():
    # La Paz lies 400 m below its airport, which is five kilometres away.
    assert lookup_elevation_m(-16.5, -68.15) < 4000.0


def test_without_airfields_the_grid_remains():
    # The Empty Quarter, 19.5 N 51 E.
    assert lookup_elevation_m(19.5, 51.0) == pytest.approx(grid_elevation_m(19.5, 51.0), abs=15)


@given(st.floats(-90, 90), st.floats(-180, 180))
def test_any_point_has_a_height(latitude, longitude):
    assert -450.0 <= lookup_elevation_m(latitude, longitude) <= 6600.0
