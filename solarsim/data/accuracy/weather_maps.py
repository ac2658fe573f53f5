"""Maps of how far the climate is off, by season: light at stations, temperature in 10 degrees."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np

from solarsim.data.accuracy.regions import SEASONS, light_points, temperature_cells
from solarsim.present.error_maps import Point, error_maps
from solarsim.weather.outlines import Box

__all__ = ["DRAWN_FROM", "FOLDER", "MAPS", "digest", "draw_maps"]

FOLDER = Path(__file__).parent
# What each picture shows and the sum of its file: drawing packages differ in their bytes.
DRAWN_FROM = FOLDER / "weather_maps.json"
_MONTHS = ("January", "April", "July", "October")
_COLOURS = 32
_WIDTH_PX = 900
# North America, central Europe and Japan: there are light measurements, or years made of them.
_WITH_STATIONS = (
    Box(18.0, -168.0, 72.0, -62.0),
    Box(44.5, 2.5, 56.5, 17.0),
    Box(23.0, 123.0, 46.5, 146.5),
)
_WORLD = (Box(-57.0, -179.9, 79.9, 179.9),)
# Beyond these a mark says on which side it lies: shares of the light, and C.
_LIGHT_NEAR, _TEMPERATURE_NEAR_C = 0.1, 1.0


def light_by_season() -> list[list[Point]]:
    """Longitude, latitude and error of the light as a share, of each point, season by season."""
    points = light_points()
    return [
        [
            (round(p.longitude_deg, 1), round(p.latitude_deg, 1), round(float(p.ratio[at]) - 1, 2))
            for p in points
            if np.isfinite(p.ratio[at])
        ]
        for at in range(len(SEASONS))
    ]


def temperature_by_season() -> list[list[Point]]:
    """Longitude, latitude and mean error, C, of each cell, season by season."""
    middles, errors_c = temperature_cells()
    return [
        [
            (float(longitude), float(latitude), round(float(error_c), 1))
            for (latitude, longitude), error_c in zip(middles, errors_c[:, at], strict=True)
        ]
        for at in range(len(_MONTHS))
    ]


def light_map(seasons: Sequence[Sequence[Point]]) -> bytes:
    """Draw the light's errors as a PNG."""
    names = ("10 % and more too dark", "within 10 %", "10 % and more too bright")
    title = "Light of the embedded climate against stations"
    return error_maps(seasons, SEASONS, _LIGHT_NEAR, names, _WITH_STATIONS, title)


def temperature_map(seasons: Sequence[Sequence[Point]]) -> bytes:
    """Draw the temperature's errors as a PNG."""
    names = ("1 C and more too cold", "within 1 C", "1 C and more too warm")
    title = "Temperature of the embedded climate against stations, in 10-degree cells"
    return error_maps(seasons, _MONTHS, _TEMPERATURE_NEAR_C, names, _WORLD, title)


Map = tuple[Callable[[], list[list[Point]]], Callable[[Sequence[Sequence[Point]]], bytes]]
MAPS: dict[str, Map] = {
    "weather_light.png": (light_by_season, light_map),
    "weather_temperature.png": (temperature_by_season, temperature_map),
}


def digest(points: list[list[Point]]) -> str:
    """Sum of what a picture shows."""
    return hashlib.sha256(json.dumps(points).encode()).hexdigest()


def draw_maps() -> None:
    """Draw both maps beside this file, and write down what they show."""
    said = {}
    for name, (points_of, drawn) in MAPS.items():
        points = points_of()
        content = _small(drawn(points))
        (FOLDER / name).write_bytes(content)
        said[name] = {"shows": digest(points), "sha256": hashlib.sha256(content).hexdigest()}
        print(f"{name}: {len(content) / 1000:.0f} kB")
    DRAWN_FROM.write_text(json.dumps(said, indent=1) + "\n", encoding="utf-8")


def _small(content: bytes) -> bytes:
    import io

    from PIL import Image

    picture = Image.open(io.BytesIO(content)).convert("RGB")
    height = round(picture.height * _WIDTH_PX / picture.width)
    picture = picture.resize((_WIDTH_PX, height), Image.Resampling.LANCZOS)
    out = io.BytesIO()
    picture.quantize(_COLOURS, Image.Quantize.MAXCOVERAGE, dither=Image.Dither.NONE).save(
        out, "PNG", optimize=True
    )
    return out.getvalue()
