"""Blocks spread over the processes of this machine."""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import signal
import threading
from collections.abc import Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool

from solarsim.answers.region.asked import RegionQuestion
from solarsim.answers.region.block import Block, answer_block
from solarsim.answers.region.cell import CellSolver
from solarsim.errors import WorkerError

__all__ = ["Bounds", "here", "over_processes", "worker_count"]

Bounds = tuple[int, int, int]
# A worker that the system ends (for want of memory, say) takes the pool with it.
_MOST_POOLS = 3

# A worker's question, and what it keeps between blocks.
_asked: RegionQuestion | None = None
_solver = CellSolver()


def here(asked: RegionQuestion, blocks: Sequence[Bounds]) -> Iterator[tuple[int, Block]]:
    """Answer blocks in this process; each is its number, its first cell and the one past its last.

    Yields
    ------
    tuple of int and Block
        The block's number and figures, as they come.
    """
    solver = CellSolver()
    for number, first, end in blocks:
        yield number, answer_block(asked, first, end, solver)


def over_processes(
    asked: RegionQuestion, blocks: Sequence[Bounds], *, workers: int
) -> Iterator[tuple[int, Block]]:
    """Answer blocks in worker processes; otherwise as `here`.

    Raises
    ------
    WorkerError
        Workers ended without an answer time and again.
    """
    left = {number: (first, end) for number, first, end in blocks}
    for _ in range(_MOST_POOLS):
        try:
            for number, block in _over_a_pool(asked, left, workers):
                del left[number]
                yield number, block
        except BrokenProcessPool:
            continue
        return
    raise WorkerError(
        f"worker processes ended without an answer {_MOST_POOLS} times (for want of memory, "
        "perhaps); what is done is kept where files are written: take fewer --workers"
    )


def _over_a_pool(
    asked: RegionQuestion, left: dict[int, tuple[int, int]], workers: int
) -> Iterator[tuple[int, Block]]:
    # Fresh processes: a fork of one whose threads have run compiled code may hang.
    context = multiprocessing.get_context("spawn")
    pool = ProcessPoolExecutor(
        max_workers=min(workers, len(left)),
        mp_context=context,
        initializer=_begin,
        initargs=(asked,),
    )
    try:
        with _starting_workers():
            futures: dict[Future[Block], int] = {
                pool.submit(_work, first, end): number for number, (first, end) in left.items()
            }
        for future in as_completed(futures):
            yield futures.pop(future), future.result()
    finally:
        # What is under way ends by itself within seconds; nothing new is begun.
        pool.shutdown(wait=True, cancel_futures=True)


@contextlib.contextmanager
def _starting_workers() -> Iterator[None]:
    """Let workers start deaf to Ctrl-C, which the first process alone answers."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def _begin(asked: RegionQuestion) -> None:
    global _asked
    _asked = asked
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def _work(first: int, end: int) -> Block:
    assert _asked is not None
    return answer_block(_asked, first, end, _solver)


def worker_count(workers: int | None) -> int:
    """Return how many processes to take: as given, or one for each processor."""
    return workers or os.cpu_count() or 1
