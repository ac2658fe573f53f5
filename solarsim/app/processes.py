"""Long sums in processes of their own, so that the pages of others do not wait for them."""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from typing import ParamSpec, TypeVar

__all__ = ["answer_beside"]

_Given = ParamSpec("_Given")
_Answer = TypeVar("_Answer")

# A second one starts only where the first is busy: a map of half a minute holds up no months.
_MOST_PROCESSES = 2
# Pages come first, by so much of POSIX's niceness.
_NICENESS = 5
_lock = threading.Lock()
_pool: ProcessPoolExecutor | None = None


def answer_beside(
    answer: Callable[_Given, _Answer], *given: _Given.args, **named: _Given.kwargs
) -> _Answer:
    """Return what a function answers, worked out in another process where the app is served.

    One process draws one page at a time, whatever the processors: a sum of seconds in it is shared
    by everybody who waits.

    Parameters
    ----------
    answer : callable
        A function of a module; it, what it is given and what it returns go between processes.
    *given, **named
        What it is given.

    Raises
    ------
    Exception
        Whatever the function raises.
    """
    if _is_served():
        try:
            return _processes().submit(answer, *given, **named).result()
        except (BrokenProcessPool, NotImplementedError, OSError):
            # A machine that has no processes to give, or took one away: it is slower in this one.
            _forget()
    return answer(*given, **named)


def _is_served() -> bool:
    """Whether visitors are there; a page that is drawn by itself has a stand-in for the server."""
    # The processes that work beside it have no use for it.
    from streamlit import runtime
    from streamlit.runtime import Runtime

    return runtime.exists() and type(runtime.get_instance()) is Runtime


def _processes() -> ProcessPoolExecutor:
    global _pool
    with _lock:
        if _pool is None:
            # Fresh ones: a fork of a process whose threads have run compiled code may hang.
            context = multiprocessing.get_context("spawn")
            _pool = ProcessPoolExecutor(_MOST_PROCESSES, context, initializer=_begin)
        return _pool


def _forget() -> None:
    global _pool
    with _lock:
        _pool = None


def _begin() -> None:
    """Give way to the pages, and end with the server, however that ends."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    if hasattr(os, "nice"):
        os.nice(_NICENESS)
    threading.Thread(target=_end_with_server, daemon=True).start()


def _end_with_server() -> None:
    server = multiprocessing.parent_process()
    assert server is not None
    server.join()
    os._exit(0)
