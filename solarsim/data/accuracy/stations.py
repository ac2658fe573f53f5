"""The synthetic climate against the years of weather stations.

The files are typical or single years. By itself one year's light of a month scatters by 9 %, the
quantiles of a winter's clearness by 0.02 to 0.03, and the days to empty of a month by 2.7 (standard
deviations of single years as drawn), so that means over many stations tell the model's error better
than any one does. Light "modelled" from observed clouds hardly knows days with a clearness below
0.15, which the measured years have.
"""

from __future__ import annotations

import csv
import dataclasses
import functools
import io
from collections.abc import Callable
from pathlib import Path

import numpy as np

from solarsim.arrays import BoolArray, FloatArray
from solarsim.data.accuracy.comparison import Comparison
from solarsim.data.accuracy.station_figures import (
    MonthFigures,
    days_to_empty,
    drawn_years,
    month_figures,
)
from solarsim.weather.climate.bundle import load_site_climate
from solarsim.weather.climate.satellite import satellite_share
from solarsim.weather.climate.site import SiteClimate
from solarsim.weather.record import Place

__all__ = ["COMPARISONS", "TABLE_FILE", "Station", "drawn_days", "drawn_figures", "stations"]

TABLE_FILE = Path(__file__).resolve().parents[3] / "tests" / "checks" / "data" / "stations.csv"
_YEARS = 4
_WINDOWS = 12
# With less light than this in a day a ratio says nothing.
_LEAST_GHI_KWH_M2 = 0.25
# The satellite's means are those of 2006 to 2025, the typical years of central Europe (TRY 2010,
# IWEC) those of 1988 to 2007 and before: from 1991-2007 to 2006-2025 the satellite's own years
# became brighter by this, mean over its grid (standard deviation over its points 0.016).
_BRIGHTER = 1.042


@dataclasses.dataclass(frozen=True)
class Station:
    """A station's year; `light` is measured, modelled or satellite; days ``(12,)`` may be NaN."""

    site: str
    source: str
    light: str
    place: Place
    figures: MonthFigures
    days_to_empty: FloatArray

    @property
    def brighter(self) -> float:
        """How much brighter the embedded climate's years are than the station's."""
        older = self.source.startswith(("TRY", "IWEC")) and self.in_satellite_grid
        return _BRIGHTER if older else 1.0

    @property
    def in_satellite_grid(self) -> bool:
        """Whether the satellite tells the embedded climate's months, wholly or nearly."""
        return satellite_share(self.place.latitude_deg, self.place.longitude_deg) > 0.9

    @property
    def winter(self) -> BoolArray:
        """December to February, those that have light, ``(12,)``."""
        months = np.isin(np.arange(1, 13), (12, 1, 2))
        return np.asarray(months & (self.figures.ghi_kwh_m2_day >= _LEAST_GHI_KWH_M2))


@functools.cache
def stations() -> tuple[Station, ...]:
    """Read the table of stations."""
    text = TABLE_FILE.read_text(encoding="utf-8").partition("\n")[2]
    rows: dict[tuple[str, str], list[dict[str, str]]] = {}
    for row in csv.DictReader(io.StringIO(text)):
        rows.setdefault((row["site"], row["source"]), []).append(row)
    return tuple(_station(months) for months in rows.values())


def _station(months: list[dict[str, str]]) -> Station:
    first = months[0]

    def column(name: str) -> FloatArray:
        return np.array([float(row[name] or "nan") for row in months])

    names = [field.name for field in dataclasses.fields(MonthFigures)]
    offset_h = float(first["utc_offset_h"])
    return Station(
        site=first["site"],
        source=first["source"],
        light=first["light"],
        place=Place(
            name=first["site"],
            latitude_deg=float(first["latitude_deg"]),
            longitude_deg=float(first["longitude_deg"]),
            elevation_m=float(first["elevation_m"]),
            timezone=f"Etc/GMT{-offset_h:+.0f}",
            utc_offset_h=offset_h,
        ),
        figures=MonthFigures(*(column(name) for name in names)),
        days_to_empty=column("days_to_empty"),
    )


@functools.cache
def drawn_figures(index: int, *, matched: bool = False) -> MonthFigures:
    """Our figures at station number `index`, over a few drawn years; `matched` as `drawn_days`."""
    station = stations()[index]
    # Seeds of their own, so that the stations do not share their luck.
    return month_figures(drawn_years(station.place, _climate(station, matched), _YEARS, seed=index))


def _climate(station: Station, matched: bool) -> SiteClimate:
    climate = load_site_climate(station.place)
    light = station.figures.ghi_kwh_m2_day if matched else climate.ghi_kwh_m2_day / station.brighter
    return dataclasses.replace(climate, ghi_kwh_m2_day=light)


@functools.cache
def drawn_days(index: int, *, matched: bool) -> float:
    """Our days to empty at station number `index`, mean over `_months` of it.

    With `matched` the climate's monthly means are replaced by those of the station's year; without,
    they are put back to the station's years (`Station.brighter`).
    """
    station = stations()[index]
    series = drawn_years(station.place, _climate(station, matched), _YEARS, seed=index)
    days = [days_to_empty(series, month + 1, windows=_WINDOWS) for month in _months(index)]
    return float(np.mean(days))


def _months(index: int) -> range:
    # Every second month: half the work, and the other half of the stations takes the others.
    return range(index % 2, 12, 2)


def _over_sites(figure: Callable[[int, Station], float], light: str = "") -> float:
    """Mean over sites of a figure, each site by the mean of its years that have it."""
    by_site: dict[str, list[float]] = {}
    for index, station in enumerate(stations()):
        value = figure(index, station) if light in station.light else np.nan
        if np.isfinite(value):
            by_site.setdefault(station.site, []).append(value)
    return float(np.mean([np.mean(values) for values in by_site.values()]))


def _ratios(index: int, station: Station) -> FloatArray:
    lit = station.figures.ghi_kwh_m2_day >= _LEAST_GHI_KWH_M2
    ratio = drawn_figures(index).ghi_kwh_m2_day / station.figures.ghi_kwh_m2_day
    return np.asarray(ratio[lit])


def _spread_of_ratios() -> float:
    every = [_ratios(index, station) for index, station in enumerate(stations())]
    return float(np.concatenate(every).std())


def _winter(figures: MonthFigures, name: str, station: Station) -> float:
    return float(getattr(figures, name)[station.winter].mean())


def _link(figures: MonthFigures) -> float:
    return float(figures.kt_product.sum() / (figures.kt_sd**2).sum())


_SUBJECT = "synthetic climate"
_FILES = "29 station years (TMY3, TMY2, IWEC, NSRDB, TRY 2010)"
_MEASURED = "6 test reference years with measured light (DWD 2010)"


def _clearness_comparison(name: str, label: str, light: str, source: str) -> Comparison:
    return Comparison(
        subject=_SUBJECT,
        what=f"winter daily clearness, {label}, mean over sites"
        + (" with measured light, with the years' monthly means" if light else ""),
        source=source,
        expected=_over_sites(lambda _, s: _winter(s.figures, name, s), light),
        tolerance=0.06,
        unit="",
        got=lambda: _over_sites(
            lambda i, s: _winter(drawn_figures(i, matched=bool(light)), name, s), light
        ),
    )


def _light_comparison(
    where: str, light: str, source: str, *, satellite: bool, tolerance: float
) -> Comparison:
    def figure(index: int, station: Station) -> float:
        counts = station.in_satellite_grid == satellite
        return float(_ratios(index, station).mean()) if counts else np.nan

    return Comparison(
        subject=_SUBJECT,
        what=f"monthly light over the stations', {where}, mean over sites",
        source=source,
        expected=1.0,
        tolerance=tolerance,
        unit="",
        got=lambda: _over_sites(figure, light),
    )


def _days_comparison(label: str, *, matched: bool, tolerance: float) -> Comparison:
    return Comparison(
        subject=_SUBJECT,
        what=f"days to empty, mean over months and sites, {label}",
        source="22 of them, one for each site with temperatures",
        expected=_over_sites(_own_days),
        tolerance=tolerance,
        unit="days",
        got=functools.partial(_mean_days, matched=matched),
    )


def _comparisons() -> tuple[Comparison, ...]:
    if not TABLE_FILE.is_file():
        return ()
    return (
        _light_comparison("outside central Europe", "", _FILES, satellite=False, tolerance=0.05),
        # Six sites, one of them a summit that stands in clouds more often than its surroundings.
        _light_comparison(
            "central Europe, measured light", "measured", _MEASURED, satellite=True, tolerance=0.08
        ),
        # Light from observed clouds: the satellite's own years at these sites are 6 % brighter.
        _light_comparison(
            "central Europe, modelled light", "modelled", _FILES, satellite=True, tolerance=0.1
        ),
        # One year's own scatter is 0.094 of it.
        Comparison(
            subject=_SUBJECT,
            what="monthly light over the stations', standard deviation of months and stations",
            source=_FILES,
            expected=0.0,
            tolerance=0.15,
            unit="",
            got=_spread_of_ratios,
        ),
        *(
            _clearness_comparison(name, label, light, source)
            for light, source in (("", _FILES), ("measured", _MEASURED))
            for name, label in (("kt_p10", "P10"), ("kt_p25", "P25"), ("kt_p50", "P50"))
        ),
        Comparison(
            subject=_SUBJECT,
            what="correlation of neighbouring days' clearness within months, mean over sites",
            source=_FILES,
            expected=_over_sites(lambda _, s: _link(s.figures)),
            tolerance=0.1,
            unit="",
            got=lambda: _over_sites(lambda i, _: _link(drawn_figures(i))),
        ),
        # Most years are from before 2008, the climate is that of 2000 to 2025.
        Comparison(
            subject=_SUBJECT,
            what="air temperature, mean over months and sites",
            source=_FILES,
            expected=_over_sites(lambda _, s: float(s.figures.temp_mean_c.mean())),
            tolerance=1.5,
            unit="C",
            got=lambda: _over_sites(_drawn_warmth_c),
        ),
        _days_comparison("with the years' monthly means", matched=True, tolerance=0.5),
        _days_comparison("from the place alone", matched=False, tolerance=1.0),
    )


def _drawn_warmth_c(index: int, station: Station) -> float:
    known = np.isfinite(station.figures.temp_mean_c).all()
    return float(drawn_figures(index).temp_mean_c.mean()) if known else np.nan


def _own_days(index: int, station: Station) -> float:
    # One year of each site is enough for what takes longest.
    if not _first_of_site(index, station):
        return np.nan
    return float(station.days_to_empty[list(_months(index))].mean())


def _first_of_site(index: int, station: Station) -> bool:
    return all(earlier.site != station.site for earlier in stations()[:index])


def _mean_days(*, matched: bool) -> float:
    def figure(index: int, station: Station) -> float:
        known = np.isfinite(_own_days(index, station))
        return drawn_days(index, matched=matched) if known else np.nan

    return _over_sites(figure)


COMPARISONS: tuple[Comparison, ...] = _comparisons()
