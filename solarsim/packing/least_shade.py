"""Lay panels where what stands on the roof shades them least, without losing any of them.

Layouts of equal watts are compared by one figure a panel, the part of its light that it loses over
the year. It is simpler than `solarsim.solar.shade.table`, as thousands of places are compared, but
bears on the same thing: every group of a panel is as bright as its darkest cell.
"""

from __future__ import annotations

import dataclasses
import functools
from collections.abc import Iterable, Sequence

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.inputs.panels import Panels
from solarsim.inputs.roof import Obstacle, Roof
from solarsim.packing.geometry import PER_M, FreeSpace, free_space, free_spans
from solarsim.packing.layout import Layout, PlacedPanel, layout_of, ways_and_rows
from solarsim.solar.shade.bypass import GROUPS
from solarsim.solar.shade.geometry import panel_plane, sun_vectors
from solarsim.solar.shade.roof_shade import panel_places
from solarsim.solar.shade.table import roof_shadows

__all__ = ["layouts_with_fewer", "least_shaded_flat", "least_shaded_tilted", "light_lost"]

# A place, in micrometres: x, y, extent along and across the van.
Place = tuple[int, int, int, int]

# A layout does not depend on where the van will stand: a middle latitude, half of the light from
# the sun and half from the sky, any heading. Common practice, no source.
_LATITUDE_DEG = 45.0
_BEAM_SHARE = 0.5
_DIRECTIONS = 24
_CELLS_ALONG = 5
# Layouts from which panels are moved, beside the simplest one.
_STARTS = 3
# A step that gains less of the array's light than this is not worth rows out of line.
_WORTH_SHARE = 0.002
_SAME_SHARE = 0.0001
# Of the most shaded panels each is tried elsewhere.
_MOST_SINGLE = 4
_MOST_STEPS = 40
# Places between the ends of a free stretch that are tried as well.
_BETWEEN = 3
# Full shadows of tilted panels, which shade each other, on a coarse grid of suns; panels times
# panels that time is taken for.
_COARSE_STEP_DEG = 15.0
_COARSE_ELEVATION_DEG = (2.0, 5.0, 9.0, 14.0, 20.0, 28.0, 38.0, 50.0, 65.0, 90.0)
_MOST_PAIRS = 400
# Places that are worked out at once, to bound the memory.
_AT_ONCE = 500


@functools.cache
def _lost_by_slope() -> tuple[FloatArray, FloatArray]:
    """Share of a level plane's light below a skyline, over the skyline's slope; same all around.

    The beam is that of a clear sky, 0.7 to the power of the air mass to the power of 0.678 (Meinel
    & Meinel, Applied Solar Energy, 1976; from memory), each month weighing as much as any other;
    the sky is even, of which a skyline at the elevation h hides sin(h) squared.
    """
    latitude = np.radians(_LATITUDE_DEG)
    months = np.radians(23.45 * np.sin(np.radians(360.0 * (np.arange(12) * 30.4 - 66.0) / 365.0)))
    hours = np.radians(np.arange(-180.0, 180.0, 1.25))
    sine = np.sin(latitude) * np.sin(months)[:, np.newaxis]
    sine = sine + np.cos(latitude) * np.cos(months)[:, np.newaxis] * np.cos(hours)
    up = np.maximum(sine, 1e-3)
    beam = np.where(sine > 0.0, 0.7 ** (up**-0.678) * up, 0.0)
    beam /= 12.0 * beam.sum(axis=1, keepdims=True)
    elevation = np.radians(np.linspace(0.0, 89.5, 180))
    below = np.array([beam[np.arcsin(up) < limit].sum() for limit in elevation])
    lost = _BEAM_SHARE * below + (1.0 - _BEAM_SHARE) * np.sin(elevation) ** 2
    return np.tan(elevation), lost


def light_lost(
    places: Sequence[Place], obstacles: Iterable[Obstacle], *, glass_m: float
) -> FloatArray:
    """Share of its light that a panel at each place loses to what stands on the roof.

    Parameters
    ----------
    places : sequence of tuple
        Rear left corner and extent along and across the van, micrometres.
    obstacles : iterable of Obstacle
        What stands there.
    glass_m : float
        Height of the glass above the roof.

    Returns
    -------
    ndarray
        ``(places,)``, 0 to 1.
    """
    tall = [o for o in obstacles if o.height_m > glass_m]
    if not tall or not places:
        return np.zeros(len(places))
    boxes = np.array([(o.x_m, o.y_m, o.x_m + o.length_m, o.y_m + o.width_m) for o in tall])
    rise = np.array([o.height_m - glass_m for o in tall])
    # Off the axes by half a step, so that no direction runs along a box's side.
    turn = (np.arange(_DIRECTIONS) + 0.5) * (2.0 * np.pi / _DIRECTIONS)
    slopes, lost = _lost_by_slope()
    found = np.empty(len(places))
    for start in range(0, len(places), _AT_ONCE):
        part = np.array(places[start : start + _AT_ONCE]) / PER_M
        points = _points(part)[..., np.newaxis, np.newaxis]
        near, far = np.full(1, -np.inf), np.full(1, np.inf)
        for axis, way in enumerate((np.cos(turn), np.sin(turn))):
            to_low = (boxes[:, axis] - points[..., axis, :, :]) / way[:, np.newaxis]
            to_high = (boxes[:, axis + 2] - points[..., axis, :, :]) / way[:, np.newaxis]
            near = np.maximum(near, np.minimum(to_low, to_high))
            far = np.minimum(far, np.maximum(to_low, to_high))
        # (places, groups, cells, directions, boxes): the skyline is the highest box of a direction,
        # and the darkest cell of a group the one with the highest skyline.
        slope = np.where(far > np.maximum(near, 0.0), rise / np.maximum(near, 1e-3), 0.0)
        skyline = slope.max(axis=(2, 4))
        found[start : start + len(part)] = np.interp(skyline, slopes, lost).mean(axis=(1, 2))
    return found


def _points(places_m: FloatArray) -> FloatArray:
    """Middles of cells of every place's groups, ``(places, groups, cells, 2)``."""
    across = (np.arange(GROUPS) + 0.5) / GROUPS
    along = (np.arange(_CELLS_ALONG) + 0.5) / _CELLS_ALONG
    group, cell = np.meshgrid(across, along, indexing="ij")
    lengthwise = (places_m[:, 2] >= places_m[:, 3])[:, np.newaxis, np.newaxis]
    share = np.stack([np.where(lengthwise, cell, group), np.where(lengthwise, group, cell)], -1)
    points: FloatArray = (
        places_m[:, np.newaxis, np.newaxis, :2] + share * places_m[:, np.newaxis, np.newaxis, 2:]
    )
    return points


def least_shaded_flat(layouts: Sequence[Layout], roof: Roof, *, glass_m: float) -> Layout:
    """Move the panels of layouts to where less shades them and return the least shaded layout.

    Parameters
    ----------
    layouts : sequence of Layout
        Of equal power, the simplest first: it wins against what gains next to nothing.
    roof : Roof
        What they lie on.
    glass_m : float
        Height of the glass above the roof.

    Raises
    ------
    ValueError
        No layout.

    Notes
    -----
    Panels are moved one by one, or as ends of a row, as long as a step gains two thousandths of
    the array's light. The result is legal and loses no more than the first layout by `light_lost`;
    that none loses less is not proved.
    """
    if not layouts:
        raise ValueError("needs a layout")
    if not layouts[0].panels or all(o.height_m <= glass_m for o in roof.obstacles):
        return layouts[0]
    losses = _Losses(roof, glass_m)
    ranked = sorted(layouts, key=losses.of)
    best = layouts[0]
    for start in dict.fromkeys([best, *ranked[:_STARTS]]):
        moved = _moved(start, free_space(roof), losses)
        if losses.of(moved) < losses.of(best) - _WORTH_SHARE:
            best = moved
    return best


def layouts_with_fewer(
    layouts: Iterable[Layout], roof: Roof, count: int, *, glass_m: float
) -> list[Layout]:
    """Take panels out of layouts: each one in turn, beside it those that lose most.

    Parameters
    ----------
    layouts : iterable of Layout
        Of panels of one size.
    roof : Roof
        What they lie on.
    count : int
        Panels that stay; of layouts that have no more nothing comes.
    glass_m : float
        Height of the glass above the roof.
    """
    losses = _Losses(roof, glass_m)
    out = []
    for layout in layouts:
        if len(layout.panels) <= count:
            continue
        lost = losses.of_each([_place(panel) for panel in layout.panels])
        order = sorted(range(len(lost)), key=lambda index: lost[index])
        for gone in order:
            stay = [index for index in order if index != gone][:count]
            out.append(layout_of((layout.panels[index] for index in stay), layout.bound_w))
    return list(dict.fromkeys(out))


def least_shaded_tilted(layouts: Sequence[Layout], roof: Roof, panels: Panels) -> Layout:
    """Return the layout whose tilted panels lose least to each other and to what stands there.

    Parameters
    ----------
    layouts : sequence of Layout
        Of equal power, the simplest first: it wins against what gains next to nothing. Of large
        arrays only the first few are looked at.
    roof : Roof
        What they lie on.
    panels : Panels
        Their mounting, tilt, and the side of the van that they face.
    """
    pairs = max(len(layouts[0].panels), 1) ** 2
    looked_at = layouts[: max(_MOST_PAIRS // pairs, 1)]
    if len(looked_at) == 1:
        return layouts[0]
    lost = [_lost_tilted(layout, roof, panels) for layout in looked_at]
    least = min(range(len(lost)), key=lambda index: lost[index])
    return layouts[least if lost[least] < lost[0] - _WORTH_SHARE else 0]


def _lost_tilted(layout: Layout, roof: Roof, panels: Panels) -> float:
    """Share of light that the shadows on a coarse grid keep from the groups, their mean."""
    places = panel_places(layout.panels, panels)
    table = roof_shadows(
        places,
        roof.obstacles,
        cells=_CELLS_ALONG,
        azimuth_step_deg=_COARSE_STEP_DEG,
        elevation_deg=_COARSE_ELEVATION_DEG,
    ).table
    elevation = np.radians(table.elevation_deg)
    middles = (elevation[1:] + elevation[:-1]) / 2.0
    edges = np.tan(np.concatenate([[0.0], middles, [np.radians(89.5)]]))
    slopes, lost = _lost_by_slope()
    # The sky's part of the sum is told by the table; beside it the beam's alone stays.
    sky = (1.0 - _BEAM_SHARE) * np.sin(np.arctan(slopes)) ** 2
    from_each = np.diff(np.interp(edges, slopes, lost - sky)) / np.sin(elevation)
    suns = sun_vectors(table.azimuth_deg[:, np.newaxis], table.elevation_deg)
    weight = np.maximum(suns @ panel_plane(places[0]).normal, 0.0) * from_each
    beam = (table.cell_share * weight).sum(axis=(2, 3)).mean() / weight.sum()
    sky_share = table.hidden_sky_share.mean()
    return float(_BEAM_SHARE * beam + (1.0 - _BEAM_SHARE) * sky_share)


class _Losses:
    """What panels lose on one roof, each place worked out once."""

    def __init__(self, roof: Roof, glass_m: float) -> None:
        self._obstacles, self._glass_m = roof.obstacles, glass_m
        self._known = _known_losses(roof.obstacles, glass_m)

    def of_each(self, places: Sequence[Place]) -> list[float]:
        new = [place for place in dict.fromkeys(places) if place not in self._known]
        lost = light_lost(new, self._obstacles, glass_m=self._glass_m)
        self._known.update(zip(new, lost.tolist(), strict=True))
        return [self._known[place] for place in places]

    def of(self, layout: Layout) -> float:
        """Share of the whole array's light."""
        lost = self.of_each([_place(panel) for panel in layout.panels])
        pairs = zip(layout.panels, lost, strict=True)
        return sum(panel.power_w * share for panel, share in pairs) / layout.power_w


@functools.lru_cache(maxsize=8)
def _known_losses(obstacles: tuple[Obstacle, ...], glass_m: float) -> dict[Place, float]:
    return {}


def _moved(layout: Layout, space: FreeSpace, losses: _Losses) -> Layout:
    for _ in range(_MOST_STEPS):
        places = [_place(panel) for panel in layout.panels]
        weights = [panel.power_w / layout.power_w for panel in layout.panels]
        lost = [w * share for w, share in zip(weights, losses.of_each(places), strict=True)]
        # No panel gains more than it loses.
        worst = sorted(
            (i for i in range(len(lost)) if lost[i] >= _WORTH_SHARE), key=lambda i: -lost[i]
        )
        steps = [*_single_steps(places, worst[:_MOST_SINGLE], space), *_row_steps(places, space)]
        moves = [(index, place) for step in steps for index, place in step.items()]
        shares = iter(losses.of_each([place for _, place in moves]))
        gains = [sum(lost[i] - weights[i] * next(shares) for i in step) for step in steps]
        most = max(gains, default=0.0)
        if most < _WORTH_SHARE:
            break
        # Of steps that gain as much, the one that leaves the simplest rows.
        near = [step for step, gain in zip(steps, gains, strict=True) if gain > most - _SAME_SHARE]
        layout = min((_changed(layout, step) for step in near[:_MOST_STEPS]), key=ways_and_rows)
    return layout


def _place(panel: PlacedPanel) -> Place:
    x, y, length, width = (
        round(value * PER_M) for value in (panel.x_m, panel.y_m, panel.length_m, panel.width_m)
    )
    return x, y, length, width


def _changed(layout: Layout, step: dict[int, Place]) -> Layout:
    panels = list(layout.panels)
    for index, (x, y, length, width) in step.items():
        panels[index] = dataclasses.replace(
            panels[index],
            x_m=x / PER_M,
            y_m=y / PER_M,
            length_m=length / PER_M,
            width_m=width / PER_M,
            lengthwise=length >= width,
        )
    return layout_of(panels, layout.bound_w)


def _beside(space: FreeSpace, places: Iterable[Place]) -> FreeSpace:
    """The space that is left beside panels, their gaps taken off."""
    taken = tuple(
        (x - space.gap, y - space.gap, x + length + space.gap, y + width + space.gap)
        for x, y, length, width in places
    )
    return dataclasses.replace(space, blocks=space.blocks + taken)


def _single_steps(
    places: Sequence[Place], movable: Iterable[int], space: FreeSpace
) -> list[dict[int, Place]]:
    """Every place to which one panel can go alone, either way round."""
    steps = []
    columns = sorted({place[0] for place in places})
    for index in movable:
        others = [*places[:index], *places[index + 1 :]]
        beside = _beside(space, others)
        _, _, one, other = places[index]
        for length, width in sorted({(one, other), (other, one)}):
            for y in _sides(beside, width, others):
                for first, last in free_spans(beside, length, width, y):
                    parts = range(_BETWEEN + 2)
                    xs = {first + (last - first) * part // parts[-1] for part in parts}
                    xs |= {x for x in columns if first < x < last}
                    steps += [{index: (x, y, length, width)} for x in sorted(xs)]
    return steps


def _sides(space: FreeSpace, width: int, others: Iterable[Place]) -> list[int]:
    """Left sides of panels of this width that touch something at their left or right, or align."""
    low, high = space.breadth
    left = {y for y, _ in space.rests} | {place[1] for place in others}
    right = {y - space.margin for (_, y), _ in space.edges} | {block[1] for block in space.blocks}
    return sorted(
        y for y in left | {y - width for y in right} if low + space.margin <= y <= high - width
    )


def _row_steps(places: Sequence[Place], space: FreeSpace) -> list[dict[int, Place]]:
    """Every slide of a row's end, as far or half as far as there is room, along the van."""
    steps = []
    rows: dict[int, list[int]] = {}
    for index in sorted(range(len(places)), key=lambda i: places[i][0]):
        rows.setdefault(places[index][1], []).append(index)
    sets = {frozenset(range(len(places)))}
    for row in rows.values():
        sets |= {frozenset(row[k:]) for k in range(len(row))}
        sets |= {frozenset(row[: k + 1]) for k in range(len(row))}
    for together in sorted(sets, key=sorted):
        beside = _beside(space, (p for i, p in enumerate(places) if i not in together))
        back, forth = PER_M * 100, PER_M * 100
        for index in together:
            x, y, length, width = places[index]
            spans = free_spans(beside, length, width, y)
            first, last = next((s for s in spans if s[0] <= x <= s[1]), (x, x))
            back, forth = min(back, x - first), min(forth, last - x)
        for by in sorted({-back, -(back // 2), forth // 2, forth} - {0}):
            step = {i: (places[i][0] + by, *places[i][1:]) for i in sorted(together)}
            steps.append(step)
    return steps
