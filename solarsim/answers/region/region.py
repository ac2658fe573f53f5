"""How many days a van lasts over a region: the answer of every cell."""

from __future__ import annotations

import dataclasses
from pathlib import Path
from typing import ClassVar

import numpy as np

from solarsim.answers.region.asked import RegionQuestion
from solarsim.answers.region.block import Block, block_bounds, join_blocks
from solarsim.answers.region.cluster import over_cluster
from solarsim.answers.region.kept import KeptBlocks
from solarsim.answers.region.pool import here, over_processes, worker_count
from solarsim.answers.simulation.run import Progress
from solarsim.arrays import BoolArray, FloatArray, IntArray
from solarsim.errors import InputError
from solarsim.inputs.counts import count_text
from solarsim.records import DrawnAnswer
from solarsim.weather.climate.bundle import NORTH_LIMIT_DEG, SOUTH_LIMIT_DEG

__all__ = ["RegionAnswer", "region"]

# Starting processes costs more than so many cells times months times vans.
_WORTH_PROCESSES = 96


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class RegionAnswer(DrawnAnswer):
    """The answer of `region`: arrays over vans, months and cells.

    Attributes
    ----------
    asked : RegionQuestion
        What was asked; `figures` has its cells in their order.
    figures : Block
        The figures; see `solarsim.answers.region.block.Block`.
    notes : tuple of str
        What is left out.
    """

    _face: ClassVar[str] = "region"

    asked: RegionQuestion
    figures: Block
    notes: tuple[str, ...]

    @property
    def answered(self) -> BoolArray:
        """``(cells,)`` which cells have a climate and so an answer."""
        return self.figures.has_climate

    @property
    def worst_month(self) -> IntArray:
        """``(vans, cells)`` month with the lowest chance; 0 where months tell no difference.

        Among months of equal chance the one with the fewest days in half of the runs, then in one
        run of ten. NaN cells have 0 as well.
        """
        figures = self.figures
        keys = np.stack([figures.p10_days, figures.p50_days, figures.chance_lasts])
        order = np.lexsort(keys, axis=1)
        worst, best = order[:, 0], order[:, -1]
        months = np.array(self.asked.months)[worst]
        ends = [np.take_along_axis(keys, end[None, :, None], axis=2) for end in (worst, best)]
        # NaN equals nothing, so cells without a climate are told apart by themselves.
        alike = np.all(ends[0] == ends[1], axis=(0, 2)) | ~self.answered
        return np.where(alike, 0, months)

    def difference_days(self, van: int, other: int) -> FloatArray:
        """``(months, cells)`` how many days more one van lasts than another in half of the runs."""
        more: FloatArray = self.figures.p50_days[van] - self.figures.p50_days[other]
        return more


def region(
    asked: RegionQuestion,
    *,
    keep: Path | None = None,
    workers: int | None = None,
    scheduler: str | None = None,
    progress: Progress | None = None,
) -> RegionAnswer:
    """Answer a region's question, cell by cell.

    Parameters
    ----------
    asked : RegionQuestion
        From `solarsim.answers.region.asked.ask_region`.
    keep : path, optional
        Folder for the blocks that are done; made where it is not there. The same question asked
        again takes from it what is whole.
    workers : int, optional
        Processes; by default as many as processors, or none for a few cells.
    scheduler : str, optional
        Address of a Dask scheduler whose workers answer, or ``"local"``; see
        `solarsim.answers.region.cluster.over_cluster`.
    progress : callable, optional
        Called with cells done and in all.

    Raises
    ------
    InputError
        A load that no bank could carry; no cell with a climate; a folder that cannot be written.
    WorkerError
        Workers that end time and again without an answer, or a cluster that goes away.
    """
    bounds = block_bounds(asked)
    kept = None
    done: dict[int, Block] = {}
    if keep is not None:
        kept = KeptBlocks(keep, asked.fingerprint())
        kept.prepare()
        for number, (first, end) in enumerate(bounds):
            block = kept.read(number, end - first)
            if block is not None:
                done[number] = block
    left = [(n, first, end) for n, (first, end) in enumerate(bounds) if n not in done]
    cells = len(asked.cells.cells)
    told = cells - sum(end - first for _, first, end in left)
    figures = sum(end - first for _, first, end in left) * len(asked.months) * len(asked.vans)
    count = worker_count(workers)
    if progress is not None and told:
        progress(told, cells)
    if scheduler is not None and left:
        found = over_cluster(asked, left, scheduler=scheduler, workers=count)
    elif count == 1 or (workers is None and figures <= _WORTH_PROCESSES):
        found = here(asked, left)
    else:
        found = over_processes(asked, left, workers=count)
    for number, block in found:
        done[number] = block
        if kept is not None:
            kept.write(number, block)
        told += block.p50_days.shape[-1]
        if progress is not None:
            progress(told, cells)
    return _answer(asked, join_blocks([done[number] for number in range(len(bounds))]))


def _answer(asked: RegionQuestion, figures: Block) -> RegionAnswer:
    without = int((~figures.has_climate).sum())
    if without == len(figures.has_climate):
        raise InputError(
            f"no cell has a climate; it covers land between {-SOUTH_LIMIT_DEG:g} S and "
            f"{NORTH_LIMIT_DEG:g} N",
            source=asked.cells.region.name,
            field="region",
        )
    notes = list(asked.cells.region.notes)
    if without:
        notes.append(
            f"{count_text(without, 'cell')} too far from the land that the climate covers: left out"
        )
    return RegionAnswer(asked, figures, tuple(notes))
