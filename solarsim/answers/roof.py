"""What fits on the roof, why no more does, and what each thing up there costs in panels."""

from __future__ import annotations

import dataclasses
import itertools
from collections.abc import Sequence
from typing import ClassVar

from solarsim.answers.question import Question, check_inverter
from solarsim.answers.simulation.roof_shade_months import shade_by_month
from solarsim.errors import InputError
from solarsim.inputs.counts import count_text
from solarsim.inputs.parts import part_table, part_tables
from solarsim.inputs.roof import Roof
from solarsim.inputs.van import Van
from solarsim.packing.by_hand import lies_by_hand
from solarsim.packing.fit import best_layouts, fit_roof
from solarsim.packing.free import FreeRectangle, nearest_free
from solarsim.packing.layout import Layout, PanelSize, panel_size
from solarsim.packing.obstacle_costs import Move, ObstacleCost, ObstacleCosts
from solarsim.records import DrawnAnswer
from solarsim.weather.years.windows import stay_month

__all__ = ["OtherPanel", "RoofAnswer", "RoofCost", "RoofMove", "roof"]


@dataclasses.dataclass(frozen=True)
class RoofMove:
    """A free place where an obstacle shades less, the panels staying.

    Attributes
    ----------
    x_m, y_m : float
        Its new rear left corner.
    gained_wh_per_day : float
        Energy that the move gains, mean over the year.
    month_gained_wh_per_day : tuple of float
        The same from January to December.
    """

    x_m: float
    y_m: float
    gained_wh_per_day: float
    month_gained_wh_per_day: tuple[float, ...]


@dataclasses.dataclass(frozen=True)
class RoofCost:
    """What would fit more if one thing were taken away.

    Attributes
    ----------
    name : str
        The obstacle's name, or ``"walkway"``.
    panels_gained : int
        More panels; may be 0 or less where mixed sizes give more watts with fewer panels.
    gained_w : float
        More watts, never below 0.
    proved : bool
        Whether the layout without it is proved to be the best.
    shade_wh_per_day : float or None
        Energy that its shade takes from the panels as they lie, mean over the year; None where it
        was not worked out, and for the walkway.
    month_shade_wh_per_day : tuple of float or None
        The same from January to December.
    move : RoofMove or None
        Where it would cost at least a tenth less; None where no such place was found.
    """

    name: str
    panels_gained: int
    gained_w: float
    proved: bool
    shade_wh_per_day: float | None
    month_shade_wh_per_day: tuple[float, ...] | None = None
    move: RoofMove | None = None


@dataclasses.dataclass(frozen=True)
class OtherPanel:
    """What another panel of the library would come to on this roof."""

    part: str
    count: int
    power_w: float
    proved: bool


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class RoofAnswer(DrawnAnswer):
    """What fits.

    Attributes
    ----------
    van : Van
        Whose roof.
    roof : Roof
        Its roof.
    sizes : tuple of PanelSize
        What was placed.
    layout : Layout
        The most watts.
    by_count : dict of int to Layout
        Every number of the van's own panels in whole strings, each with its own layout; empty
        where other parts were asked for.
    own_count : int
        Panels that the van claims.
    own_layout : Layout or None
        A layout of just these; None where they do not fit.
    roof_m2, free_m2, panels_m2 : float
        Area of the outline, of it what is left beside margin-free obstacles, and of the panels.
    nearest_free : FreeRectangle or None
        The free rectangle that comes nearest to one more panel.
    reasons : tuple of str
        Why no more fit, in words.
    costs : tuple of RoofCost
        What each obstacle and the walkway cost, dearest first: by watts, then by shade.
    others : tuple of OtherPanel
        The library's other panels, most watts first.
    shade_share_by_month : tuple of float or None
        January to December, share of energy lost to shade of what stands on the roof: of the
        van's own panels or, where these do not fit, of as many whole strings as do. None for a van
        without a place, for other parts, and without panels.
    month : int or None
        The stay's month, of which the plan shows the shade; None where that was not worked out.
    panel_shade_share : dict of Layout to tuple of tuple of float
        Of each panel of `layout` and of `own_layout`, January to December, the share of its energy
        lost to shade if it worked alone; empty where that was not worked out.
    warnings : tuple of str
        What a builder must know.
    """

    _face: ClassVar[str] = "roof"

    van: Van
    roof: Roof
    sizes: tuple[PanelSize, ...]
    layout: Layout
    by_count: dict[int, Layout]
    own_count: int
    own_layout: Layout | None
    roof_m2: float
    free_m2: float
    panels_m2: float
    nearest_free: FreeRectangle | None
    reasons: tuple[str, ...]
    costs: tuple[RoofCost, ...]
    others: tuple[OtherPanel, ...]
    shade_share_by_month: tuple[float, ...] | None
    month: int | None
    panel_shade_share: dict[Layout, tuple[tuple[float, ...], ...]]
    warnings: tuple[str, ...]


def roof(question_or_van: Question | Van, *, parts: Sequence[str] = ()) -> RoofAnswer:
    """Place as many panels on a van's roof as fit, for the most watts.

    Parameters
    ----------
    question_or_van : Question or Van
        The van, or a question about it; with its place the answer holds the shade as well.
    parts : sequence of str
        Panels of the library to place, mixed if several; by default the van's own.

    Raises
    ------
    InputError
        The van has no roof, or there is no such part.
    """
    van = question_or_van.van if isinstance(question_or_van, Question) else question_or_van
    if van.roof is None:
        message = "the van has no [roof]; give its length_m and width_m, or a template"
        raise InputError(message, source=van.van.name, field="roof")
    place = van.roof
    own = panel_size(van.panels)
    sizes = tuple(_library_size(part) for part in dict.fromkeys(parts)) or (own,)
    layout = fit_roof(place, sizes, lying=van.panels)
    by_count = {} if parts else best_layouts(van)
    own_layout = by_count.get(van.panels.count)
    by_hand = not parts and lies_by_hand(van)
    if by_hand and own_layout is not None and own_layout.power_w >= layout.power_w:
        layout = own_layout
    free = nearest_free(place, layout, sizes)
    lying = own_layout or max(by_count.values(), key=lambda one: one.power_w, default=None)
    shade, month = None, None
    panel_shade: dict[Layout, tuple[tuple[float, ...], ...]] = {}
    if isinstance(question_or_van, Question) and lying is not None:
        shade, shares = shade_by_month(question_or_van, lying, lying if parts else layout)
        if not parts:
            month = stay_month(van.stay)
            for each, found in ((lying, shade.panel_shade_share), (layout, shares)):
                panel_shade[each] = tuple(tuple(row) for row in found.tolist())
    warnings = _warnings(van, layout, own_layout, mixed=len(sizes) > 1, asked=bool(parts))
    if isinstance(question_or_van, Question):
        warnings += _inverter_warning(question_or_van)
    return RoofAnswer(
        van=van,
        roof=place,
        sizes=sizes,
        layout=layout,
        by_count=by_count,
        own_count=van.panels.count,
        own_layout=own_layout,
        roof_m2=_area_m2(place),
        free_m2=_area_m2(place) - _taken_m2(place),
        panels_m2=sum(panel.length_m * panel.width_m for panel in layout.panels),
        nearest_free=free,
        reasons=_reasons(layout, free, sizes) + _by_hand_reason(van) * by_hand,
        costs=_costs(place, sizes, layout, shade),
        others=_others(place, sizes),
        shade_share_by_month=None if shade is None else tuple(shade.shade_share.tolist()),
        month=month,
        panel_shade_share=panel_shade,
        warnings=warnings,
    )


def _library_size(part: str) -> PanelSize:
    table = part_table("panels", part, field="parts")
    sides = float(table["length_m"]), float(table["width_m"])
    return PanelSize(part, max(sides), min(sides), float(table["power_w"]))


def _by_hand_reason(van: Van) -> tuple[str, ...]:
    many = van.panels.count > 1
    panels = f"the van's own {van.panels.count} panels lie" if many else "the van's own panel lies"
    return (f"{panels} where roof.panels puts {'them' if many else 'it'}",)


def _reasons(
    layout: Layout, free: FreeRectangle | None, sizes: Sequence[PanelSize]
) -> tuple[str, ...]:
    reasons = []
    if layout.proved:
        reasons.append(
            f"proved: no arrangement holds more than {layout.power_w:,.0f} W"
            + (f", {count_text(len(layout.panels), 'panel')}" if len(sizes) == 1 else "")
        )
    else:
        reasons.append(
            f"no arrangement that was found holds more; {layout.bound_w:g} W is what none can pass"
        )
    if free is None:
        reasons.append("nothing free is left beside the panels")
        return tuple(reasons)
    lacks = [
        f"{needed - there:.2f} m too {word}"
        for word, needed, there in (
            ("short", free.needs_length_m, free.length_m),
            ("narrow", free.needs_width_m, free.width_m),
        )
        if needed - there > 5e-7
    ]
    way = "lengthwise" if free.needs_length_m >= free.needs_width_m else "crosswise"
    verdict = " and ".join(lacks) or "just right"
    reasons.append(
        f"the free place that comes nearest, {free.length_m:.2f} x {free.width_m:.2f} m at x "
        f"{free.x_m:.2f}, y {free.y_m:.2f} m, is {verdict} for one more "
        f"{free.part} {way} ({free.needs_length_m:.2f} x {free.needs_width_m:.2f} m)"
    )
    return tuple(reasons)


def _costs(
    place: Roof, sizes: Sequence[PanelSize], layout: Layout, shade: ObstacleCosts | None
) -> tuple[RoofCost, ...]:
    without: list[tuple[str, Roof, ObstacleCost | None]] = []
    for index, obstacle in enumerate(place.obstacles):
        rest = place.obstacles[:index] + place.obstacles[index + 1 :]
        own = None if shade is None else shade.obstacles[index]
        without.append((obstacle.name, place.model_copy(update={"obstacles": rest}), own))
    if place.walkway_m > 0.0:
        without.append(("walkway", place.model_copy(update={"walkway_m": 0.0}), None))
    costs = []
    for name, freed, own in without:
        better = fit_roof(freed, sizes, quick=True)
        # What fits now still fits then, also where the search did not find as much.
        if better.power_w < layout.power_w:
            better = layout
        costs.append(
            RoofCost(
                name=name,
                panels_gained=len(better.panels) - len(layout.panels),
                gained_w=better.power_w - layout.power_w,
                proved=better.proved,
                shade_wh_per_day=None if own is None else float(own.month_wh_per_day.mean()),
                month_shade_wh_per_day=None
                if own is None
                else tuple(own.month_wh_per_day.tolist()),
                move=None if own is None else _move(own.move),
            )
        )
    return tuple(sorted(costs, key=lambda cost: (-cost.gained_w, -(cost.shade_wh_per_day or 0.0))))


def _move(move: Move | None) -> RoofMove | None:
    if move is None:
        return None
    gained = tuple(move.month_saved_wh_per_day.tolist())
    return RoofMove(move.x_m, move.y_m, move.saved_wh_per_day, gained)


def _others(place: Roof, sizes: Sequence[PanelSize]) -> tuple[OtherPanel, ...]:
    known = {size.part for size in sizes}
    found = []
    for part in part_tables("panels"):
        if part not in known or len(sizes) > 1:
            layout = fit_roof(place, [_library_size(part)], quick=True)
            found.append(OtherPanel(part, len(layout.panels), layout.power_w, layout.proved))
    return tuple(sorted(found, key=lambda other: (-other.power_w, other.count)))


def _warnings(
    van: Van, layout: Layout, own_layout: Layout | None, *, mixed: bool, asked: bool
) -> tuple[str, ...]:
    warnings = []
    count = van.panels.count
    if not asked and count and own_layout is None:
        warnings.append(
            f"the van claims {count_text(count, 'panel')}, but "
            + (
                f"{len(layout.panels)} fit"
                if layout.proved or layout.bound_w < count * van.panels.power_w
                else f"no layout with more than {len(layout.panels)} was found"
            )
        )
    left_over = len(layout.panels) % van.panels.series
    if not asked and left_over:
        warnings.append(
            f"the {count_text(len(layout.panels), 'panel')} that fit make no whole strings of "
            f"{van.panels.series}; the most in whole strings: {len(layout.panels) - left_over}"
        )
    beside = [array for array in van.arrays if array.kind == "roof" and array.count]
    if beside:
        names = " and ".join(f"'{array.name}'" for array in beside)
        warnings.append(
            f"the panels of the array {names} are neither drawn nor given room here, and no shade "
            "on them is counted: enter what they cover as obstacles of height 0, or see what fits "
            "together with --parts"
        )
    if mixed:
        warnings.append(
            "panels of different sizes in one string hold each other back: give each kind a string "
            "or a controller of its own"
        )
    return tuple(warnings)


def _inverter_warning(question: Question) -> tuple[str, ...]:
    """What no other answer lets pass; the panels lie where they lie, whatever they feed."""
    try:
        check_inverter(question.van, question.profile)
    except InputError as error:
        rest = "for the roof this makes no difference, every other answer needs it"
        return (f"{error.message}; {rest}",)
    return ()


def _area_m2(place: Roof) -> float:
    corners = place.corners_m
    edges = zip(corners, corners[1:] + corners[:1], strict=True)
    return abs(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in edges)) / 2.0


def _taken_m2(place: Roof) -> float:
    """Area under the obstacles themselves, of those that overlap only once."""
    boxes = [
        (
            o.x_m,
            o.y_m,
            min(o.x_m + o.length_m, place.length_m),
            min(o.y_m + o.width_m, place.width_m),
        )
        for o in place.obstacles
    ]
    xs = sorted({x for box in boxes for x in (box[0], box[2])})
    ys = sorted({y for box in boxes for y in (box[1], box[3])})
    return sum(
        (x1 - x0) * (y1 - y0)
        for x0, x1 in itertools.pairwise(xs)
        for y0, y1 in itertools.pairwise(ys)
        if any(b[0] <= x0 and x1 <= b[2] and b[1] <= y0 and y1 <= b[3] for b in boxes)
    )
