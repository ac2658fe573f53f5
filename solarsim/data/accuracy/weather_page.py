"""The page "How good the weather is, and where", made from the stations' data."""

from __future__ import annotations

from calendar import month_abbr
from collections.abc import Callable, Sequence
from pathlib import Path

from solarsim.arrays import IntArray
from solarsim.data.accuracy.measured_years import (
    MONTHS,
    days_percentile,
    drawn_spells,
    real_days,
    real_spells,
    share_of_at_least,
    spells,
)
from solarsim.data.accuracy.regions import SEASONS, RegionRow, light_rows, temperature_rows
from solarsim.weather.climate.doubts import DOUBTS

__all__ = ["WEATHER_PAGE", "weather_page"]

WEATHER_PAGE = Path(__file__).with_name("WEATHER.md")

_HEAD = """\
# How good the weather is, and where

The embedded climate beside what stations and satellites have seen, by region and season. Made by
`python -m solarsim.data.accuracy` from the tables in `tests/checks/data`; a test fails when this
page or its maps are stale. Sources and licences: `solarsim/data/NOTICE`. `solarsim climate` says
for a place what concerns it, and `solarsim weather get` fetches real years to hold it against.
"""

_LIGHT = """\
## Light

Ours over the station's, means of the sites; 1.00 is right. By itself a typical or single year's
season is off by 5 %. Only Japan's light and six of Germany's years are measured; others are
modelled from observed clouds or seen by satellites. In central Europe our light is the satellite's
of 2006 to 2025 (0.99 of a pyranometer at 55.8 N 12.5 E over 40 months). The typical years beside
it are older: by the satellite itself 1991 to 2007 was 4 % darker over the year and 7 % in winter.
In the north of Germany (Rostock, Hamburg, Potsdam) their winters have 0.8 of our light, as little
as the satellite's own darkest single years; whether those typical years or the satellite are at
fault is not settled. One of the six is a summit that stands in clouds. What the climate is worth
where no satellite helps, the reanalysis alone shows over the same grid. South of 24 N and in the
whole southern hemisphere no station's light was at hand.
"""

_TEMPERATURE = """\
## Temperature

Ours less the normals of the Japan Meteorological Agency's stations of the world, C; the half to
which nothing was fitted, and the share of their months within 2.5 C.
"""

_YEARS = """\
## Real years: days to empty and dull spells

A van of 400 W flat and 200 Ah (LFP) with a steady load of 50 W in air of 15 C, windows that start
in October to March of {years} single years (Golden 2011 to 2013, Craig 2017 and 2023: satellite
light). With the years' own monthly means the synthesis gives what the years gave; from the place
alone it also has the climate's error, and those years' own luck.
"""

_SPELLS = """\
Spells of days that belong to the darkest (dull) or brightest third of their month, as shares of all
such runs of days:
"""

_WHY = """\
Typical years hold no dull spell of a week, and more bright ones than ours. NREL's are chosen,
among other things, by the runs of days below the lower third of the light, and a month with the
longest run is left out (after Sandia's method, from memory); the German ones by rules of their
own, which are not known here. Single years do not have this fault, but are too few to tell 0.1 %
from 0.4 %. So the synthesis was left as it is: if it errs, its dull weeks are a little too
frequent, and its days a little too few.
"""


def weather_page() -> str:
    """Return the page as Markdown."""
    return "\n".join(
        [
            _HEAD,
            _LIGHT,
            *_table(("region", "sites", *SEASONS), [_light_cells(row) for row in light_rows()]),
            "",
            "The same by month, January first:",
            "",
            *_table(
                ("region", *(month_abbr[month] for month in range(1, 13))),
                [_month_cells(row) for row in light_rows()],
            ),
            "",
            "![Map of the light's error by season](weather_light.png)",
            "",
            _TEMPERATURE,
            *_table(
                ("region", "stations", "January", "April", "July", "October", "within 2.5 C"),
                [_temperature_cells(row) for row in temperature_rows()],
            ),
            "",
            "![Map of the temperature's error by month](weather_temperature.png)",
            "",
            _YEARS.format(years=len(real_days()) // len(MONTHS)),
            *_days_table(),
            "",
            _SPELLS,
            *_spells_table(),
            "",
            _WHY,
            "## Where not to trust it",
            "",
            *(f"{number}. **{one.name}.** {one.full}" for number, one in enumerate(DOUBTS, 1)),
            "",
        ]
    )


def _table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    lines = [heads, ["---"] * len(heads), *rows]
    return ["| " + " | ".join(cells) + " |" for cells in lines]


def _light_cells(row: RegionRow) -> list[str]:
    return [row.region, str(row.stations), *(f"{value:.2f}" for value in row.mean)]


def _month_cells(row: RegionRow) -> list[str]:
    assert row.months is not None
    return [row.region, *(f"{value:.2f}" for value in row.months)]


def _temperature_cells(row: RegionRow) -> list[str]:
    means = (f"{value:+.1f}".replace("-0.0", "0.0").replace("+0.0", "0.0") for value in row.mean)
    return [row.region, str(row.stations), *means, f"{100.0 * row.near:.0f} %"]


def _days_table() -> list[str]:
    kinds = (
        ("real years", None),
        ("ours, with their monthly means", True),
        ("ours, from the place alone", False),
    )
    chances = (10.0, 25.0, 50.0)
    rows = [
        [name, *(f"{days_percentile(chance, matched=matched):.1f}" for chance in chances)]
        for name, matched in kinds
    ]
    return _table(("days to empty", *(f"P{chance:.0f}" for chance in chances)), rows)


def _spells_table() -> list[str]:
    lengths = (3, 5, 7)
    kinds: dict[str, Callable[[str], IntArray]] = {
        "single years and a plane measured 2019 to 2023": real_spells,
        "typical years": lambda third: spells()["typical years", third],
        "ours": drawn_spells,
    }
    rows = []
    for third, label in (("dark", "dull"), ("bright", "bright")):
        for name, counts_of in kinds.items():
            counts = counts_of(third)
            shares = (f"{100.0 * share_of_at_least(counts, days):.1f} %" for days in lengths)
            rows.append([f"{label}, {name}", str(int(counts.sum())), *shares])
    return _table(("spells", "runs", *(f"{days} days and more" for days in lengths)), rows)
