"""A block of cells: the piece of a region that one worker computes and one file holds."""

from __future__ import annotations

import dataclasses

import numpy as np

from solarsim.answers.region.asked import RegionQuestion
from solarsim.answers.region.cell import CellSolver
from solarsim.answers.region.cells import Cell
from solarsim.arrays import BoolArray, FloatArray, IntArray
from solarsim.errors import PlaceError
from solarsim.records import ArrayRecord
from solarsim.weather.climate.bundle import load_site_climate
from solarsim.weather.streams import keep_draws

__all__ = ["Block", "answer_block", "block_bounds", "join_blocks"]

# Cells times months times vans of a block: a few seconds of work, and some hundred blocks.
_BLOCK_FIGURES = 48


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Block(ArrayRecord):
    """Figures of consecutive cells.

    Attributes
    ----------
    has_climate : ndarray
        ``(cells,)`` false where the cell lies too far from the land that the climate covers; its
        figures are NaN then.
    elevation_m : ndarray
        ``(cells,)`` of the ground where people live.
    timezone : ndarray of str
        ``(cells,)`` IANA names.
    p10_days, p50_days, chance_lasts : ndarray
        ``(vans, months, cells)``.
    bank_units : ndarray of int
        ``(vans, months, cells)``; 0 where no bank would hold.
    """

    has_climate: BoolArray
    elevation_m: FloatArray
    timezone: np.ndarray[tuple[int, ...], np.dtype[np.str_]]
    p10_days: FloatArray
    p50_days: FloatArray
    chance_lasts: FloatArray
    bank_units: IntArray


def block_bounds(asked: RegionQuestion) -> list[tuple[int, int]]:
    """First cell of each block and the one past its last."""
    cells = len(asked.cells.cells)
    each = max(1, _BLOCK_FIGURES // (len(asked.months) * len(asked.vans)))
    return [(first, min(first + each, cells)) for first in range(0, cells, each)]


def answer_block(
    asked: RegionQuestion, first: int, end: int, solver: CellSolver | None = None
) -> Block:
    """Answer cells ``first`` to ``end - 1``; the same bytes wherever it is done.

    Parameters
    ----------
    asked : RegionQuestion
        What is asked.
    first, end : int
        The block's cells.
    solver : CellSolver, optional
        Of an earlier block of the same question, whose knowledge makes this one quicker.

    Raises
    ------
    InputError
        A load that no bank could carry.
    """
    cells = asked.cells.cells[first:end]
    shape = (len(asked.vans), len(asked.months), len(cells))
    block = Block(
        has_climate=np.zeros(len(cells), dtype=bool),
        elevation_m=np.full(len(cells), np.nan),
        timezone=np.full(len(cells), "", dtype="U64"),
        p10_days=np.full(shape, np.nan),
        p50_days=np.full(shape, np.nan),
        chance_lasts=np.full(shape, np.nan),
        bank_units=np.zeros(shape, dtype=np.int64),
    )
    solver = CellSolver() if solver is None else solver
    with keep_draws():
        for index, cell in enumerate(cells):
            _fill(block, asked, index, cell, solver)
    return block


def join_blocks(blocks: list[Block]) -> Block:
    """Put the blocks of a region together, in their order."""
    return Block(
        **{
            field.name: np.concatenate([getattr(block, field.name) for block in blocks], axis=-1)
            for field in dataclasses.fields(Block)
        }
    )


def _fill(block: Block, asked: RegionQuestion, index: int, cell: Cell, solver: CellSolver) -> None:
    place = cell.place()
    block.elevation_m[index] = place.elevation_m
    block.timezone[index] = place.timezone
    try:
        climate = load_site_climate(place)
    except PlaceError:
        return
    block.has_climate[index] = True
    for month, questions in enumerate(asked.questions):
        there = [dataclasses.replace(q, place=place, climate=climate) for q in questions]
        for van, found in enumerate(solver.figures(there, month)):
            at = (van, month, index)
            block.p10_days[at] = found.p10_days
            block.p50_days[at] = found.p50_days
            block.chance_lasts[at] = found.chance_lasts
            block.bank_units[at] = found.bank_units
