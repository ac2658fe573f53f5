"""Scenes that are kept for the next question at the same place and dates."""

from __future__ import annotations

import contextlib
import contextvars
import dataclasses
import threading
from collections import OrderedDict
from collections.abc import Hashable, Iterator
from typing import Any

import numpy as np
import pandas as pd

from solarsim.answers.question import Question
from solarsim.answers.simulation.scene import Scene, build_scene

__all__ = ["KeptScenes", "keep_scenes", "scene_of"]


class KeptScenes:
    """The scenes used last, up to so many bytes in all; several threads may ask at once.

    Parameters
    ----------
    most_bytes : int
        What they may take, counted as if none shared an array with another.
    """

    def __init__(self, most_bytes: int) -> None:
        self._most_bytes = most_bytes
        self._lock = threading.Lock()
        self._kept: OrderedDict[Hashable, tuple[Question, Scene, int]] = OrderedDict()
        self.bytes = 0

    def find(self, key: Hashable, question: Question) -> tuple[Question, Scene] | None:
        """Return what was asked last under a key on the question's climate, and its scene."""
        with self._lock:
            held = self._kept.get(key)
            if held is None or held[0].climate != question.climate:
                return None
            self._kept.move_to_end(key)
            return held[:2]

    def keep(self, key: Hashable, question: Question, scene: Scene) -> None:
        """Keep a scene in place of an earlier one, and drop those that were not used longest."""
        size = _bytes(scene)
        with self._lock:
            if key in self._kept:
                self.bytes -= self._kept.pop(key)[2]
            self._kept[key] = question, scene, size
            self.bytes += size
            while self.bytes > self._most_bytes:
                self.bytes -= self._kept.popitem(last=False)[1][2]


_kept: contextvars.ContextVar[KeptScenes | None] = contextvars.ContextVar(
    "kept scenes", default=None
)


@contextlib.contextmanager
def keep_scenes(scenes: KeptScenes) -> Iterator[None]:
    """Take from kept scenes within, and keep those that are made.

    Answers are the same; a question that shares its place and dates with one before is answered
    sooner. A thread takes part where it runs in a copy of the context.
    """
    before = _kept.set(scenes)
    try:
        yield
    finally:
        _kept.reset(before)


def scene_of(question: Question, times: pd.DatetimeIndex, *, first_run: int, runs: int) -> Scene:
    """Return `build_scene`, which takes from a kept scene what the two questions share."""
    scenes = _kept.get()
    # A file's windows are not drawn, and files are many.
    if scenes is None or question.series is not None:
        return build_scene(question, times, first_run=first_run, runs=runs)
    drawn = (question.place, question.seed, question.site_uncertainty, first_run, runs)
    key = (*drawn, times[0], len(times))
    like = scenes.find(key, question)
    scene = build_scene(question, times, first_run=first_run, runs=runs, like=like)
    scenes.keep(key, question, scene)
    return scene


def _bytes(held: Any) -> int:
    """Bytes of all arrays in a record; one that is part of a larger one keeps all of that."""
    arrays: dict[int, int] = {}

    def look(one: Any) -> None:
        if isinstance(one, np.ndarray):
            while isinstance(one.base, np.ndarray):
                one = one.base
            arrays[id(one)] = one.nbytes
        elif dataclasses.is_dataclass(one):
            for field in dataclasses.fields(one):
                look(getattr(one, field.name))
        elif isinstance(one, tuple):
            for part in one:
                look(part)

    look(held)
    return sum(arrays.values())
