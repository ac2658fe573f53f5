"""The space of a search: every combination of parts, and the van that each stands for."""

from __future__ import annotations

import collections
import dataclasses
import itertools
import math
import operator
from collections.abc import Iterator, Sequence

from solarsim.answers.bank_sizes import candidate_units
from solarsim.answers.buy.devices import battery_name, panel_name
from solarsim.answers.search.designs import Removed
from solarsim.answers.tune.candidates import (
    DEFAULT_PANELS,
    DEFAULT_STRINGS,
    needed_controller_a,
)
from solarsim.errors import InputError
from solarsim.inputs.base import checked_record
from solarsim.inputs.chargers import Alternator
from solarsim.inputs.panels import Panels
from solarsim.inputs.parts import part_table, part_tables
from solarsim.inputs.van import Battery, Van
from solarsim.packing.fit import best_layouts, fitting_counts

__all__ = [
    "MAX_CANDIDATES",
    "OWN",
    "Case",
    "Space",
    "battery_kinds",
    "cases_of",
    "library_names",
    "panel_kinds",
    "space_of",
]

MAX_CANDIDATES = 50_000
# The van's own part among the library's.
OWN = "own"
# What a van says of how its panels lie and age is true of other panels in their place as well.
_KEPT = ("count", "series", "tilt_deg", "azimuth_deg", "facing", "soiling_share")


@dataclasses.dataclass(frozen=True)
class Space:
    """The dimensions of what is tried.

    Attributes
    ----------
    panels : tuple of Panels
        Kinds of panel; counts play no part.
    batteries : tuple of Battery
        Kinds of battery unit; counts play no part.
    counts : tuple of int or None
        Numbers of panels; None takes all that fit.
    strings : tuple of int
        Parallel strings of battery units.
    tilts_deg, dcdc_a : tuple of float
        Tilts, and DC-DC chargers.
    controllers_a : tuple of float or None
        Controllers; None takes the one that the panels need, never smaller than the van's own.
    """

    panels: tuple[Panels, ...]
    batteries: tuple[Battery, ...]
    counts: tuple[int, ...] | None
    strings: tuple[int, ...]
    tilts_deg: tuple[float, ...]
    dcdc_a: tuple[float, ...]
    controllers_a: tuple[float, ...] | None


@dataclasses.dataclass
class Case:
    """Vans that share weather, light and chargers, and differ in counts and ratings alone."""

    van: Van
    vans: list[Van]
    rise_m: dict[int, float]


def space_of(
    van: Van,
    *,
    panels: Sequence[Panels],
    batteries: Sequence[Battery],
    counts: Sequence[int] | None = None,
    strings: Sequence[int] | None = None,
    tilts_deg: Sequence[float] | None = None,
    dcdc_a: Sequence[float] | None = None,
    controllers_a: Sequence[float] | None = None,
) -> Space:
    """Put a space together; what is left out is as the van has it, counts as `tune` has them."""
    own_a = 0.0 if van.alternator is None else van.alternator.dcdc_a
    return Space(
        panels=tuple(panels),
        batteries=tuple(batteries),
        counts=None if counts is None else tuple(sorted(set(counts))),
        strings=tuple(sorted(set(strings or range(1, DEFAULT_STRINGS + 1)))),
        tilts_deg=tuple(sorted(set(tilts_deg or [van.panels.tilt_deg]))),
        dcdc_a=tuple(sorted(set(dcdc_a or [own_a]))),
        controllers_a=None if controllers_a is None else tuple(sorted(set(controllers_a))),
    )


def panel_kinds(van: Van, names: Sequence[str]) -> list[Panels]:
    """Return kinds of panel by name, in the place of the van's own.

    Raises
    ------
    InputError
        No such part.
    """
    found = []
    for name in names:
        if name in (OWN, van.panels.part):
            found.append(van.panels)
            continue
        kept = {field: getattr(van.panels, field) for field in _KEPT}
        table = part_table("panels", name, field="kinds")
        found.append(Panels.model_validate(table | {"part": name} | kept))
    return list(dict.fromkeys(found))


def battery_kinds(van: Van, names: Sequence[str]) -> list[Battery]:
    """Return kinds of battery unit by name; otherwise as `panel_kinds`."""
    found = []
    for name in names:
        if name in (OWN, van.battery.part):
            found.append(van.battery)
            continue
        kept = {"location": van.battery.location, "vented": van.battery.vented}
        table = part_table("batteries", name, field="batteries")
        found.append(Battery.model_validate(table | {"part": name} | kept))
    return list(dict.fromkeys(found))


def library_names(kind: str) -> list[str]:
    """Return the van's own part and all of the library's."""
    return [OWN, *part_tables(kind)]


def cases_of(
    van: Van, space: Space, most_designs: int = MAX_CANDIDATES
) -> tuple[list[Case], list[Removed], int]:
    """Lay out all candidates.

    Returns
    -------
    tuple
        The cases; what is no van or has no room, with the reason; and how many candidates there
        are with these.

    Raises
    ------
    InputError
        Nothing to try, or more than `most_designs`.
    """
    excluded: collections.Counter[str] = collections.Counter()
    examples: dict[str, str] = {}
    laid: list[tuple[Van, Van, list[int]]] = []
    whole = 0
    # Without panels their kind and tilt are nothing: such a bank is laid out once.
    bare: set[Battery] = set()
    for panels, tilt_deg in itertools.product(space.panels, space.tilts_deg):
        standing = _with_panels(van, panels, tilt_deg)
        fitting = _fitting(standing)
        every = fitting if space.counts is None else space.counts
        possible = {n for n in every if n in fitting or van.roof is None}
        for battery in space.batteries:
            counts = [n for n in every if n % panels.series == 0 and (n or battery not in bare)]
            room = [count for count in counts if count in possible]
            whole += _number(counts, space)
            _check_size(whole, most_designs)
            if lacking := _number(counts, space) - _number(room, space):
                excluded["roof-room"] += lacking
                most = f"the roof has no room for more than {max(fitting)} of {panel_name(panels)}"
                examples.setdefault("roof-room", most)
            if fault := _fault(standing, battery):
                excluded["no-such-van"] += _number(room, space)
                examples.setdefault("no-such-van", fault)
                continue
            if 0 in room:
                bare.add(battery)
            if room:
                laid.append((standing, standing.model_copy(update={"battery": battery}), room))
    if not whole:
        raise InputError(
            f"nothing to try: panels come in whole strings of {van.panels.series}", field="search"
        )
    # Only now that there are not too many: how panels lie takes long to find.
    cases: list[Case] = []
    for standing, group in itertools.groupby(laid, key=operator.itemgetter(0)):
        alike = [(with_battery, room) for _, with_battery, room in group]
        rises = _rises(standing, sorted({count for _, room in alike for count in room}))
        for (with_battery, room), dcdc_a in itertools.product(alike, space.dcdc_a):
            base = _with_dcdc(with_battery, dcdc_a)
            _put(cases, Case(base, list(_members(base, room, space)), rises))
    removed = [Removed(rule, number, examples[rule]) for rule, number in excluded.items()]
    return cases, removed, whole


def _number(counts: Sequence[int], space: Space) -> int:
    """How many designs `_members` makes of these with every DC-DC charger."""
    ratings = len(space.controllers_a or (0.0,))
    each = len(space.strings) * len(space.dcdc_a)
    return sum(ratings if count else 1 for count in counts) * each


def _check_size(whole: int, most: int) -> None:
    if whole > most:
        raise InputError(
            f"more than {most:,} designs in the space; name fewer kinds, tilts, strings "
            "or chargers",
            field="search",
        )


def _put(cases: list[Case], case: Case) -> None:
    """Join kinds of battery that light and chargers do not tell apart."""
    for last in cases:
        if (
            last.van.panels == case.van.panels
            and _driven(last.van) == _driven(case.van)
            and last.van.battery.chemistry == case.van.battery.chemistry
        ):
            last.vans += case.vans
            return
    cases.append(case)


def _driven(van: Van) -> Alternator | None:
    """The alternator where the stay's plan drives; else no size of charger tells vans apart."""
    alternator = van.alternator
    if alternator is None or alternator.rated_a * alternator.drive_h == 0.0:
        return None
    return alternator


def _with_panels(van: Van, panels: Panels, tilt_deg: float) -> Van:
    lying = panels.model_copy(update={"tilt_deg": tilt_deg})
    changed: dict[str, object] = {"panels": lying}
    if van.roof is not None and van.roof.panels and lying != van.panels:
        # Places that were given for the van's own panels are not those of others.
        changed["roof"] = van.roof.model_copy(update={"panels": ()})
    return van.model_copy(update=changed)


def _with_dcdc(van: Van, dcdc_a: float) -> Van:
    own_a = 0.0 if van.alternator is None else van.alternator.dcdc_a
    if dcdc_a == own_a:
        return van
    alternator = van.alternator or Alternator(dcdc_a=0.0)
    return van.model_copy(update={"alternator": alternator.model_copy(update={"dcdc_a": dcdc_a})})


def _members(base: Van, counts: Sequence[int], space: Space) -> Iterator[Van]:
    own, chemistry = base.controller, base.battery.chemistry
    for count in counts:
        needed_a = needed_controller_a(base, panels=count, chemistry=chemistry)
        # Without panels there is nothing for another controller to do.
        for rating_a in (space.controllers_a if count else None) or (needed_a,):
            rating: dict[str, float] = {"max_output_a": rating_a}
            if own.max_input_a is not None:
                # A larger controller takes more current on the panels' side too.
                rating["max_input_a"] = own.max_input_a * rating_a / own.max_output_a
            changed = rating_a != own.max_output_a
            controller = own.model_copy(update=rating) if changed else own
            panels = base.panels.model_copy(update={"count": count})
            for strings in space.strings:
                units = candidate_units(base, strings, strings)[0]
                battery = base.battery.model_copy(update={"units": units})
                yield base.model_copy(
                    update={"panels": panels, "controller": controller, "battery": battery}
                )


def _fitting(van: Van) -> list[int]:
    if van.roof is None:
        return list(range(0, DEFAULT_PANELS + 1, van.panels.series))
    return fitting_counts(van)


def _fault(van: Van, battery: Battery) -> str:
    """Say why no van has such panels and such a battery together; empty where one may."""
    system_v, series = van.van.system_voltage_v, van.panels.series
    if system_v % battery.unit_voltage_v:
        return f"{battery_name(battery)} makes no bank of {system_v} V"
    units = system_v // battery.unit_voltage_v
    try:
        checked_record(
            van.model_copy(
                update={
                    "panels": van.panels.model_copy(update={"count": series}),
                    "battery": battery.model_copy(update={"units": units}),
                }
            ),
            source=panel_name(van.panels),
        )
    except InputError as error:
        return str(error)
    return ""


def _rises(van: Van, counts: Sequence[int]) -> dict[int, float]:
    """How high the raised edge stands above the lower one, by number of panels, m."""
    panels = van.panels
    sine = math.sin(math.radians(panels.tilt_deg))
    if van.roof is None or sine == 0.0:
        # How they lie is not known: the long side is the higher one.
        long_m = max(panels.length_m, panels.width_m)
        return {count: long_m * sine if count else 0.0 for count in counts}
    across = panels.facing in ("left", "right")
    layouts = best_layouts(van, [count for count in counts if count])
    return {0: 0.0} | {
        count: max(one.width_m if across else one.length_m for one in layout.panels) * sine
        for count, layout in layouts.items()
    }
