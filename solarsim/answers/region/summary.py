"""A region's cells in a few figures: how much of the land carries a van, and where least."""

from __future__ import annotations

import dataclasses

import numpy as np

from solarsim.answers.region.region import RegionAnswer
from solarsim.arrays import FloatArray

__all__ = ["MonthOfRegion", "land_weights", "months_of_region"]


@dataclasses.dataclass(frozen=True)
class MonthOfRegion:
    """One van in one month over all cells with a climate.

    Attributes
    ----------
    van, month : int
        Position of the van; 1 to 12.
    land_share : float
        Share of the land where the stay's target chance is met.
    p50_low_days, p50_middle_days, p50_high_days : float
        Days in half of the runs, in the cells that a tenth, half and nine tenths of the land do
        worse than.
    worst_cell : int or None
        The cell of the lowest chance; among equals the one with the fewest days. None where all
        cells are alike.
    """

    van: int
    month: int
    land_share: float
    p50_low_days: float
    p50_middle_days: float
    p50_high_days: float
    worst_cell: int | None


def land_weights(answer: RegionAnswer) -> FloatArray:
    """``(cells,)`` land of each cell, km2; 0 where it has no climate."""
    land_km2 = answer.asked.cells.land_km2
    # Islets are drawn too small to be seen, but somebody lives there.
    return np.where(answer.answered, np.maximum(land_km2, 1.0), 0.0)


def months_of_region(answer: RegionAnswer) -> list[MonthOfRegion]:
    """Sum up every van and month, van by van."""
    figures, weights = answer.figures, land_weights(answer)
    found = []
    for van, record in enumerate(answer.asked.vans):
        for index, month in enumerate(answer.asked.months):
            chance, days = figures.chance_lasts[van, index], figures.p50_days[van, index]
            holds = np.where(answer.answered, chance >= record.stay.target_chance, False)
            # NaN cells come last.
            keys = [figures.p10_days[van, index], days, chance]
            by_rank = np.lexsort(keys)[: np.count_nonzero(answer.answered)]
            alike = all(key[by_rank[0]] == key[by_rank[-1]] for key in keys)
            low, middle, high = _by_land(days, weights, (0.1, 0.5, 0.9))
            found.append(
                MonthOfRegion(
                    van=van,
                    month=month,
                    land_share=float(weights[holds].sum() / weights[answer.answered].sum()),
                    p50_low_days=low,
                    p50_middle_days=middle,
                    p50_high_days=high,
                    worst_cell=None if alike else int(by_rank[0]),
                )
            )
    return found


def _by_land(
    values: FloatArray, weights: FloatArray, shares: tuple[float, ...]
) -> tuple[float, ...]:
    """Values that given shares of the land do not exceed."""
    order = np.argsort(values)
    reached = np.cumsum(weights[order]) / weights.sum()
    at = np.minimum(np.searchsorted(reached, shares), len(order) - 1)
    return tuple(float(value) for value in values[order][at])
