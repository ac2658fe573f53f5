"""The climate of a place in Python."""

from __future__ import annotations

import dataclasses

import pandas as pd

from solarsim.answers.climate import ClimateAnswer
from solarsim.cards import Card
from solarsim.present.climate.chart import climate_figure
from solarsim.present.climate.text import climate_document
from solarsim.present.words import month_name
from solarsim.weather.climate.monthly import MonthRow

__all__ = ["card", "document", "figure", "frame"]

document = climate_document
figure = climate_figure


def card(answer: ClimateAnswer) -> Card:
    """Return the darkest, brightest, coldest and warmest month."""
    place, months = answer.place, answer.months
    darkest = min(months, key=lambda month: month.ghi_kwh_m2_day)
    brightest = max(months, key=lambda month: month.ghi_kwh_m2_day)
    coldest = min(months, key=lambda month: month.temp_air_c)
    warmest = max(months, key=lambda month: month.temp_air_c)
    return Card(
        f"Light and temperature at {place.name}",
        [
            (
                "place",
                f"{place.latitude_deg:.3f}, {place.longitude_deg:.3f}; {place.elevation_m:.0f} m; "
                f"{place.timezone}",
            ),
            ("darkest", f"{month_name(darkest.month)}, {_light(darkest)}"),
            ("brightest", f"{month_name(brightest.month)}, {_light(brightest)}"),
            ("coldest", f"{month_name(coldest.month)}, mean {coldest.temp_air_c:z.1f} C"),
            ("warmest", f"{month_name(warmest.month)}, mean {warmest.temp_air_c:z.1f} C"),
            *(("doubt", doubt) for doubt in answer.doubts[:3]),
        ],
    )


def frame(answer: ClimateAnswer) -> pd.DataFrame:
    """Return one row a month; ``kt_`` columns are clearness indices, H/H0."""
    return pd.DataFrame([dataclasses.asdict(month) for month in answer.months])


def _light(month: MonthRow) -> str:
    return f"{month.ghi_kwh_m2_day:.2f} kWh/m2 a day"
