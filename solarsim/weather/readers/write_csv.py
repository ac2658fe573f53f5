"""Hourly weather written as plain CSV that states its place, clock and units itself."""

from __future__ import annotations

import io

import numpy as np
import pandas as pd

from solarsim.inputs.files.cells import safe_cell
from solarsim.weather.years.series import YearSeries

__all__ = ["plain_csv"]


def plain_csv(series: YearSeries) -> str:
    """Return a series as text that `solarsim.weather.readers.file.read_weather_file` reads back."""
    place = series.place
    site = "".join(c if c.isprintable() else " " for c in place.name)
    out = io.StringIO()
    for key, value in (
        ("site", site[:150] or "-"),
        ("latitude", f"{place.latitude_deg:.6g}"),
        ("longitude", f"{place.longitude_deg:.6g}"),
        ("elevation_m", f"{place.elevation_m:.6g}"),
        ("stamp", "start"),
        ("typical_year", "yes" if series.typical else "no"),
    ):
        out.write(f"# {key} = {safe_cell(value)}\n")
    table = pd.DataFrame(
        {
            "time": [stamp.isoformat() for stamp in series.times],
            "ghi_w_m2": series.ghi_w_m2,
            "dni_w_m2": series.dni_w_m2,
            "dhi_w_m2": series.dhi_w_m2,
            "temp_air_c": series.temp_air_c,
            "wind_speed_m_s": series.wind_speed_m_s,
            "relative_humidity_pct": 100.0 * series.relative_humidity,
            "albedo": series.albedo,
            "precipitation_mm": np.where(series.snowfall_mm > 0.0, series.snowfall_mm, 0.0),
        }
    )
    table.to_csv(out, index=False, float_format="%.6g", lineterminator="\n")
    return out.getvalue()
