import typing

import numpy as np
import pytest

from solarsim.errors import InputError
from solarsim.inputs.stay import Stay
from solarsim.solar.parking import PARKINGS, Parking, beam_share, parking_named, sky_view_share


def test_presets_are_those_that_a_stay_offers():
    assert list(PARKINGS) == list(typing.get_args(Stay.model_fields["parking"].annotation))


@pytest.mark.parametrize("name", list(PARKINGS))
def test_sectors_fill_the_compass(name):
    parking = PARKINGS[name]
    assert sum(share for share, _ in parking.sectors) == pytest.approx(1.0, abs=1e-12)
    assert 0.0 < parking.wind_share <= 1.0
    assert parking.source


@pytest.mark.parametrize("horizon_deg", [0.0, 20.0, 45.0, 70.0, 90.0])
def test_sky_view_is_the_integral_over_the_sky_that_is_left(horizon_deg):
    elevation = np.radians(np.linspace(horizon_deg, 90.0, 20001))
    flux = 2.0 * np.sin(elevation) * np.cos(elevation)
    expected = np.trapezoid(flux, elevation)
    even = Parking(sectors=((1.0, horizon_deg),), wind_share=1.0, source="test")
    assert sky_view_share(even) == pytest.approx(expected, abs=1e-7)


def test_open_field_hides_nothing_and_every_other_place_something():
    zenith = np.linspace(0.0, 89.9, 200)
    assert (beam_share(PARKINGS["open field"], zenith) == 1.0).all()
    for name in ("scattered trees", "forest edge", "street canyon"):
        share = beam_share(PARKINGS[name], zenith)
        assert share[0] == pytest.approx(1.0)
        assert (np.diff(share) <= 1e-12).all()
        assert share[-1] == 0.0
        assert sky_view_share(PARKINGS[name]) < 1.0


def test_unknown_preset_is_told_with_all_known():
    with pytest.raises(InputError, match="'street canyon'") as caught:
        parking_named("car park")
    assert caught.value.field == "stay.parking"
