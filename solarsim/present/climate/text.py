"""The climate of a place on a terminal and as a document."""

from __future__ import annotations

import dataclasses
import math
from typing import Any

from rich.console import Console
from rich.table import Table

from solarsim.answers.climate import ClimateAnswer
from solarsim.inputs.percent import percent
from solarsim.present.stay.documents import place_document
from solarsim.present.stay.text import plain, print_list
from solarsim.present.words import month_name
from solarsim.weather.climate.stations import StationLight

__all__ = ["WHICH_JULY", "climate_document", "print_climate", "station_label"]

WHICH_JULY = (
    "A month's light is that of the whole month; mid is that of seven days in its middle, on which "
    "a week's stay is asked: `stay` tells the mean of its runs over those days, which chance "
    "leaves within 1 % of mid."
)


def station_label(station: StationLight) -> str:
    """Name a station with its data and their kind."""
    return f"{station.name}, {station.source} ({station.light})"


def climate_document(answer: ClimateAnswer) -> dict[str, Any]:
    """Return the document of `climate`: twelve months of light and temperature, and how sure."""
    stations = [
        dataclasses.asdict(station)
        | {
            "ghi_kwh_m2_day": [
                None if math.isnan(value) else value for value in station.ghi_kwh_m2_day
            ]
        }
        for station in answer.stations
    ]
    return {
        "schema": 1,
        "place": place_document(answer.place),
        "months": [dataclasses.asdict(month) for month in answer.months],
        "stations": stations,
        "source": answer.source,
        "about": WHICH_JULY,
        "doubts": list(answer.doubts),
    }


def print_climate(answer: ClimateAnswer, console: Console) -> None:
    """Print the months' light and temperature, how sure the light is, and where to doubt it."""
    place = answer.place
    table = Table(title=f"Light and temperature at {place.name}", title_justify="left")
    table.add_column("month")
    for name in ("GHI", "KT P10", "KT P50", "KT P90", "air C", "min C", "max C", "snow"):
        table.add_column(name, justify="right")
    for row in answer.months:
        table.add_row(
            month_name(row.month)[:3],
            f"{row.ghi_kwh_m2_day:.2f}",
            *(f"{kt:.2f}" for kt in (row.kt_p10, row.kt_p50, row.kt_p90)),
            *(f"{t:z.1f}" for t in (row.temp_air_c, row.temp_min_c, row.temp_max_c)),
            percent(row.snow_share),
        )
    console.print(table)
    console.print(
        f"{place.latitude_deg:.3f}, {place.longitude_deg:.3f}; {place.elevation_m:.0f} m; "
        f"{place.timezone}. GHI is in kWh/m2 a day; KT is the clearness index of a day, H/H0; "
        "min and max are means of the days' extremes; snow is the share of days on which it falls "
        "or lies."
    )
    console.print()
    console.print(_light_table(answer))
    console.print(WHICH_JULY)
    console.print(
        "Dark and bright are the month in the darkest and the brightest year of ten; off is how "
        "far the month's mean may itself be off (standard deviation)."
    )
    console.print(plain(f"Source: {answer.source}."))
    print_list(
        "Stations nearby", tuple(station_label(station) for station in answer.stations), console
    )
    print_list("Where not to trust it", answer.doubts, console)


def _light_table(answer: ClimateAnswer) -> Table:
    table = Table(title="Light, and how sure it is, kWh/m2 a day", title_justify="left")
    table.add_column("month")
    for name in ("GHI", "mid", "dark", "bright", "off"):
        table.add_column(name, justify="right")
    for station in answer.stations:
        table.add_column(plain(f"{station.name}, {station.source.split()[0]}"), justify="right")
    for index, row in enumerate(answer.months):
        years = (row.ghi_p10_kwh_m2_day, row.ghi_p90_kwh_m2_day)
        table.add_row(
            month_name(row.month)[:3],
            *(f"{ghi:.2f}" for ghi in (row.ghi_kwh_m2_day, row.ghi_mid_kwh_m2_day, *years)),
            percent(row.ghi_error_share),
            *(_or_nothing(station.ghi_kwh_m2_day[index]) for station in answer.stations),
        )
    return table


def _or_nothing(value: float) -> str:
    return "" if math.isnan(value) else f"{value:.2f}"
