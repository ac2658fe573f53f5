"""Clear sky, the split into beam and diffuse, and the light on a tilted panel."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pandas as pd

from solarsim.arrays import FloatArray
from solarsim.data.accuracy.comparison import Comparison
from solarsim.solar.light import beam_factors, plane_light
from solarsim.solar.parking import PARKINGS
from solarsim.weather.record import Place
from solarsim.weather.sky.clear_sky import clear_light
from solarsim.weather.sky.sun import sun_at_mid_hour
from solarsim.weather.synthesis.hourly_light import diffuse_share, hourly_light

__all__ = ["COMPARISONS", "split_hour", "textbook_sun_deg", "tilted_w_m2"]

_BECKMAN = "Duffie & Beckman, Solar Engineering of Thermal Processes"
_ERBS = "Erbs, Klein & Duffie 1982, pvlib 0.16's tests"
_INEICHEN = "Ineichen & Perez 2002, pvlib 0.16's tests"


def split_hour(ghi_w_m2: float, zenith_deg: float, date: str) -> tuple[float, float]:
    """Direct normal and diffuse irradiance of one hour, through the day's own function."""
    place = Place("", 0.0, 0.0, 0.0, "Etc/UTC", 0.0)
    extra_w_m2 = sun_at_mid_hour(place, pd.DatetimeIndex([date], tz="UTC")).dni_extra_w_m2[0]
    only = np.zeros((1, 24))
    only[0, 12] = 1.0
    light = hourly_light(
        np.array([[ghi_w_m2]]),
        np.array([[0.5]]),
        np.zeros((1, 1, 24)),
        profile=only,
        cosine=only * max(float(np.cos(np.radians(zenith_deg))), 0.0),
        extra_w_m2=np.full((1, 24), extra_w_m2),
        clear_ghi_w_m2=only * 2000.0,
        clear_dni_w_m2=only * 2000.0,
    )
    return float(light.dni_w_m2[0, 0, 12]), float(light.dhi_w_m2[0, 0, 12])


def textbook_sun_deg(
    latitude_deg: float, declination_deg: float, hour_angle_deg: float
) -> tuple[float, float]:
    """Zenith and azimuth (from north) for a worked example's own declination."""
    latitude, declination, angle = np.radians([latitude_deg, declination_deg, hour_angle_deg])
    up = np.sin(latitude) * np.sin(declination)
    up += np.cos(latitude) * np.cos(declination) * np.cos(angle)
    east = -np.cos(declination) * np.sin(angle)
    north = np.cos(latitude) * np.sin(declination)
    north -= np.sin(latitude) * np.cos(declination) * np.cos(angle)
    return float(np.degrees(np.arccos(up))), float(np.degrees(np.arctan2(east, north)) % 360.0)


def tilted_w_m2(tilt_deg: float, azimuth_deg: float = 180.0, **light: float) -> float:
    """Plane-of-array irradiance in the open; an even sky unless told the sun above it."""
    fields = {
        "ghi_w_m2": 0.0,
        "dni_w_m2": 0.0,
        "dhi_w_m2": 0.0,
        # So much light above the atmosphere leaves no share of the sky's around the sun.
        "dni_extra_w_m2": 1e15,
        "albedo": 0.0,
        "zenith_deg": 45.0,
        "sun_azimuth_deg": 180.0,
    } | light
    arrays = {name: np.array([[value]]) for name, value in fields.items()}
    found = plane_light(
        **arrays, tilt_deg=tilt_deg, azimuth_deg=azimuth_deg, parking=PARKINGS["open field"]
    )
    return float(found.poa_w_m2[0, 0])


def _incidence_deg() -> float:
    zenith, azimuth = textbook_sun_deg(43.0, -14.0, -22.5)
    projection, _ = beam_factors(np.array([zenith]), np.array([azimuth]), 45.0, 195.0)
    return float(np.degrees(np.arccos(projection[0])))


def _beam_ratio(
    latitude_deg: float, declination_deg: float, hour_angle_deg: float, plane: tuple[float, float]
) -> float:
    zenith, azimuth = textbook_sun_deg(latitude_deg, declination_deg, hour_angle_deg)
    projection, _ = beam_factors(np.array([zenith]), np.array([azimuth]), *plane)
    return float(projection[0] / np.cos(np.radians(zenith)))


def _february_hour_mj() -> float:
    """D&B 2.15.1: all in MJ/m2 over the hour."""
    zenith, azimuth = textbook_sun_deg(40.0, -11.58, -37.5)
    return tilted_w_m2(
        60.0,
        ghi_w_m2=1.04,
        dhi_w_m2=0.796,
        dni_w_m2=0.244 / float(np.cos(np.radians(zenith))),
        albedo=0.6,
        zenith_deg=zenith,
        sun_azimuth_deg=azimuth,
    )


def _anisotropic_w_m2() -> float:
    """Sky light on the plane at noon on 2014-06-24: what is left when the beam is taken off."""
    place = Place("", 32.2, -111.0, 0.0, "America/Phoenix", -7.0)
    sun = sun_at_mid_hour(place, pd.DatetimeIndex(["2014-06-24 11:30-07:00"]))
    total = tilted_w_m2(
        40.0,
        ghi_w_m2=1042.48031487,
        dni_w_m2=939.95469881,
        dhi_w_m2=118.45831879,
        dni_extra_w_m2=1321.1655834833093,
        zenith_deg=float(sun.zenith_deg[0]),
        sun_azimuth_deg=float(sun.azimuth_deg[0]),
    )
    projection, _ = beam_factors(sun.zenith_deg, sun.azimuth_deg, 40.0, 180.0)
    return total - 939.95469881 * float(projection[0])


def _clear() -> tuple[float, float]:
    light = clear_light(np.array([10.0]), np.array([1.0]), np.array([3.0]), 0.0, np.array([1364.0]))
    return float(light.ghi_w_m2[0]), float(light.dni_w_m2[0])


def _share(clearness: float) -> float:
    share: FloatArray = diffuse_share(np.array([clearness]))
    return float(share[0])


def _sky(what: str, expected: float, got: Callable[[], float]) -> Comparison:
    return Comparison("clear sky", what, _INEICHEN, expected, 1e-3, "W/m2", got)


def _split(what: str, expected: float, got: Callable[[], float]) -> Comparison:
    return Comparison("beam and diffuse", what, _ERBS, expected, 0.01, "W/m2", got)


def _plane(
    what: str, source: str, expected: float, tolerance: float, unit: str, got: Callable[[], float]
) -> Comparison:
    return Comparison("light on a tilted panel", what, source, expected, tolerance, unit, got)


COMPARISONS: tuple[Comparison, ...] = (
    _sky("global, zenith 10, airmass 1, turbidity 3", 1038.159, lambda: _clear()[0]),
    _sky("direct normal, the same", 942.208, lambda: _clear()[1]),
    _split(
        "direct normal of 50 W/m2, zenith 85, 1 January",
        96.72,
        lambda: split_hour(50.0, 85.0, "2019-01-01")[0],
    ),
    _split(
        "direct normal of 1000 W/m2, zenith 10, 1 January",
        794.21,
        lambda: split_hour(1000.0, 10.0, "2019-01-01")[0],
    ),
    _split(
        "diffuse of 1000 W/m2, zenith 10, 20 June",
        170.79,
        lambda: split_hour(1000.0, 10.0, "2019-06-20")[1],
    ),
    Comparison(
        "beam and diffuse",
        "diffuse share at clearness 0.5",
        "Erbs, Klein & Duffie 1982",
        0.6591,
        5e-4,
        "",
        lambda: _share(0.5),
    ),
    # The book rounds the terms of the cosine.
    _plane(
        "angle of incidence, 43 N, 10:30, tilt 45, 15 W of S",
        f"{_BECKMAN}, example 1.6.1",
        35.0,
        0.2,
        "deg",
        _incidence_deg,
    ),
    _plane(
        "beam on the plane over beam on the flat, the same",
        f"{_BECKMAN}, example 1.8.1",
        1.66,
        0.01,
        "",
        lambda: _beam_ratio(43.0, -14.0, -22.5, (45.0, 195.0)),
    ),
    _plane(
        "the same, 40 N, 16 February, 9 to 10 h, tilt 50 S",
        f"{_BECKMAN}, example 1.8.3",
        1.79,
        0.01,
        "",
        lambda: _beam_ratio(40.0, -13.0, -37.5, (50.0, 180.0)),
    ),
    _plane(
        "hour on a plane of tilt 60 over snow, 40 N, 20 February",
        f"{_BECKMAN}, example 2.15.1",
        1.17,
        0.005,
        "MJ/m2",
        _february_hour_mj,
    ),
    _plane(
        "even sky of 100 W/m2, tilt 40",
        "pvlib 0.16's tests",
        88.302,
        1e-3,
        "W/m2",
        lambda: tilted_w_m2(40.0, ghi_w_m2=100.0, dhi_w_m2=100.0),
    ),
    _plane(
        "ground that reflects 0.2 of 1000 W/m2, tilt 45",
        "algebra: 1000 x 0.2 x (1 - cos 45) / 2",
        29.289,
        1e-3,
        "W/m2",
        lambda: tilted_w_m2(45.0, ghi_w_m2=1000.0, albedo=0.2),
    ),
    _plane(
        "sky around the sun included (Hay-Davies), tilt 40, 32 N, noon",
        "pvlib 0.16's tests",
        102.9949,
        1e-3,
        "W/m2",
        _anisotropic_w_m2,
    ),
)
