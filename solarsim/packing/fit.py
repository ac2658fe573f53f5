"""Place as many panels as a roof holds: the most watts, then the least shade, then simple rows."""

from __future__ import annotations

import dataclasses
import functools
import math
from collections.abc import Iterable, Sequence

from solarsim.errors import InputError
from solarsim.inputs.panels import Panels
from solarsim.inputs.roof import Roof
from solarsim.inputs.van import Van
from solarsim.packing.by_hand import placed_by_hand, room_faults
from solarsim.packing.geometry import PER_M, FreeSpace, free_space, is_rectangle
from solarsim.packing.layout import (
    Layout,
    PanelSize,
    PlacedPanel,
    layout_of,
    panel_size,
    simplest,
    simplest_with_fewer,
)
from solarsim.packing.least_shade import layouts_with_fewer, least_shaded_flat, least_shaded_tilted
from solarsim.packing.positions import Kind, Positions, find_positions
from solarsim.packing.search import Placed, search
from solarsim.solar.shade.roof_shade import MOUNT_HEIGHT_M

__all__ = ["best_layouts", "fit_roof", "fitting_counts"]

# Partial layouts kept for each number of panels, in turn until the result is proved. Sizes that are
# mixed have many more layouts and are rarely proved on a bus: they get no third turn.
_WIDTHS = (24, 240, 1200)
_FEW_WIDTHS = _WIDTHS[:2]
# Of one turn: about two seconds and a tenth of a second on one core.
_MOST_WORK, _QUICK_WORK = 1e9, 5e7
# Layouts that the simplest one is picked from, of the most panels and of every smaller number.
_PICKED_FROM, _PICKED_FROM_SMALLER = 60, 4
# Larger layouts that smaller ones are taken from.
_PARENTS = 6


def fit_roof(
    roof: Roof,
    sizes: Sequence[PanelSize],
    *,
    quick: bool = False,
    lying: Panels | None = None,
) -> Layout:
    """Place panels of one or more sizes for the most watts, lengthwise and crosswise.

    Parameters
    ----------
    roof : Roof
        With its obstacles, margin, gap and walkway.
    sizes : sequence of PanelSize
        What may be placed, each as often as it fits.
    quick : bool
        Whether to give up sooner; on a bus the layout may then miss a panel, or its proof, and no
        panel is moved out of the shade.
    lying : Panels, optional
        Gives the mounting and, for tilted panels, the tilt and the side that they face; left out,
        panels lie flat on brackets.

    Returns
    -------
    Layout
        Its ``bound_w`` says what no layout can pass; ``proved`` whether it reaches that. Equal
        input gives an equal layout.

    Notes
    -----
    A roof whose edges run along or across the van is searched over all positions that a best
    layout needs. On a slanting edge positions are 2 cm apart, and the bound is that of the
    rectangle around the outline.

    Raises
    ------
    ValueError
        No size.

    Examples
    --------
    >>> roof = Roof(length_m=3.1, width_m=1.6)
    >>> layout = fit_roof(roof, [PanelSize("200 W", 1.49, 0.71, 200.0)])
    >>> len(layout.panels), layout.proved
    (4, True)
    """
    roof = _bare(roof)
    if quick:
        return _fitted(roof, tuple(sizes), quick)[0][0]
    return _least_shaded_of_most(roof, tuple(sizes), None if lying is None else _alike(lying))


def best_layouts(van: Van, counts: Iterable[int] | None = None) -> dict[int, Layout]:
    """Return the best layout of every number of panels that fits, in whole strings.

    Each number has a layout of its own: where the least light is lost to what stands on the roof
    and, as far as that goes, in simple rows; or where ``roof.panels`` puts them, if it names that
    many and each has room.

    Parameters
    ----------
    van : Van
        Its own number of panels plays no part.
    counts : iterable of int, optional
        Only these, as far as they fit; each takes its time.

    Raises
    ------
    InputError
        The van has no roof.
    """
    fitting = fitting_counts(van)[1:]
    asked = fitting if counts is None else sorted(set(counts) & set(fitting))
    assert van.roof is not None
    roof, panels = _bare(van.roof), van.panels
    size = panel_size(panels)
    simple = dict(_by_count(roof, size, panels.series))
    lying = _alike(panels)
    by_hand = {}
    if van.roof.panels and not room_faults(van.roof, size):
        placed = placed_by_hand(van.roof, size)
        by_hand[len(placed)] = layout_of(placed, _fitted(roof, (size,), False)[0][0].bound_w)
    return {
        count: by_hand.get(count) or _least_shaded_of_count(roof, size, simple[count], lying)
        for count in asked
    }


def fitting_counts(van: Van) -> list[int]:
    """Return the numbers of panels that fit, from none, in whole strings.

    Raises
    ------
    InputError
        The van has no roof.
    """
    if van.roof is None:
        message = "the van has no [roof]; give its length_m and width_m, or a template"
        raise InputError(message, field="roof")
    most = len(_fitted(_bare(van.roof), (panel_size(van.panels),), False)[0][0].panels)
    return list(range(0, most + 1, van.panels.series))


def _bare(roof: Roof) -> Roof:
    """The roof for a search, which looks for places of its own."""
    return roof.model_copy(update={"panels": ()}) if roof.panels else roof


@functools.lru_cache(maxsize=256)
def _by_count(roof: Roof, size: PanelSize, series: int) -> tuple[tuple[int, Layout], ...]:
    """Simple rows for every number of panels."""
    most, others = _fitted(roof, (size,), False)
    out: list[tuple[int, Layout]] = []
    parents = (*most[:_PARENTS], *others)
    for count in range(len(most[0].panels) // series * series, 0, -series):
        # The next smaller one mostly comes of this one, or of another start.
        larger = [layout for layout in parents if len(layout.panels) >= count]
        layout = simplest_with_fewer(larger, roof, count)
        out.append((count, layout))
        parents = (layout, *[other for other in others if len(other.panels) <= count])
    return tuple(reversed(out))


def _alike(panels: Panels) -> Panels:
    """Panels with what plays no part in their layout put alike, so that layouts are shared."""
    return panels.model_copy(update={"count": panels.series, "cost": None, "azimuth_deg": None})


@functools.lru_cache(maxsize=256)
def _least_shaded_of_most(roof: Roof, sizes: tuple[PanelSize, ...], lying: Panels | None) -> Layout:
    return _least_shaded(list(_fitted(roof, sizes, False)[0]), roof, lying)


@functools.lru_cache(maxsize=1024)
def _least_shaded_of_count(roof: Roof, size: PanelSize, simple: Layout, lying: Panels) -> Layout:
    most, others = _fitted(roof, (size,), False)
    count = len(simple.panels)
    if count == len(most[0].panels):
        return _least_shaded_of_most(roof, (size,), lying)
    glass_m = MOUNT_HEIGHT_M[lying.mounting]
    starts = layouts_with_fewer((*most[:_PARENTS], *others), roof, count, glass_m=glass_m)
    return _least_shaded([simple, *starts], roof, lying)


def _least_shaded(layouts: list[Layout], roof: Roof, lying: Panels | None) -> Layout:
    flat = least_shaded_flat(
        layouts, roof, glass_m=MOUNT_HEIGHT_M["gap" if lying is None else lying.mounting]
    )
    if lying is None or lying.tilt_deg == 0.0:
        return flat
    return least_shaded_tilted([layouts[0], flat, *layouts[1:]], roof, lying)


@functools.lru_cache(maxsize=512)
def _fitted(
    roof: Roof, sizes: tuple[PanelSize, ...], quick: bool
) -> tuple[tuple[Layout, ...], tuple[Layout, ...]]:
    """Layouts of the most power, the simplest first, and one each of fewer panels."""
    if not sizes:
        raise ValueError("needs a panel size")
    space = free_space(roof)
    kinds = _kinds(sizes)
    positions = find_positions(space, kinds)
    pools: list[tuple[Positions, dict[int, tuple[Placed, ...]]]] = []
    # One size alone is a mix too, and found more surely.
    alone = [_fitted(roof, (size,), quick)[0][0] for size in sizes] if len(sizes) > 1 else []
    power_w, bound_w = max((layout.power_w for layout in alone), default=0.0), math.inf
    relaxed_w = _relaxed_bound_w(space, kinds, sizes)
    most_work = _QUICK_WORK if quick else _MOST_WORK
    for width in _FEW_WIDTHS if quick or len(sizes) > 1 else _WIDTHS:
        # The first turn is short and goes to its end.
        work = math.inf if width == _WIDTHS[0] else most_work
        found = search(positions, width=width, known_w=power_w, most_work=work)
        pools.append((positions, found.layouts))
        power_w = found.power_w
        bound_w = min(bound_w, max(power_w, min(found.bound_w, relaxed_w)))
        if power_w >= bound_w - 1e-6:
            break
    # One way round is easier to build where it gives as much.
    for lengthwise in (True, False):
        one_way = [kind for kind in kinds if (kind.length >= kind.width) == lengthwise]
        if 0 < len(one_way) < len(kinds):
            some = find_positions(space, one_way)
            pools.append((some, search(some, width=_WIDTHS[0]).layouts))
    by_count: dict[int, list[Layout]] = {}
    for layout in alone:
        by_count.setdefault(len(layout.panels), []).append(layout_of(layout.panels, bound_w))
    most_panels = max((count for _, layouts in pools for count in layouts), default=0)
    for there, layouts in pools:
        for count, placed in layouts.items():
            picked = _PICKED_FROM if count == most_panels else _PICKED_FROM_SMALLER
            by_count.setdefault(count, []).extend(
                _layout(each, there, sizes, bound_w) for each in placed[:picked]
            )
    everything = [layout for layouts_of in by_count.values() for layout in layouts_of]
    if not everything:
        return (Layout((), 0.0, bound_w),), ()
    best = simplest(everything, roof)
    most = [layout for layout in everything if layout.power_w >= best.power_w - 1e-6]
    ranked = dict.fromkeys([best, *most])
    smaller = tuple(
        simplest(layouts_of, roof)
        for count, layouts_of in by_count.items()
        if count < len(best.panels)
    )
    return tuple(ranked), smaller


def _kinds(sizes: Sequence[PanelSize]) -> list[Kind]:
    kinds = []
    for number, size in enumerate(sizes):
        # Rounded up, so that no panel comes out smaller than it is.
        long = math.ceil(round(size.length_m * PER_M, 3))
        short = math.ceil(round(size.width_m * PER_M, 3))
        kinds.append(Kind(number, long, short, round(size.power_w, 3)))
        if long != short:
            kinds.append(Kind(number, short, long, round(size.power_w, 3)))
    return kinds


def _layout(
    placed: Placed, positions: Positions, sizes: Sequence[PanelSize], bound_w: float
) -> Layout:
    panels = []
    for span, x in placed:
        kind = positions.kinds[positions.kind[span]]
        panels.append(
            PlacedPanel(
                part=sizes[kind.size].part,
                x_m=x / PER_M,
                y_m=int(positions.y[span]) / PER_M,
                length_m=kind.length / PER_M,
                width_m=kind.width / PER_M,
                power_w=kind.power_w,
                lengthwise=kind.length >= kind.width,
            )
        )
    return layout_of(panels, bound_w)


def _relaxed_bound_w(space: FreeSpace, kinds: Sequence[Kind], sizes: Sequence[PanelSize]) -> float:
    """Power that no layout passes, from the rectangle around the outline and from plain area."""
    along = [x for (x, _), _ in space.edges]
    low, high = space.breadth
    corners = [(min(along), low), (max(along), low), (max(along), high), (min(along), high)]
    length = max(along) - min(along) - 2 * space.margin + space.gap
    width = high - low - 2 * space.margin + space.gap
    if length <= 0 or width <= 0:
        return 0.0
    density = max(
        kind.power_w / ((kind.length + space.gap) * (kind.width + space.gap)) for kind in kinds
    )
    area_w = density * length * width
    if len(sizes) == 1:
        # Of the kind, whose watts are rounded as those of what is placed.
        area_w = math.floor(area_w / kinds[0].power_w + 1e-6) * kinds[0].power_w
    if is_rectangle(space):
        return area_w
    around = dataclasses.replace(
        space, edges=tuple(zip(corners, corners[1:] + corners[:1], strict=True)), upright=True
    )
    found = search(find_positions(around, kinds), width=_WIDTHS[1], most_work=_QUICK_WORK)
    return min(area_w, found.bound_w)
