"""What one more design's money buys: days on the same weather, parts, price."""

from __future__ import annotations

import dataclasses
import itertools
from collections.abc import Mapping, Sequence

from solarsim.answers.offer.offered import Offered
from solarsim.answers.simulation.summary import paired
from solarsim.arrays import FloatArray

__all__ = ["Step", "steps_between"]

# What a buyer is told of by name; cables, fuses and small parts follow from it.
_NAMED_GROUPS = ("generation", "storage", "devices")


@dataclasses.dataclass(frozen=True)
class Step:
    """From one design that may be built to the next.

    Attributes
    ----------
    start, end : str
        Letters of the two designs.
    changes : tuple of str
        Parts more and fewer, such as ``"+1 x 100 Ah LFP"``.
    safe_gain_days : float
        Difference of the safe days of the stay.
    mean_gain_days : float
        Mean of the runs' differences, each run on the same weather.
    standard_error : float
        Of that mean, days; 0 where a single run cannot tell.
    cost : float or None
        Difference of the prices with labour and tax, as far as they were said; None without.
    unpriced : int
        Lines that differ and have no price: they are not in `cost`.
    """

    start: str
    end: str
    changes: tuple[str, ...]
    safe_gain_days: float
    mean_gain_days: float
    standard_error: float
    cost: float | None
    unpriced: int


def steps_between(
    designs: Sequence[Offered], first_cut_days: Mapping[str, FloatArray]
) -> tuple[Step, ...]:
    """Return the steps from each design that may be built to the next such one.

    Parameters
    ----------
    designs : sequence of Offered
        In the order of the offer.
    first_cut_days : mapping of str to ndarray
        Days until the first cut-off by design's letter, ``(runs,)``, all on the same weather.
    """
    sound = [design for design in designs if not design.reasons]
    return tuple(
        _step(one, other, first_cut_days[other.letter] - first_cut_days[one.letter])
        for one, other in itertools.pairwise(sound)
    )


def _step(one: Offered, other: Offered, gained: FloatArray) -> Step:
    mean, error = paired(gained)
    cost = None
    if one.price is not None and other.price is not None:
        cost = round(other.price.gross - one.price.gross, 2)
    changes, unpriced = _changes(one, other)
    return Step(
        start=one.letter,
        end=other.letter,
        changes=changes,
        safe_gain_days=other.stay.safe_days - one.stay.safe_days,
        mean_gain_days=mean,
        standard_error=error,
        cost=cost,
        unpriced=unpriced,
    )


def _changes(one: Offered, other: Offered) -> tuple[tuple[str, ...], int]:
    """Name what is more and what is less, and count lines that differ and have no price."""
    before, after = ({item.part: item for item in each.list.items} for each in (one, other))
    said, unpriced = [], 0
    for part in dict.fromkeys((*after, *before)):
        item = after.get(part) or before[part]
        quantities = [0.0 if part not in each else each[part].quantity for each in (before, after)]
        more = quantities[1] - quantities[0]
        if more == 0.0:
            continue
        unpriced += item.all_cost is None
        if item.group in _NAMED_GROUPS:
            said.append(f"{more:+g} x {part}")
    # What comes first, then what goes.
    said.sort(key=lambda text: text.startswith("-"))
    return tuple(said), unpriced
