"""Light that stations have measured, or typical years hold, beside the embedded climate."""

from __future__ import annotations

import csv
import dataclasses
import functools
from pathlib import Path

import numpy as np

from solarsim.weather.record import Place

__all__ = ["STATION_FILE", "StationLight", "near_stations", "station_lights"]

STATION_FILE = Path(__file__).resolve().parents[2] / "data" / "station_light.csv"
# What lies further away or higher has another sky.
_NEAR_KM = 40.0
_NEAR_M = 300.0
_MOST = 3
_KM_PER_DEG = 111.2


@dataclasses.dataclass(frozen=True)
class StationLight:
    """A station's months.

    Attributes
    ----------
    name, source : str
        Which, and whose data.
    light : str
        ``"measured"``, ``"modelled"`` from observed clouds, or ``"satellite"``.
    latitude_deg, longitude_deg, elevation_m : float
        Where.
    ghi_kwh_m2_day : tuple of float
        Mean daily irradiation, January first; NaN where it is not known.
    """

    name: str
    source: str
    light: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    ghi_kwh_m2_day: tuple[float, ...]


@functools.cache
def station_lights() -> tuple[StationLight, ...]:
    """Read all stations of the table that ships with the package."""
    with STATION_FILE.open(encoding="utf-8", newline="") as file:
        next(file)
        return tuple(
            StationLight(
                name=row["name"],
                source=row["source"],
                light=row["light"],
                latitude_deg=float(row["latitude_deg"]),
                longitude_deg=float(row["longitude_deg"]),
                elevation_m=float(row["elevation_m"]),
                ghi_kwh_m2_day=tuple(
                    float(row[f"ghi_{month:02d}"] or "nan") for month in range(1, 13)
                ),
            )
            for row in csv.DictReader(file)
        )


def near_stations(place: Place) -> tuple[StationLight, ...]:
    """Return up to three stations within 40 km and 300 m of height, the nearest first."""

    def distance_km(station: StationLight) -> float:
        east = (station.longitude_deg - place.longitude_deg + 180.0) % 360.0 - 180.0
        north = station.latitude_deg - place.latitude_deg
        shrink = np.cos(np.radians(place.latitude_deg))
        return float(_KM_PER_DEG * np.hypot(north, east * shrink))

    near = [
        station
        for station in station_lights()
        if distance_km(station) <= _NEAR_KM
        and abs(station.elevation_m - place.elevation_m) <= _NEAR_M
    ]
    return tuple(sorted(near, key=distance_km)[:_MOST])
