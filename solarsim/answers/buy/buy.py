"""The list of what to buy: like parts added up, priced and weighed, with totals."""

from __future__ import annotations

import dataclasses
import difflib
import functools
import math
import re
from collections.abc import Iterable
from typing import ClassVar

from solarsim.answers.buy.cables import SLACK_END_M, SLACK_SHARE, cable_items, unsized
from solarsim.answers.buy.circuit_items import fuse_name, small_items, switching_items
from solarsim.answers.buy.devices import battery_name, device_items, panel_name
from solarsim.answers.buy.item import GROUPS, Item, Wanted
from solarsim.answers.checked import check_question
from solarsim.answers.question import Question
from solarsim.electrical.check import Check
from solarsim.electrical.rules import fuse_sizes_a
from solarsim.electrical.wire import awg_sizes, metric_sizes
from solarsim.errors import InputError
from solarsim.inputs.parts import part_tables
from solarsim.inputs.prices import Part, Prices
from solarsim.inputs.van import Van
from solarsim.records import PrintedAnswer

__all__ = ["NOT_LISTED", "BuyAnswer", "buy", "buy_of", "priced_van"]

NOT_LISTED = (
    "not on the list: appliances, the alternator and the starter battery, conduit and clips, "
    "tools, wood and screws"
)

_PATTERNS = re.compile(
    r"\d+(\.\d+)? W panel|\d+(\.\d+)? Ah (LFP|AGM|GEL|FLOODED) \d+ V battery"
    r"|inverter \d+(\.\d+)? W, \d+ V|(DC-DC|shore) charger \d+(\.\d+)? A, \d+ V"
    r"|(MPPT|PWM) controller \d+(\.\d+)? V, \d+(\.\d+)? A|converter \d+ V to 12 V, \d+ W"
    r"|fuse block, \d+ ways|breaker \d+(\.\d+)? A, two poles|fuse \d+(\.\d+)? A .+|fuse holder .+"
    r"|(PV cable|cable|mains cable 3 x|lug|ferrule|crimp terminal)"
    r" (\d+(/0)? AWG|\d+(\.\d+)? mm2)( (red|black|green|green-yellow|M5|M6|M8|M10|M12))?"
)


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class BuyAnswer(PrintedAnswer):
    """The answer of `buy`.

    `save` writes it as ``.csv``, ``.xlsx``, ``.html``, ``.pdf`` or ``.json``.

    Attributes
    ----------
    check : Check
        What was checked, with its findings and the whole circuit.
    items : tuple of Item
        What to buy, by group.
    currency : str
        Of all prices; empty where there are none.
    total_cost : float
        Price of all that is priced.
    unpriced : int
        How many lines have no price.
    total_kg, roof_kg : float
        Weight of all, and of what lies on the roof, kg.
    payload_left_kg : float or None
        What the van's payload leaves; None where it is not given.
    notes : tuple of str
        What the list takes for granted.
    """

    _face: ClassVar[str] = "buy"

    check: Check
    items: tuple[Item, ...]
    currency: str
    total_cost: float
    unpriced: int
    total_kg: float
    roof_kg: float
    payload_left_kg: float | None
    notes: tuple[str, ...]

    @property
    def stops(self) -> tuple[str, ...]:
        """What forbids building it so, one line each."""
        return self.check.stops


def buy(question: Question, prices: Prices | None = None, *, source: str = "prices") -> BuyAnswer:
    """Check a van and list what it is built of.

    Parameters
    ----------
    question : Question
        Its van, people and place.
    prices : Prices, optional
        The user's prices and weights.
    source : str
        Where they are from, for messages.

    Raises
    ------
    InputError
        As for `check_question`; a part of the prices that no list could hold, with the nearest
        names.
    """
    check = check_question(question)
    return buy_of(check, prices, source=source)


def buy_of(check: Check, prices: Prices | None = None, *, source: str = "prices") -> BuyAnswer:
    """List what a checked van is built of; otherwise as `buy`."""
    wanted = [*device_items(check), *switching_items(check), *cable_items(check)]
    wanted += small_items(check)
    given = {} if prices is None else {part.part: part for part in prices.parts}
    _known_or_refused(given, {one.part for one in wanted}, source)
    own = _own_costs(check)
    items = tuple(_item(like, given, own) for like in _added_up(wanted))
    currency = "" if prices is None else prices.prices.currency
    total_kg = math.fsum(item.all_kg for item in items)
    payload_kg = check.van.van.payload_kg
    return BuyAnswer(
        check=check,
        items=items,
        currency=currency,
        total_cost=math.fsum(item.all_cost or 0.0 for item in items),
        unpriced=sum(item.all_cost is None for item in items),
        total_kg=total_kg,
        roof_kg=math.fsum(item.roof_kg for item in items),
        payload_left_kg=None if payload_kg is None else payload_kg - total_kg,
        notes=tuple(_notes(check, items, used_own=any(p in own and p not in given for p in own))),
    )


def priced_van(van: Van, prices: Prices) -> Van:
    """Return a van with the prices of its panel and its battery, where they are given."""
    costs = {part.part: part.cost for part in prices.parts if part.cost is not None}
    changed = {
        "panels": (van.panels, costs.get(panel_name(van.panels))),
        "battery": (van.battery, costs.get(battery_name(van.battery))),
    }
    return van.model_copy(
        update={
            name: record.model_copy(update={"cost": cost})
            for name, (record, cost) in changed.items()
            if cost is not None
        }
    )


def _added_up(wanted: Iterable[Wanted]) -> list[list[Wanted]]:
    """Like parts together, in the order of the groups and of their first mention."""
    like: dict[tuple[str, str], list[Wanted]] = {}
    for one in wanted:
        like.setdefault((one.group, one.part), []).append(one)
    order = list(GROUPS)
    return sorted(like.values(), key=lambda some: order.index(some[0].group))


def _item(like: list[Wanted], given: dict[str, Part], own: dict[str, float]) -> Item:
    first = like[0]
    quantity = math.fsum(one.quantity for one in like)
    roof_share = math.fsum(one.quantity for one in like if one.on_roof) / quantity
    if first.unit == "m":
        quantity = math.ceil(2.0 * quantity - 1e-9) / 2.0
    part = given.get(first.part)
    weight_kg = None if part is None else part.weight_kg
    cost = own.get(first.part) if part is None or part.cost is None else part.cost
    each_kg = first.weight_kg if weight_kg is None else weight_kg
    return Item(
        group=first.group,
        part=first.part,
        unit=first.unit,
        quantity=quantity,
        about="; ".join(dict.fromkeys(one.about for one in like if one.about)),
        runs=tuple(sorted({number for one in like for number in one.runs})),
        roof_kg=roof_share * quantity * each_kg,
        each_kg=each_kg,
        all_kg=quantity * each_kg,
        weight_given=weight_kg is not None,
        each_cost=cost,
        all_cost=None if cost is None else quantity * cost,
    )


def _own_costs(check: Check) -> dict[str, float]:
    """Prices that the van's file gives itself, by the part's name."""
    van = check.van
    found = {battery_name(van.battery): van.battery.cost}
    for panels in (van.panels, *van.arrays):
        found.setdefault(panel_name(panels), panels.cost)
    return {name: cost for name, cost in found.items() if cost is not None}


def _notes(check: Check, items: tuple[Item, ...], *, used_own: bool) -> Iterable[str]:
    if any(not item.weight_given for item in items):
        yield (
            "weights that no file gives (marked ~) are plain examples by class: common practice, "
            "no source"
        )
    yield (
        f"cables: every conductor with {100.0 * SLACK_SHARE:.0f} % and {SLACK_END_M:g} m at each "
        "end to spare, rounded up to half metres of each size and colour; lugs by the studs of "
        "usual parts (common practice, no source): measure the part that is bought"
    )
    yield (
        "colours: red for plus and black for minus are common practice, no source; the protective "
        "conductor's are the rules'"
    )
    if used_own:
        yield "prices that the van's file gives itself are taken to be in the same currency"
    missing = unsized(check.topology)
    if missing:
        numbers = ", ".join(map(str, missing))
        yield f"no conductor fits runs {numbers}: their cable is not on the list"
    yield NOT_LISTED
    yield "roof: panels, what holds them, their cables up there; not fans, racks or boxes"
    if check.van.van.payload_kg is not None:
        yield "people, water, furniture and gear come off the payload that is left, too"


def _known_or_refused(given: dict[str, Part], listed: set[str], source: str) -> None:
    """Refuse a part that neither this van's list nor any other could hold."""
    for index, name in enumerate(given):
        if name in listed or name in _library() or _PATTERNS.fullmatch(name):
            continue
        near = difflib.get_close_matches(name, [*listed, *_library()], n=3, cutoff=0.4)
        hint = ", ".join(f"'{other}'" for other in near) or "`solarsim buy` lists the names"
        message = f"got {name!r}; no such part; near: {hint}"
        raise InputError(message, source=source, field=f"parts.{index}.part")


@functools.cache
def _library() -> frozenset[str]:
    """Names that need no van: parts of the library, cables and fuses of every size."""
    sizes = [wire.name for wire in (*awg_sizes(), *metric_sizes())]
    return frozenset(
        [
            *part_tables("panels"),
            *part_tables("batteries"),
            *(f"cable {size} {colour}" for size in sizes for colour in ("red", "black")),
            *(fuse_name(a, kind) for a in fuse_sizes_a() for kind in ("blade", "class T", "gPV")),
            *("mounting set for a panel", "adhesive for a panel", "main switch", "shunt"),
            *("positive bus", "negative bus", "DC isolator, two poles", "shore inlet", "outlet"),
            *("earth bar of the mains side", "earth bar", "transfer switch, all poles"),
            *("PV string fuse box", "pair of PV branch connectors", "pair of PV connectors"),
            *("roof gland, two cables", "cable label, numbered", "set of warning labels"),
        ]
    )
