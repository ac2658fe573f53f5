"""Real years, not typical ones: how long a van lasts in them, and how long dull spells last.

A typical year cannot judge dull spells: its months are chosen, among other things, by the runs of
days below the lower third of the light, and a month with the longest run is left out (NREL's
typical meteorological years, after Sandia's method of 1978, from memory). Single years can; there
are few of them.
"""

from __future__ import annotations

import csv
import dataclasses
import functools
from pathlib import Path

import numpy as np

from solarsim.arrays import FloatArray, IntArray
from solarsim.data.accuracy.comparison import Comparison
from solarsim.data.accuracy.station_figures import all_days_to_empty, drawn_years
from solarsim.weather.climate.bundle import load_site_climate
from solarsim.weather.record import Place
from solarsim.weather.synthesis.daily import linked_days
from solarsim.weather.years.series import YearSeries

__all__ = [
    "COMPARISONS",
    "DAYS_FILE",
    "MONTHS",
    "SPELLS_FILE",
    "RealYear",
    "day_ranks",
    "days_percentile",
    "drawn_days",
    "drawn_spells",
    "in_mild_air",
    "real_days",
    "real_spells",
    "share_of_at_least",
    "spell_counts",
    "spells",
]

_TABLES = Path(__file__).resolve().parents[3] / "tests" / "checks" / "data"
DAYS_FILE = _TABLES / "measured_years.csv"
SPELLS_FILE = _TABLES / "dull_spells.csv"
# The dark half year: in the other every day lasts to the end.
MONTHS = (10, 11, 12, 1, 2, 3)
_LONGEST = 7
_YEARS = 12
_WINDOWS = 31 * 6
_DRAWN_YEARS = 400
_MONTH_OF_DAY = np.repeat(np.arange(12), [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])


@dataclasses.dataclass(frozen=True)
class RealYear:
    """A month of a site's real year: its light, and the days to empty of its windows."""

    site: str
    source: str
    place: Place
    month: int
    ghi_kwh_m2_day: float
    days: FloatArray


@functools.cache
def real_days() -> tuple[RealYear, ...]:
    """Read the table of days to empty."""
    with DAYS_FILE.open(encoding="utf-8", newline="") as file:
        next(file)
        return tuple(_real_year(row) for row in csv.DictReader(file))


def _real_year(row: dict[str, str]) -> RealYear:
    where = [
        float(row[name])
        for name in ("latitude_deg", "longitude_deg", "elevation_m", "utc_offset_h")
    ]
    latitude, longitude, elevation_m, offset_h = where
    zone = f"Etc/GMT{-offset_h:+.0f}"
    return RealYear(
        site=row["site"],
        source=row["source"],
        place=Place(row["site"], latitude, longitude, elevation_m, zone, offset_h),
        month=int(row["month"]),
        ghi_kwh_m2_day=float(row["ghi_kwh_m2_day"]),
        days=np.array([float(value) for value in row["days"].split()]),
    )


@functools.cache
def drawn_days(site: str, *, matched: bool) -> FloatArray:
    """Days to empty of our windows at a site, all months of the dark half year together.

    With `matched` the climate's months have the light of the real years' months.
    """
    rows = [row for row in real_days() if row.site == site]
    climate = load_site_climate(rows[0].place)
    if matched:
        ghi = climate.ghi_kwh_m2_day.copy()
        for month in MONTHS:
            ghi[month - 1] = np.mean([row.ghi_kwh_m2_day for row in rows if row.month == month])
        climate = dataclasses.replace(climate, ghi_kwh_m2_day=ghi)
    series = in_mild_air(drawn_years(rows[0].place, climate, _YEARS, seed=11))
    return np.concatenate([all_days_to_empty(series, month, windows=_WINDOWS) for month in MONTHS])


def in_mild_air(series: YearSeries) -> YearSeries:
    """Put a series into air of 15 C, so that light alone tells its years apart.

    Near freezing, where a lithium bank takes no charge, a kelvin changes days more than the light.
    """
    return dataclasses.replace(series, temp_air_c=np.full(len(series.times), 15.0))


def day_ranks(daily: FloatArray, month_of_day: IntArray) -> FloatArray:
    """Rank of each day among those of its month, 0 to 1; NaN where it is not known."""
    ranks = np.full(len(daily), np.nan)
    for month in np.unique(month_of_day):
        here = np.flatnonzero((month_of_day == month) & np.isfinite(daily))
        ranks[here] = (daily[here].argsort().argsort() + 0.5) / max(len(here), 1)
    return ranks


def spell_counts(ranks: FloatArray, third: str) -> IntArray:
    """How many runs of days of the darkest or brightest third last 1, 2, ..., 7 days or more."""
    inside = ranks < 1.0 / 3.0 if third == "dark" else ranks > 2.0 / 3.0
    edges = np.flatnonzero(np.diff(np.concatenate([[0], inside.astype(np.int64), [0]])))
    lengths = np.minimum(edges[1::2] - edges[::2], _LONGEST)
    return np.bincount(lengths, minlength=_LONGEST + 1)[1:]


@functools.cache
def spells() -> dict[tuple[str, str], IntArray]:
    """Counts of runs by kind of year and third."""
    with SPELLS_FILE.open(encoding="utf-8", newline="") as file:
        next(file)
        rows = list(csv.reader(file))[1:]
    return {(row[0], row[1]): np.array([int(cell) for cell in row[4:]]) for row in rows}


@functools.cache
def drawn_spells(third: str) -> IntArray:
    """The same counts of drawn years."""
    normals = np.random.default_rng(8).standard_normal((2, _DRAWN_YEARS, 365))
    days = linked_days(normals[0], normals[1])
    counts = [spell_counts(day_ranks(year, _MONTH_OF_DAY), third) for year in days]
    return np.asarray(np.sum(counts, axis=0))


def share_of_at_least(counts: IntArray, days: int) -> float:
    """Share of runs that last so many days or more."""
    return float(counts[days - 1 :].sum() / counts.sum())


def real_spells(third: str) -> IntArray:
    """The counts of all real years."""
    kinds = ("single years", "measured 2019-2023")
    return np.asarray(np.sum([spells()[kind, third] for kind in kinds], axis=0))


def days_percentile(chance: float, *, matched: bool | None) -> float:
    """Percentile of days to empty, mean over sites by their years; None takes the real ones."""
    sites = [row.site for row in real_days()]
    each, counts = [], []
    for site in dict.fromkeys(sites):
        if matched is None:
            days = np.concatenate([row.days for row in real_days() if row.site == site])
        else:
            days = drawn_days(site, matched=matched)
        each.append(np.percentile(days, chance))
        counts.append(sites.count(site))
    return float(np.average(each, weights=counts))


def _comparisons() -> tuple[Comparison, ...]:
    if not (DAYS_FILE.is_file() and SPELLS_FILE.is_file()):
        return ()
    years = len(real_days()) // len(MONTHS)
    source = f"{years} single years by satellite (NSRDB, in pvlib and pvanalytics)"
    measured = "six single years by satellite and a plane measured 2019 to 2023 (pvanalytics)"
    return (
        # Three and two years by chance: half their own spread.
        *(
            Comparison(
                "real years",
                f"days to empty, October to March, P{chance:.0f}, with the years' monthly means",
                source,
                days_percentile(chance, matched=None),
                tolerance,
                "days",
                functools.partial(days_percentile, chance, matched=True),
            )
            for chance, tolerance in ((10.0, 0.4), (25.0, 0.5), (50.0, 1.5))
        ),
        # Of 748 runs 112, 17 and 1: two standard errors by chance.
        *(
            Comparison(
                "real years",
                f"runs of dull days (the month's darkest third) of {length} days and more",
                measured,
                share_of_at_least(real_spells("dark"), length),
                tolerance,
                "",
                functools.partial(_drawn_share, length),
            )
            for length, tolerance in ((3, 0.028), (5, 0.012), (7, 0.004))
        ),
    )


def _drawn_share(length: int) -> float:
    return share_of_at_least(drawn_spells("dark"), length)


COMPARISONS: tuple[Comparison, ...] = _comparisons()
