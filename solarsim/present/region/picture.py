"""What a map of a region shows, before it is drawn: panels, scale, lines, towns, words."""

from __future__ import annotations

import dataclasses
import functools
from typing import Literal

import numpy as np

from solarsim.answers.region.asked import RegionQuestion
from solarsim.answers.region.region import RegionAnswer
from solarsim.arrays import FloatArray
from solarsim.errors import InputError
from solarsim.inputs.counts import count_text
from solarsim.inputs.percent import percent
from solarsim.present.region.table import grid_of
from solarsim.present.words import MAP_CAUTION, month_name
from solarsim.weather.outlines import Box, LineKind, land_in, map_lines
from solarsim.weather.towns import Town, towns_in

__all__ = [
    "SHOWN",
    "MapPanel",
    "MapPicture",
    "Scale",
    "Shown",
    "box_around",
    "check_shown",
    "lines_in",
    "map_picture",
]

Shown = Literal["p50", "p10", "chance", "bank", "difference"]
SHOWN: tuple[Shown, ...] = ("p50", "p10", "chance", "bank", "difference")
_AROUND = 0.04
_YEAR = 12
_MOST_TOWNS = 12
# Towns closer than these shares of the map's width and height are not both named: names are wide
# and low.
_TOWN_GAP_EAST, _TOWN_GAP_NORTH = 0.2, 0.05
_DAY_LEVELS = (2.0, 4.0, 7.0, 10.0, 14.0, 21.0, 28.0)
_MORE_LEVELS = (1.0, 3.0, 7.0, 14.0)


@dataclasses.dataclass(frozen=True)
class Scale:
    """Colours and contours of a figure.

    ``colours`` names a scale that matplotlib and plotly both have: cividis, even in lightness and
    made for readers who confuse red and green; PuOr for what may be more or less. ``whole`` is
    where there are whole numbers alone.
    """

    label: str
    low: float
    high: float
    colours: str
    levels: tuple[float, ...]
    unit: str
    whole: bool = False


@dataclasses.dataclass(frozen=True)
class MapPanel:
    """One map: its title and its grid ``(rows, columns)``, NaN where there is no cell."""

    title: str
    values: FloatArray


@dataclasses.dataclass(frozen=True)
class MapPicture:
    """One map or several that share scale, land and towns.

    ``latitude_deg`` ``(rows,)`` and ``longitude_deg`` ``(columns,)`` are the cells' centres;
    ``strong_level`` is the contour of the stay itself.
    """

    title: str
    below: str
    panels: tuple[MapPanel, ...]
    latitude_deg: FloatArray
    longitude_deg: FloatArray
    step_deg: float
    scale: Scale
    strong_level: float | None
    box: Box
    towns: tuple[Town, ...]

    @property
    def aspect(self) -> float:
        """How much longer a degree of latitude is drawn than one of longitude."""
        middle_deg = 0.5 * (self.box.south_deg + self.box.north_deg)
        return 1.0 / max(float(np.cos(np.radians(middle_deg))), 0.1)

    @property
    def height_over_width(self) -> float:
        """Shape of one map."""
        tall = self.box.north_deg - self.box.south_deg
        return tall * self.aspect / (self.box.east_deg - self.box.west_deg)

    def lines(self, kind: LineKind) -> list[FloatArray]:
        """Lines of a kind, cut a little outside the box."""
        return lines_in(kind, self.box)

    @functools.cached_property
    def land(self) -> list[FloatArray]:
        """Outer rings of the land in the box, longitude and latitude."""
        import shapely

        return [
            np.asarray(part.exterior.coords)
            for part in shapely.get_parts(land_in(self.box))
            if part.geom_type == "Polygon"
        ]

    def town_at(self, town: Town) -> tuple[float, float]:
        """Longitude on this map, and latitude."""
        west = self.box.west_deg
        return (town.longitude_deg - west) % 360.0 + west, town.latitude_deg


def map_picture(answer: RegionAnswer, shown: Shown = "p50") -> MapPicture:
    """Put a map together: a panel a month, or a panel a van.

    Parameters
    ----------
    answer : RegionAnswer
        Of one van in any months, or of several vans in one month; `difference` takes the first two
        vans in any months.
    shown : str
        ``"p50"`` and ``"p10"`` days, ``"chance"`` of the stay, ``"bank"`` units that would hold, or
        ``"difference"`` of the first two vans' days in half of the runs.

    Raises
    ------
    InputError
        No such figure, several vans in several months, or one van for a difference.
    """
    asked = answer.asked
    shown = check_shown(shown, asked)
    names, months = asked.van_names, asked.months
    if shown == "difference":
        values, vans = answer.difference_days(0, 1)[None], [0]
    else:
        values, vans = _values(answer, shown), list(range(len(names)))
    values = np.where(answer.answered, values, np.nan)
    latitudes, longitudes, grid = grid_of(asked.cells, values)
    panels = tuple(
        MapPanel(month_name(month) if len(months) > 1 else names[van], grid[van, index])
        for van in vans
        for index, month in enumerate(months)
    )
    box = box_around(latitudes, longitudes, asked.cells.step_deg)
    return MapPicture(
        title=_title(answer, shown),
        below=_below(answer, shown),
        panels=panels,
        latitude_deg=latitudes,
        longitude_deg=longitudes,
        step_deg=asked.cells.step_deg,
        scale=_scale(answer, shown, values),
        strong_level=_strong(answer, shown),
        box=box,
        towns=_towns(answer, box),
    )


def check_shown(shown: str, asked: RegionQuestion, *, drawn: bool = True) -> Shown:
    """Return what is shown, if it can be.

    Parameters
    ----------
    shown : str
        As for `map_picture`.
    asked : RegionQuestion
        Its vans and months.
    drawn : bool
        Whether it is drawn at all.

    Raises
    ------
    InputError
        As for `map_picture`.
    """
    found = next((known for known in SHOWN if known == shown), None)
    if found is None:
        raise InputError(f"got {shown!r}; known: {', '.join(SHOWN)}", field="show")
    vans, months = len(asked.vans), len(asked.months)
    if found == "difference" and vans < 2:
        raise InputError("a difference takes two vans; give a second one", field="show")
    if drawn and found != "difference" and vans > 1 and months > 1:
        message = "draws several vans in one month, or one van in several; give one of them"
        raise InputError(message, field="plot")
    return found


def _values(answer: RegionAnswer, shown: Shown) -> FloatArray:
    figures = answer.figures
    if shown == "chance":
        return 100.0 * figures.chance_lasts
    if shown == "bank":
        units = figures.bank_units.astype(np.float64)
        return np.where(units > 0.0, units, np.nan)
    return figures.p50_days if shown == "p50" else figures.p10_days


def _scale(answer: RegionAnswer, shown: Shown, values: FloatArray) -> Scale:
    asked = answer.asked
    days = asked.vans[0].stay.days
    follow = float(asked.follow_days)
    if shown == "chance":
        target = 100.0 * asked.vans[0].stay.target_chance
        levels = tuple(sorted({10.0, 50.0, target}))
        label = f"chance of {count_text(days, 'day')}, %"
        return Scale(label, 0.0, 100.0, "cividis", levels, "%")
    if shown == "bank":
        known = values[np.isfinite(values)]
        low, high = (float(known.min()), float(known.max())) if known.size else (1.0, 1.0)
        label = "units of the bank that would hold (blank: none)"
        return Scale(label, low - 0.5, high + 0.5, "cividis_r", (), "", whole=True)
    if shown == "difference":
        most = max(float(np.nanmax(np.abs(values), initial=0.0)), 1.0)
        levels = tuple(sorted(sign * level for sign in (-1, 1) for level in _MORE_LEVELS))
        first, second = asked.van_names[:2]
        label = f"days more with '{first}' than with '{second}' (P50)"
        return Scale(label, -most, most, "PuOr", levels, "")
    runs = "half of the runs" if shown == "p50" else "nine runs in ten"
    levels = tuple(sorted({level for level in _DAY_LEVELS if level < follow} | {float(days)}))
    # Runs are followed no further: that is not the end of them.
    label = f"days that {runs} reach (P{shown[1:]}, to {follow:g}+)"
    return Scale(label, 0.0, follow, "cividis", levels, "")


def _strong(answer: RegionAnswer, shown: Shown) -> float | None:
    stay = answer.asked.vans[0].stay
    if shown == "chance":
        return 100.0 * stay.target_chance
    return float(stay.days) if shown in {"p10", "p50"} else None


def _title(answer: RegionAnswer, shown: Shown) -> str:
    asked = answer.asked
    where, names = asked.cells.region.name, asked.van_names
    when = month_name(asked.months[0]) if len(asked.months) == 1 else "month by month"
    if shown == "difference":
        return f"'{names[0]}' against '{names[1]}': {where}, {when}"
    if len(asked.months) == _YEAR:
        return f"Where can '{names[0]}' winter? {where}, {when}"
    return f"{', '.join(names)}: {where}, {when}"


def _below(answer: RegionAnswer, shown: Shown) -> str:
    asked, first = answer.asked, answer.asked.questions[0][0]
    stay = first.van.stay
    unseen = (
        f"Where both last the {asked.follow_days} days that were followed, no difference is seen. "
        if shown == "difference"
        else ""
    )
    return (
        f"{', '.join(asked.van_names)}; {first.profile.profile.name}; "
        f"{count_text(first.runs, 'run')} of weather in each cell, {asked.cells.step_deg:g} "
        f"degree wide; days followed to {asked.follow_days}; stay of "
        f"{count_text(stay.days, 'day')}, target {percent(stay.target_chance)}. "
        f"{unseen}{MAP_CAUTION} "
        "Outlines: Natural Earth, US Census Bureau; no statement about any border."
    )


def lines_in(kind: LineKind, box: Box) -> list[FloatArray]:
    """Return the lines of a kind, cut a little outside a box."""
    return [part for line in map_lines(kind, box) for part in _cut(line, box)]


def box_around(latitudes: FloatArray, longitudes: FloatArray, step_deg: float) -> Box:
    """Return what a map shows of cells with these centres, from the first to the last."""
    half = step_deg / 2.0
    south, north = float(latitudes[0]) - half, float(latitudes[-1]) + half
    west, east = float(longitudes[0]) - half, float(longitudes[-1]) + half
    room = max(_AROUND * max(north - south, east - west), 0.25)
    return Box(max(south - room, -90.0), west - room, min(north + room, 90.0), east + room)


def _towns(answer: RegionAnswer, box: Box) -> tuple[Town, ...]:
    """The largest towns, of the region first, that do not crowd each other."""
    inside = {cell.town for cell in answer.asked.cells.cells if cell.town}
    candidates = sorted(towns_in(box), key=lambda t: (t not in inside, -t.population))
    chosen: list[Town] = []
    for town in candidates[:400]:
        if len(chosen) == _MOST_TOWNS or town not in inside:
            break
        if all(_far(town, other, box) for other in chosen):
            chosen.append(town)
    return tuple(chosen)


def _far(town: Town, other: Town, box: Box) -> bool:
    wide, tall = box.east_deg - box.west_deg, box.north_deg - box.south_deg
    east = abs((town.longitude_deg - other.longitude_deg + 180.0) % 360.0 - 180.0) / wide
    north = abs(town.latitude_deg - other.latitude_deg) / tall
    return east > _TOWN_GAP_EAST or north > _TOWN_GAP_NORTH


def _cut(line: FloatArray, box: Box) -> list[FloatArray]:
    """Parts of a line within the box, each with a point more at either end."""
    inside = (
        (line[:, 0] >= box.west_deg)
        & (line[:, 0] <= box.east_deg)
        & (line[:, 1] >= box.south_deg)
        & (line[:, 1] <= box.north_deg)
    )
    near = inside.copy()
    near[1:] |= inside[:-1]
    near[:-1] |= inside[1:]
    edges = np.flatnonzero(np.diff(near.astype(int), prepend=0, append=0))
    return [line[first:end] for first, end in zip(edges[::2], edges[1::2], strict=True)]
