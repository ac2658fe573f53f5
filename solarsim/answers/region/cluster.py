"""Blocks spread over a cluster of machines."""

from __future__ import annotations

import contextlib
import importlib.util
from collections.abc import Iterator, Sequence
from typing import Any

from solarsim.answers.region.asked import RegionQuestion
from solarsim.answers.region.block import Block, answer_block
from solarsim.answers.region.cell import CellSolver
from solarsim.answers.region.pool import Bounds
from solarsim.answers.region.program import program_checksum
from solarsim.errors import InputError, WorkerError

__all__ = ["LOCAL", "check_cluster", "over_cluster"]

# In place of an address: workers of this machine alone, started for the question.
LOCAL = "local"
_CONNECT_S = 10.0
# How often a block is given to another worker when its own has died.
_RETRIES = 3

# A worker keeps what it learnt of the question that it was last asked.
_solvers: dict[str, CellSolver] = {}


def check_cluster() -> None:
    """Refuse to go to a cluster where the libraries for it are not installed.

    Raises
    ------
    InputError
        Says what to install.
    """
    if importlib.util.find_spec("distributed") is None:
        message = "needs dask and distributed: pip install 'solarsim[cluster]'"
        raise InputError(message, field="--scheduler")


def over_cluster(
    asked: RegionQuestion, blocks: Sequence[Bounds], *, scheduler: str, workers: int
) -> Iterator[tuple[int, Block]]:
    """Answer blocks on a Dask cluster; otherwise as `solarsim.answers.region.pool.here`.

    Parameters
    ----------
    asked : RegionQuestion
        What is asked.
    blocks : sequence of tuple
        Number, first cell and the one past the last of each block.
    scheduler : str
        Its address, such as ``"tcp://10.0.0.1:8786"``, or ``"local"`` for one on this machine.
    workers : int
        Processes of a local one; a cluster has its own.

    Raises
    ------
    InputError
        The libraries are not installed, or nobody answers at the address.
    WorkerError
        Workers of another version, or a cluster that went away; what came before is not lost.
    """
    check_cluster()
    with contextlib.ExitStack() as stack:
        client = _client(stack, scheduler, workers)
        _check_workers(client)
        yield from _answered(client, asked, blocks)


def _client(stack: contextlib.ExitStack, scheduler: str, workers: int) -> Any:
    from distributed import Client, LocalCluster

    if scheduler == LOCAL:
        cluster = LocalCluster(
            n_workers=workers,
            threads_per_worker=1,
            processes=True,
            host="127.0.0.1",
            dashboard_address=None,
        )
        return stack.enter_context(Client(stack.enter_context(cluster)))
    try:
        return stack.enter_context(Client(scheduler, timeout=_CONNECT_S))
    except (OSError, ValueError) as error:
        message = f"no scheduler answers there ({type(error).__name__})"
        raise InputError(message, source=scheduler, field="--scheduler") from None


def _check_workers(client: Any) -> None:
    """Refuse workers that would compute other bytes than this machine."""
    try:
        client.wait_for_workers(1, timeout=_CONNECT_S)
        checksums = client.run(program_checksum, on_error="return")
    except TimeoutError:
        raise WorkerError("the cluster has no worker") from None
    mine = _own_checksum()
    other = sorted(where for where, found in checksums.items() if found != mine)
    if other:
        raise WorkerError(
            f"{len(other)} of {len(checksums)} workers have another version of solarsim, its data "
            f"or its libraries, such as {other[0]}: install the same on all"
        )


def _own_checksum() -> str:
    return program_checksum()


def _answered(
    client: Any, asked: RegionQuestion, blocks: Sequence[Bounds]
) -> Iterator[tuple[int, Block]]:
    from distributed import as_completed

    question = client.scatter(asked, broadcast=True, hash=False)
    fingerprint = asked.fingerprint()
    futures = {
        client.submit(
            _work, question, fingerprint, first, end, pure=False, retries=_RETRIES
        ): number
        for number, first, end in blocks
    }
    try:
        for future in as_completed(futures):
            yield futures.pop(future), _result(future)
    finally:
        # What is not begun is not wanted any more; a cluster that is gone cannot be told.
        with contextlib.suppress(Exception):
            client.cancel(list(futures))


def _result(future: Any) -> Block:
    if future.status in {"cancelled", "lost"}:
        raise WorkerError(
            "the cluster went away; what is done is kept where files are written, and the same "
            "command goes on from there"
        )
    error = future.exception()
    if error is None:
        block: Block = future.result()
        return block
    if isinstance(error, InputError):
        raise error
    raise WorkerError(
        f"the cluster gave a block up ({type(error).__name__}: {error}); what is done is kept "
        "where files are written"
    )


def _work(asked: RegionQuestion, fingerprint: str, first: int, end: int) -> Block:
    if fingerprint not in _solvers:
        _solvers.clear()
        _solvers[fingerprint] = CellSolver()
    return answer_block(asked, first, end, _solvers[fingerprint])
