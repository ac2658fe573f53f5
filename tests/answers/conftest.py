"""One question in many forms, and its arrays side by side."""

from __future__ import annotations

import dataclasses

import numpy as np
import pandas as pd
import pytest

from solarsim.answers.question import ask
from solarsim.answers.simulation.run import simulate
from solarsim.power.design import design_of


@pytest.fixture(scope="session")
def run():
    """Simulate a question's own design, and more banks if asked."""

    def simulated(van="weekender", *, units=(), runs=20, **asked):
        question = ask(van, runs=runs, **asked)
        own = design_of(question.van)
        designs = [own, *(design_of(question.van, units=count) for count in units)]
        return question, simulate(question, designs)

    return simulated


@pytest.fixture(scope="session")
def flat():
    """Every number of a nest of records by its path, arrays and texts included."""

    def walk(value, path=""):
        if dataclasses.is_dataclass(value):
            for field in dataclasses.fields(value):
                if field.name not in {"question"}:
                    yield from walk(getattr(value, field.name), f"{path}.{field.name}")
        elif isinstance(value, dict):
            for key, item in value.items():
                yield from walk(item, f"{path}[{key}]")
        elif isinstance(value, tuple | list):
            for index, item in enumerate(value):
                yield from walk(item, f"{path}[{index}]")
        elif isinstance(value, pd.DatetimeIndex):
            yield path, value.asi8.tobytes()
        elif isinstance(value, np.ndarray):
            yield path, value.tobytes()
        else:
            yield path, value

    return lambda value: dict(walk(value))
