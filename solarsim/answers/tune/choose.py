"""The choice among the candidates, the line of best designs, and where panels stop paying."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import numpy as np

from solarsim.answers.bank import bank_doubts, units_text
from solarsim.answers.question import Question
from solarsim.answers.tune.designs import TunedDesign
from solarsim.inputs.counts import count_text
from solarsim.inputs.percent import chance_text, percent

__all__ = ["best_line", "choose", "stops_paying"]

# One more panel stops paying where it adds less than this to the chance and to the middle days.
_PAYS_CHANCE = 0.01
_PAYS_DAYS = 0.1


def choose(question: Question, designs: Sequence[TunedDesign]) -> tuple[TunedDesign | None, str]:
    """Pick the cheapest candidate that meets the target chance, and say why in words.

    Parameters
    ----------
    question : Question
        Gives the target, and what the electrical check says of the chosen bank.
    designs : sequence of TunedDesign
        Every candidate.

    Returns
    -------
    tuple
        The choice, None where no candidate meets the target, and the reason.
    """
    van = question.van
    target = van.stay.target_chance
    good = [design for design in designs if design.chance_lasts >= target]
    if not good:
        best = _longest(designs)
        most = count_text(max(d.panels for d in designs), "panel")
        return None, (
            f"no design of up to {most} and {units_text(max(d.units for d in designs))} "
            f"reaches {percent(target)}; the best, {count_text(best.panels, 'panel')} and "
            f"{units_text(best.units)}, lasts in {chance_text(best.chance_lasts)} of runs"
        )
    choice = min(good, key=_price)
    reason = (
        f"{'cheapest' if choice.cost is not None else 'fewest parts'} that last "
        f"{van.stay.days} days in at least {percent(target)} of runs: "
        f"{chance_text(choice.chance_lasts)}"
    )
    if choice.chemistry == van.battery.chemistry:
        reason += bank_doubts(question, choice.units)
    return choice, reason


def _longest(designs: Sequence[TunedDesign]) -> TunedDesign:
    return max(designs, key=lambda design: (design.chance_lasts, design.days.p50))


def _price(design: TunedDesign) -> tuple[float, float, float]:
    if design.cost is not None:
        return design.cost, design.units, design.panels
    # Without prices: the fewest parts to buy and fit, and among those the fewest batteries.
    return design.panels + design.units, design.units, -design.chance_lasts


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
    return tuple(sorted(line, key=lambda design: (_price(design), design.chance_lasts)))


def stops_paying(designs: Sequence[TunedDesign], choice: TunedDesign | None) -> TunedDesign | None:
    """Find the panel count from which on no further panel pays.

    Looked at on the choice's bank, or on the bank of the design that does best.
    """
    anchor = choice or _longest(designs)
    same = [
        design
        for design in designs
        if (design.units, design.chemistry, design.dcdc_a, design.tilt_deg)
        == (anchor.units, anchor.chemistry, anchor.dcdc_a, anchor.tilt_deg)
    ]
    # From the largest down: the first panels may add nothing yet and still be worth their row.
    stops = None
    for fewer, more in reversed(list(itertools.pairwise(same))):
        gain = more.chance_lasts - fewer.chance_lasts
        if gain >= _PAYS_CHANCE or more.days.p50 - fewer.days.p50 >= _PAYS_DAYS:
            break
        stops = fewer
    return stops
