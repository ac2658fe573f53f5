"""How a bright or dim hour lingers into the next, beside three public typical years.

The years are those that pvlib ships: Greensboro (TMY3), Sand Point (TMY3) and Miami (TMY2). Their
light is measured in part and modelled from observed cloud in part.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pandas as pd
import pvlib
import pytest

from solarsim.weather.readers.file import read_weather_file
from solarsim.weather.synthesis.hourly_light import hourly_light, profile_weights

DATA = Path(pvlib.__file__).parent / "data"
RUNS = 20
# Days of broken cloud; with a low sun there are too few hours to tell.
BROKEN_KT = (0.2, 0.6)
LEAST_WH_M2 = 4000.0
LIT_W_M2 = 150.0


def sky_of(series):
    """Zenith's cosine, extraterrestrial normal light and smooth profile, ``(days, 24)`` each."""
    place, mid = series.place, series.times + pd.Timedelta(minutes=30)
    sun = pvlib.solarposition.get_solarposition(mid, place.latitude_deg, place.longitude_deg)
    cosine = np.maximum(np.cos(np.radians(sun["zenith"].to_numpy())), 0.0)
    # Duffie and Beckman, equation 1.4.1a.
    extra = 1361.0 * (1.0 + 0.033 * np.cos(2.0 * np.pi * mid.day_of_year.to_numpy() / 365.0))
    turned = sun["equation_of_time"].to_numpy()
    angle = np.radians(pvlib.solarposition.hour_angle(mid, place.longitude_deg, turned))
    declination = np.asarray(pvlib.solarposition.declination_spencer71(mid.day_of_year))
    sunset = np.arccos(-np.tan(np.radians(place.latitude_deg)) * np.tan(declination))
    smooth = profile_weights(angle, sunset) * cosine * extra
    return cosine.reshape(-1, 24), extra.reshape(-1, 24), smooth.reshape(-1, 24)


def lingering(ghi, smooth, above):
    """Correlation of neighbouring hours' log ratio to the smooth profile, about the day's mean."""
    scaled = smooth / smooth.sum(axis=1, keepdims=True) * ghi.sum(axis=1, keepdims=True)
    earlier, later = [], []
    for day in range(len(ghi)):
        hours = np.flatnonzero(above[day] > LIT_W_M2)[1:-1]
        ratio = np.log(np.maximum(ghi[day, hours], 1.0) / scaled[day, hours])
        ratio -= ratio.mean()
        earlier.append(ratio[:-1])
        later.append(ratio[1:])
    return np.corrcoef(np.concatenate(earlier), np.concatenate(later))[0, 1]


@pytest.mark.one_plain
@pytest.mark.parametrize(
    ("name", "in_the_year"),
    [("723170TYA.CSV", 0.39), ("703165TY.csv", 0.36), ("12839.tm2", 0.37)],
)
def test_a_bright_hour_lingers_as_in_typical_years(name, in_the_year):
    series = read_weather_file(DATA / name)
    cosine, extra, smooth = sky_of(series)
    above = cosine * extra
    ghi = series.ghi_w_m2.reshape(-1, 24)
    kt = ghi.sum(axis=1) / above.sum(axis=1)
    days = (BROKEN_KT[0] < kt) & (kt < BROKEN_KT[1]) & (above.sum(axis=1) > LEAST_WH_M2)
    ghi, above, smooth, kt = ghi[days], above[days], smooth[days], kt[days]
    assert lingering(ghi, smooth, above) == pytest.approx(in_the_year, abs=0.02)

    light = hourly_light(
        np.tile(ghi.sum(axis=1), (RUNS, 1)),
        np.tile(kt, (RUNS, 1)),
        np.random.default_rng(1).standard_normal((RUNS, *ghi.shape)),
        profile=smooth,
        cosine=cosine[days],
        extra_w_m2=extra[days],
        clear_ghi_w_m2=0.82 * above,
        clear_dni_w_m2=np.full_like(above, 900.0),
    )
    drawn = lingering(
        light.ghi_w_m2.reshape(-1, 24), np.tile(smooth, (RUNS, 1)), np.tile(above, (RUNS, 1))
    )
    # The day's fixed total makes neighbours look less alike than they are drawn: independent hours
    # come out near -0.12, a correlation of 0.3 at 0.12 and one of 0.8 above 0.5.
    assert drawn == pytest.approx(in_the_year, abs=0.1)
