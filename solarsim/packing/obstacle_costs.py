"""What each obstacle on the roof costs in energy, month by month, and where it would cost less."""

from __future__ import annotations

import dataclasses
import functools
import itertools
from collections.abc import Callable, Sequence
from typing import Protocol

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.inputs.files.horizon import Horizon
from solarsim.inputs.panels import Controller, Panels
from solarsim.solar.output import PanelOutput, panel_output
from solarsim.solar.shade.geometry import Box, Footprint, PanelPlace
from solarsim.solar.shade.roof_shade import RoofShade, power_weights, roof_shade
from solarsim.solar.shade.table import (
    RoofShadows,
    ShadeTable,
    group_cells,
    roof_shadows,
    table_without,
)
from solarsim.weather.record import Weather

__all__ = ["Move", "NamedBox", "ObstacleCost", "ObstacleCosts", "obstacle_costs"]

# Where to look for a better place: quick and coarse, then the best one in full.
_SPOTS_X, _SPOTS_Y = 9, 5
_MOST_SPOTS = 8
# To the centimetre, as one measures on a roof.
_SPOT_PLACES = 2
_COARSE_AZIMUTH_DEG = 15.0
_COARSE_ELEVATION_DEG = (2.0, 5.0, 9.0, 14.0, 20.0, 28.0, 38.0, 50.0, 65.0, 90.0)
_COARSE_CELLS = 4
# A move that saves less than this is not worth a word.
_LEAST_SAVED_SHARE = 0.1
_LEAST_SAVED_WH = 1.0


class NamedBox(Box, Protocol):
    """A box on the roof that has a name and keeps some room around it."""

    @property
    def name(self) -> str: ...  # noqa: D102
    @property
    def clearance_m(self) -> float: ...  # noqa: D102


@dataclasses.dataclass(frozen=True)
class Move:
    """A place where an obstacle costs less.

    Attributes
    ----------
    x_m, y_m : float
        New rear left corner.
    month_saved_wh_per_day : ndarray
        ``(months,)`` energy that the move gains.
    """

    x_m: float
    y_m: float
    month_saved_wh_per_day: FloatArray

    @property
    def saved_wh_per_day(self) -> float:
        """Energy that the move gains, mean over the months."""
        return float(self.month_saved_wh_per_day.mean())


@dataclasses.dataclass(frozen=True)
class ObstacleCost:
    """What one obstacle takes.

    Attributes
    ----------
    name : str
        The obstacle's.
    month_wh_per_day : ndarray
        ``(months,)`` energy that the array would give more without it, the others staying.
    move : Move or None
        The best free place, where one saves at least a tenth of the cost.
    """

    name: str
    month_wh_per_day: FloatArray
    move: Move | None


@dataclasses.dataclass(frozen=True)
class ObstacleCosts:
    """Shade of the roof in energy, at the controller before its output limit.

    Attributes
    ----------
    unshaded_wh_per_day, shaded_wh_per_day : ndarray
        ``(months,)`` the whole array without and with everything that stands on the roof.
    shade_share : ndarray
        ``(months,)`` the part of the unshaded energy that is lost, 0 to 1.
    panel_shade_share : ndarray
        ``(panels, months)`` the part of its energy that each panel would lose if it worked alone.
    obstacles : tuple of ObstacleCost
        In the order given, or none if they were not asked for. Shadows that overlap are counted
        once in the total, and by neither obstacle alone.
    """

    unshaded_wh_per_day: FloatArray
    shaded_wh_per_day: FloatArray
    shade_share: FloatArray
    panel_shade_share: FloatArray
    obstacles: tuple[ObstacleCost, ...]


@dataclasses.dataclass(frozen=True)
class _Spot:
    x_m: float
    y_m: float
    length_m: float
    width_m: float
    height_m: float


@dataclasses.dataclass(frozen=True)
class _Array:
    """The panels where they lie, and what they charge through."""

    places: Sequence[PanelPlace]
    panels: Panels
    controller: Controller
    bus_voltage_v: float
    heading_deg: float | None


def obstacle_costs(
    months: Sequence[Weather],
    places: Sequence[PanelPlace],
    obstacles: Sequence[NamedBox],
    panels: Panels,
    controller: Controller,
    *,
    bus_voltage_v: float,
    heading_deg: float | None,
    parking: str,
    brush_snow: str,
    horizon: Horizon | None = None,
    roof_size_m: tuple[float, float] | None = None,
    margin_m: float = 0.0,
    inside: Callable[[Box], bool] | None = None,
    one_by_one: bool = True,
) -> ObstacleCosts:
    """Run the array with and without each obstacle on the same weather.

    Parameters
    ----------
    months : sequence of Weather
        Weather of each month that is asked for, in any number of runs and whole days.
    places : sequence of PanelPlace
        The array, string by string.
    obstacles : sequence of NamedBox
        What stands on the roof.
    panels, controller, bus_voltage_v, parking, brush_snow, horizon
        As for `solarsim.solar.output.panel_output`.
    heading_deg : float or None
        Compass direction of the van's front; None is the mean over all headings.
    roof_size_m : tuple of float, optional
        Length and width within which better places are looked for; None looks for none.
    margin_m : float
        How far from the edge such places keep.
    inside : callable, optional
        Whether the roof has room for a box at a place; asked before a place is tried.
    one_by_one : bool
        False leaves out what each obstacle costs, which takes most of the time.

    Raises
    ------
    InputError
        As `solarsim.solar.shade.roof_shade.roof_shade` and `solarsim.solar.output.panel_output`.
    """
    outputs = tuple(
        panel_output(
            weather,
            panels,
            controller,
            bus_voltage_v=bus_voltage_v,
            parking=parking,
            brush_snow=brush_snow,
            horizon=horizon,
        )
        for weather in months
    )
    array = _Array(places, panels, controller, bus_voltage_v, heading_deg)
    shadows = roof_shadows(places, obstacles, cells=group_cells(panels))
    whole = _shade(array, shadows.table)
    fine = _energy_wh(months, outputs, whole, len(places))
    total = _lost_wh(fine, whole)
    unshaded = fine.sum(axis=1)
    known = np.maximum(unshaded, 1e-12)

    @functools.cache
    def coarse() -> tuple[RoofShadows, FloatArray]:
        rough = _coarse_shadows(places, obstacles)
        return rough, _energy_wh(months, outputs, _shade(array, rough.table), len(places))

    found = []
    for index, obstacle in enumerate(obstacles if one_by_one else ()):
        cost = total - _lost_wh(fine, _shade(array, table_without(shadows, index)))
        move = None
        if roof_size_m is not None and cost.mean() > _LEAST_SAVED_WH:
            spots = _free_spots(obstacles, index, places, roof_size_m, margin_m, inside)
            if spots:
                best = _least_shading(array, index, spots, *coarse())
                saved = total - _lost_wh(fine, _shade(array, table_without(shadows, index, best)))
                move = _worthwhile(Move(best.x_m, best.y_m, saved), cost)
        found.append(ObstacleCost(obstacle.name, cost, move))
    return ObstacleCosts(
        unshaded_wh_per_day=unshaded,
        shaded_wh_per_day=unshaded - total,
        shade_share=total / known,
        panel_shade_share=_lost_alone_wh(array, shadows.table, fine) / known,
        obstacles=tuple(found),
    )


def _shade(array: _Array, table: ShadeTable) -> RoofShade:
    return roof_shade(
        table,
        array.places,
        array.panels,
        array.controller,
        bus_voltage_v=array.bus_voltage_v,
        heading_deg=array.heading_deg,
    )


def _shade_of_one(array: _Array, table: ShadeTable, at: int) -> RoofShade:
    """Shade of the panel `at`, alone on its part of the string's voltage."""
    one = slice(at, at + 1)
    alone = _Array(
        array.places[one],
        array.panels.model_copy(update={"series": 1, "count": 1}),
        array.controller,
        array.bus_voltage_v / array.panels.series,
        array.heading_deg,
    )
    return _shade(
        alone,
        dataclasses.replace(
            table,
            group_share=table.group_share[one],
            cell_share=table.cell_share[one],
            hidden_sky_share=table.hidden_sky_share[one],
        ),
    )


def _energy_wh(
    months: Sequence[Weather], outputs: Sequence[PanelOutput], shade: RoofShade, count: int
) -> FloatArray:
    """Energy of the unshaded array a day over the shade's own grid, ``(months, grid)``."""
    return np.stack(
        [
            power_weights(
                shade, weather.zenith_deg, weather.azimuth_deg, out.beam_share, out.power_w
            ).ravel()
            * (count * 24.0 / out.power_w.size)
            for weather, out in zip(months, outputs, strict=True)
        ]
    )


def _lost_wh(energy_wh: FloatArray, shade: RoofShade) -> FloatArray:
    """Energy a day that shade takes, ``(months,)``."""
    lost: FloatArray = energy_wh @ (1.0 - shade.power_share).ravel()
    return lost


def _lost_alone_wh(array: _Array, table: ShadeTable, energy_wh: FloatArray) -> FloatArray:
    """Energy a day if all lost as much as each panel, working alone, ``(panels, months)``."""
    count = len(array.places)
    lost = [_lost_wh(energy_wh, _shade_of_one(array, table, at)) for at in range(count)]
    return np.array(lost).reshape(count, len(energy_wh))


def _coarse_shadows(places: Sequence[PanelPlace], obstacles: Sequence[Box]) -> RoofShadows:
    return roof_shadows(
        places,
        obstacles,
        cells=_COARSE_CELLS,
        azimuth_step_deg=_COARSE_AZIMUTH_DEG,
        elevation_deg=_COARSE_ELEVATION_DEG,
    )


def _worthwhile(move: Move, cost_wh: FloatArray) -> Move | None:
    least_wh = max(_LEAST_SAVED_WH, _LEAST_SAVED_SHARE * float(cost_wh.mean()))
    return move if move.saved_wh_per_day > least_wh else None


def _least_shading(
    array: _Array,
    index: int,
    spots: Sequence[_Spot],
    shadows: RoofShadows,
    energy_wh: FloatArray,
) -> _Spot:
    """Of free places the one in which the obstacle `index` takes least."""
    loss = [
        _lost_wh(energy_wh, _shade(array, table_without(shadows, index, spot))).mean()
        for spot in spots
    ]
    return spots[int(np.argmin(loss))]


def _free_spots(
    obstacles: Sequence[NamedBox],
    index: int,
    places: Sequence[PanelPlace],
    roof_size_m: tuple[float, float],
    margin_m: float,
    inside: Callable[[Box], bool] | None,
) -> list[_Spot]:
    """Places on the roof where the obstacle `index` stands clear, evenly fewer of them if many."""
    obstacle = obstacles[index]
    last_x = roof_size_m[0] - margin_m - obstacle.length_m
    last_y = roof_size_m[1] - margin_m - obstacle.width_m
    if min(last_x, last_y) < margin_m:
        return []
    taken: list[Footprint] = [*obstacles[:index], *obstacles[index + 1 :], *places]
    # Beside the evenly spread places, its own row and column.
    xs = {*np.linspace(margin_m, last_x, _SPOTS_X).round(_SPOT_PLACES).tolist(), obstacle.x_m}
    ys = {*np.linspace(margin_m, last_y, _SPOTS_Y).round(_SPOT_PLACES).tolist(), obstacle.y_m}
    spots = [
        _Spot(x_m, y_m, obstacle.length_m, obstacle.width_m, obstacle.height_m)
        for x_m, y_m in itertools.product(sorted(xs), sorted(ys))
    ]
    spots = [
        spot
        for spot in spots
        if not any(_too_close(spot, other, obstacle.clearance_m) for other in taken)
        and (inside is None or inside(spot))
    ]
    step = -(-len(spots) // _MOST_SPOTS)
    return spots[:: max(step, 1)]


def _too_close(one: Footprint, other: Footprint, clearance_m: float) -> bool:
    gap_x = max(one.x_m - other.x_m - other.length_m, other.x_m - one.x_m - one.length_m)
    gap_y = max(one.y_m - other.y_m - other.width_m, other.y_m - one.y_m - one.width_m)
    return max(gap_x, gap_y) < clearance_m - 1e-9
