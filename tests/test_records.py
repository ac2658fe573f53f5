"""Records of arrays: short to print, equal by content, hashed without their arrays."""

from __future__ import annotations

import dataclasses
import importlib
import pkgutil
import typing

import numpy as np
import pandas as pd
import pytest

import solarsim
from solarsim.records import ArrayRecord

TIMES = pd.date_range("2026-01-12 17:00", periods=4, freq="h", tz="Etc/GMT-1", unit="us")


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Reading(ArrayRecord):
    """A record with one field of each kind."""

    name: str
    power_w: np.ndarray
    times: pd.DatetimeIndex
    by_name: dict[str, np.ndarray]
    parts: tuple[np.ndarray, ...]


def reading(**changed):
    fields = {
        "name": "log",
        "power_w": np.array([1.0, np.nan, 3.0]),
        "times": TIMES,
        "by_name": {"pump": np.arange(3)},
        "parts": (np.zeros((2, 2)),),
    }
    return Reading(**(fields | changed))


def test_equal_by_content_with_one_hash():
    assert reading() == reading()
    assert hash(reading()) == hash(reading())
    assert len({reading(), reading()}) == 1


@pytest.mark.parametrize(
    "changed",
    [
        {"name": "other"},
        {"power_w": np.array([1.0, np.nan, 3.5])},
        {"power_w": np.array([1.0, np.nan])},
        {"times": TIMES + pd.Timedelta(hours=1)},
        {"by_name": {"pump": np.array([0, 1, 3])}},
        {"by_name": {"fan": np.arange(3)}},
        {"parts": (np.zeros((2, 2)), np.zeros(1))},
        {"parts": [np.zeros((2, 2))]},
    ],
    ids=lambda changed: next(iter(changed)),
)
def test_any_other_field_tells_two_apart(changed):
    assert reading() != reading(**changed)


def test_another_kind_is_not_equal():
    assert reading() != "log"


def test_repr_shows_shapes_not_numbers():
    long = reading(power_w=np.zeros((700, 720)), name="x" * 5000)
    assert "power_w=<float64 700 x 720>" in repr(long).replace("\n", " ")
    assert "times=<4 hours from 2026-01-12>" in repr(long).replace("\n", " ")
    assert len(repr(long)) < 1200
    assert len(repr(long).splitlines()) <= 12


# What a person meets who follows the fields of an answer.
MET = {"answers.simulation", "answers.peaks", "weather.record", "weather.years.series"}


def test_no_answer_holds_a_dataclass_that_compares_arrays_as_truth_values():
    loose = []
    for info in pkgutil.walk_packages(solarsim.__path__, "solarsim."):
        room = info.name.removeprefix("solarsim.")
        if not any(room.startswith(met) for met in MET):
            continue
        module = importlib.import_module(info.name)
        for name, kind in vars(module).items():
            own = isinstance(kind, type) and kind.__module__ == info.name
            if not own or name.startswith("_") or not dataclasses.is_dataclass(kind):
                continue
            hints = typing.get_type_hints(kind)
            arrays = [
                field.name
                for field in dataclasses.fields(kind)
                if any(word in str(hints[field.name]) for word in ("ndarray", "DatetimeIndex"))
            ]
            by_default = kind.__eq__ is not ArrayRecord.__eq__
            if arrays and by_default:
                loose.append(f"{info.name}.{name}")
    assert loose == []
