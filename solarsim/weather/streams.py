"""Random streams: one per run and purpose, so that designs and chunks share the same weather."""

from __future__ import annotations

import contextlib
import contextvars
import enum
from collections.abc import Callable, Hashable, Iterator
from typing import Any, TypeVar

import numpy as np

from solarsim.arrays import FloatArray

__all__ = ["Purpose", "keep_draws", "kept_for", "run_normals", "run_uniforms"]

_Found = TypeVar("_Found")
_Kept = dict[tuple[object, ...], Any]
# Draws that are kept, by what they are for; None where they are not.
_kept: contextvars.ContextVar[_Kept | None] = contextvars.ContextVar("kept draws", default=None)


class Purpose(enum.IntEnum):
    """What a stream is for; a new purpose gets a new number, old numbers never change."""

    SITE = 1
    DAILY_CLEARNESS = 2
    HOURLY_CLEARNESS = 3
    DAILY_TEMPERATURE = 4
    WIND = 5
    PRECIPITATION = 6
    LOADS = 7
    SITE_MONTHS = 9
    SPELLS = 10


def run_normals(
    seed: int, purpose: Purpose, *, first_run: int, runs: int, count: int
) -> FloatArray:
    """Standard normal draws, the same for a run whatever else is drawn.

    Parameters
    ----------
    seed : int
        The question's seed, 0 to 2**63.
    purpose : Purpose
        What the draws are for.
    first_run, runs : int
        Run numbers ``first_run`` to ``first_run + runs - 1``.
    count : int
        Draws per run. More draws leave the first ones as they were.

    Returns
    -------
    ndarray
        ``(runs, count)``.
    """
    return _drawn(_draw_normals, seed, purpose, first_run, runs, count)


def run_uniforms(
    seed: int, purpose: Purpose, *, first_run: int, runs: int, count: int
) -> FloatArray:
    """Uniform draws in [0, 1), ``(runs, count)``; otherwise as `run_normals`."""
    return _drawn(_draw_uniforms, seed, purpose, first_run, runs, count)


@contextlib.contextmanager
def keep_draws() -> Iterator[None]:
    """Keep what is drawn within, for places that are asked one after the other.

    Draws know nothing of places, so that the next place takes those of the one before. They are
    read-only then. A thread takes part where it runs in a copy of the context.
    """
    before = _kept.set({} if _kept.get() is None else _kept.get())
    try:
        yield
    finally:
        _kept.reset(before)


def kept_for(about: Hashable, name: Hashable, find: Callable[[], _Found]) -> _Found:
    """Return what follows from draws; within `keep_draws` it is kept while `about` stays as it is.

    Parameters
    ----------
    about : hashable
        What all that is kept under such names depends on; another one drops it all.
    name : hashable
        What is looked for.
    find : callable
        Finds it where it is not at hand.
    """
    kept = _kept.get()
    if kept is None:
        return find()
    # Both as one: another thread may put its own in their place at any time.
    scope = kept.get(("scope",))
    if scope is None or scope[0] != about:
        scope = kept["scope",] = about, {}
    found: dict[Hashable, _Found] = scope[1]
    if name not in found:
        found[name] = find()
    return found[name]


def _drawn(draw: Callable[..., FloatArray], *about: object) -> FloatArray:
    kept = _kept.get()
    if kept is None:
        return draw(*about)
    key = (draw, *about)
    if key not in kept:
        found = draw(*about)
        found.setflags(write=False)
        kept[key] = found
    result: FloatArray = kept[key]
    return result


def _draw_normals(seed: int, purpose: Purpose, first_run: int, runs: int, count: int) -> FloatArray:
    out = np.empty((runs, count))
    for row, generator in enumerate(_generators(seed, purpose, first_run, runs)):
        generator.standard_normal(out=out[row])
    return out


def _draw_uniforms(
    seed: int, purpose: Purpose, first_run: int, runs: int, count: int
) -> FloatArray:
    out = np.empty((runs, count))
    for row, generator in enumerate(_generators(seed, purpose, first_run, runs)):
        generator.random(out=out[row])
    return out


def _generators(
    seed: int, purpose: Purpose, first_run: int, runs: int
) -> Iterator[np.random.Generator]:
    # One generator whose counter is set for each run: making one anew takes three times as long.
    bits = np.random.Philox(key=[seed, int(purpose)])
    generator = np.random.Generator(bits)
    fresh = bits.state
    for run in range(first_run, first_run + runs):
        # The run sits in the counter's third word, so that streams lie 2**128 draws apart.
        fresh["state"]["counter"] = np.array([0, 0, run, 0], dtype=np.uint64)
        bits.state = fresh
        yield generator
