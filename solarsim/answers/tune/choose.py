"""The choice among the candidates, the line of best designs, and what one part more pays."""

from __future__ import annotations

import dataclasses
import itertools
from collections.abc import Sequence

import numpy as np

from solarsim.answers.bank import parallel_doubt, starts_empty, units_text
from solarsim.answers.question import Question
from solarsim.answers.tune.built import Stops
from solarsim.answers.tune.designs import OneMore, StoppedDesign, TunedDesign
from solarsim.inputs.counts import count_text
from solarsim.inputs.percent import chance_text, percent
from solarsim.inputs.van import Van

__all__ = [
    "PAYS_CHANCE",
    "PAYS_DAYS",
    "Choice",
    "best_line",
    "buildable_line",
    "choose",
    "one_more",
    "parts_text",
    "stops_paying",
]

# One more panel stops paying where it adds less than this to the chance and to the mean days, as
# both are shown: what one more pays stands beside it.
PAYS_CHANCE = 0.01
PAYS_DAYS = 0.1


@dataclasses.dataclass(frozen=True)
class Choice:
    """The design to build, if there is one, what was passed over for it, and why in words."""

    design: TunedDesign | None
    passed_over: tuple[StoppedDesign, ...]
    reason: str


def choose(question: Question, designs: Sequence[TunedDesign], stops: Stops) -> Choice:
    """Pick the cheapest candidate that meets the target chance and may be built.

    Parameters
    ----------
    question : Question
        Gives the target.
    designs : sequence of TunedDesign
        Every candidate.
    stops : callable
        Why a candidate may not be built; asked from the cheapest on until one passes.
    """
    stay = question.van.stay
    target = percent(stay.target_chance)
    good = sorted((d for d in designs if d.chance_lasts >= stay.target_chance), key=_price)
    if not good:
        best = _longest(designs)
        empty = starts_empty(question.van)
        most = count_text(max(d.panels for d in designs), "panel")
        return Choice(
            None,
            (),
            f"no design of up to {most} and {units_text(max(d.units for d in designs))} "
            f"reaches {target}; the best, {parts_text(best, designs)}, lasts in "
            f"{chance_text(best.chance_lasts)} of runs" + (f"; {empty}" if empty else ""),
        )
    design, passed_over = _first_without(good, lambda one: _doubts(question.van, one, stops))
    if design is None:
        # None without a doubt: one that may at least be built, and the doubt is said.
        design, passed_over = _first_without(good, stops)
    if design is None:
        first = passed_over[0]
        return Choice(
            None,
            passed_over,
            f"{len(good)} designs reach {target}, and none of them may be built; the cheapest, "
            f"{parts_text(first.design, designs)}: {'; '.join(first.reasons)}",
        )
    reason = (
        f"the cheapest that lasts {count_text(stay.days, 'day')} in at least {target} of runs and "
        f"passes the checks: {chance_text(design.chance_lasts)}"
    )
    if passed_over:
        first = passed_over[0]
        others = len(passed_over) - 1
        also = ""
        if others:
            also = "; so is one more" if others == 1 else f"; so are {others} more"
        reason += (
            f"; {parts_text(first.design, designs)} would last too and be cheaper, but is passed "
            f"over: {'; '.join(first.reasons)}{also}"
        )
    if doubt := parallel_doubt(question.van, design.units):
        reason += f"; {doubt}"
    if design.panels == 0 and any(one.panels > 0 for one in designs):
        reason += (
            "; the sun of this stay does not pay for a panel: ask about a brighter month before "
            "leaving the roof bare"
        )
    return Choice(design, passed_over, reason)


def _first_without(
    designs: Sequence[TunedDesign], reasons_against: Stops
) -> tuple[TunedDesign | None, tuple[StoppedDesign, ...]]:
    """Return the first that nothing speaks against, and those before it with what does."""
    passed_over: list[StoppedDesign] = []
    for design in designs:
        reasons = reasons_against(design)
        if not reasons:
            return design, tuple(passed_over)
        passed_over.append(StoppedDesign(design, reasons))
    return None, tuple(passed_over)


def _doubts(van: Van, design: TunedDesign, stops: Stops) -> tuple[str, ...]:
    doubt = parallel_doubt(van, design.units)
    return (doubt,) if doubt else stops(design)


def parts_text(design: TunedDesign, among: Sequence[TunedDesign]) -> str:
    """Name a design by its panels and units, and by what else differs among the candidates."""
    text = f"{count_text(design.panels, 'panel')} and {units_text(design.units)}"
    if len({one.chemistry for one in among}) > 1:
        text += f" of {design.chemistry.upper()}"
    if len({one.dcdc_a for one in among}) > 1:
        text += f" with a DC-DC charger of {design.dcdc_a:g} A"
    if len({one.tilt_deg for one in among}) > 1:
        text += f" at a tilt of {design.tilt_deg:g} degrees"
    return text


def _longest(designs: Sequence[TunedDesign]) -> TunedDesign:
    return max(designs, key=lambda design: (design.chance_lasts, design.days.p50))


def _price(design: TunedDesign) -> tuple[float, ...]:
    price = design.cost_in_panel_w if design.cost is None else design.cost
    # Among equals the better one, and of what makes no difference the least.
    return price, -design.chance_lasts, design.units, design.dcdc_a, design.tilt_deg


def best_line(designs: Sequence[TunedDesign]) -> tuple[TunedDesign, ...]:
    """Candidates that no other matches in price and chance while beating it in one of them."""
    # Everything that should be small, one row a design.
    bad = np.array(
        [
            (*((d.capacity_ah, d.panels) if d.cost is None else (d.cost,)), -d.chance_lasts)
            for d in designs
        ]
    )
    line = [
        design
        for design, own in zip(designs, bad, strict=True)
        if not ((bad <= own).all(axis=1) & (bad < own).any(axis=1)).any()
    ]
    return tuple(sorted(line, key=_price))


def buildable_line(designs: Sequence[TunedDesign], stops: Stops) -> tuple[TunedDesign, ...]:
    """The best line among what passes the checks, or among all where nothing passes."""
    left = list(designs)
    while left:
        line = best_line(left)
        stopped = {id(design) for design in line if stops(design)}
        if not stopped:
            return line
        left = [design for design in left if id(design) not in stopped]
    return best_line(designs)


def stops_paying(designs: Sequence[TunedDesign], choice: TunedDesign | None) -> TunedDesign | None:
    """Find the panel count from which on no further panel pays.

    Looked at on the choice's bank, or on the bank of the design that does best.
    """
    anchor = choice or _longest(designs)
    same = [design for design in designs if _beside_panels(design) == _beside_panels(anchor)]
    # From the largest down: the first panels may add nothing yet and still be worth their row.
    stops = None
    for fewer, more in reversed(list(itertools.pairwise(same))):
        gain = more.chance_lasts - fewer.chance_lasts
        days = more.days.mean - fewer.days.mean
        if round(gain, 2) >= PAYS_CHANCE or round(days, 1) >= PAYS_DAYS:
            break
        stops = fewer
    return stops


def one_more(
    van: Van, designs: Sequence[TunedDesign], choice: TunedDesign | None, fitting: Sequence[int]
) -> tuple[OneMore, ...]:
    """What one more string of panels, and of batteries, adds to the choice."""
    if choice is None:
        return ()
    panels, units = van.panels.series, van.units_in_series
    found = []
    for part, count, wanted in (
        ("panel", panels, (choice.panels + panels, choice.units)),
        ("battery", units, (choice.panels, choice.units + units)),
    ):
        more = next(
            (
                design
                for design in designs
                if (design.panels, design.units) == wanted and _kind(design) == _kind(choice)
            ),
            None,
        )
        if more is None or more.panels not in fitting:
            continue
        found.append(
            OneMore(
                part=part,
                count=count,
                days_gained=more.days.mean - choice.days.mean,
                chance_gained=more.chance_lasts - choice.chance_lasts,
                cost=None if more.cost is None or choice.cost is None else more.cost - choice.cost,
            )
        )
    return tuple(found)


def _kind(design: TunedDesign) -> tuple[str, float, float]:
    return design.chemistry, design.dcdc_a, design.tilt_deg


def _beside_panels(design: TunedDesign) -> tuple[object, ...]:
    return design.units, *_kind(design)
