"""The wiring of a van to build by: what was checked, and the sheet of what is measured."""

from __future__ import annotations

import dataclasses
import itertools
from typing import ClassVar

from solarsim.answers.checked import check_question
from solarsim.answers.question import Question
from solarsim.answers.wiring.dc_steps import (
    bank_steps,
    dead_steps,
    load_steps,
    seen_steps,
    solar_steps,
)
from solarsim.answers.wiring.mains_steps import mains_steps
from solarsim.answers.wiring.step import Step
from solarsim.electrical.check import Check
from solarsim.records import PrintedAnswer

__all__ = ["WiringAnswer", "steps_of", "wiring"]


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class WiringAnswer(PrintedAnswer):
    """The answer of `wiring`.

    `save` writes the picture alone as ``.svg`` or ``.png``; picture, table of runs and test sheet
    as ``.pdf`` or ``.html``; the runs as ``.csv``; all of it as ``.json``.

    Attributes
    ----------
    check : Check
        What was checked, with its findings and the whole circuit.
    steps : tuple of Step
        What is looked at and measured before power-up, in its order.
    """

    _face: ClassVar[str] = "wiring"

    check: Check
    steps: tuple[Step, ...]

    @property
    def stops(self) -> tuple[str, ...]:
        """What forbids building it so, one line each."""
        return self.check.stops

    def svg(self) -> str:
        """Return the picture as SVG."""
        text: str = self._shown().svg(self)
        return text


def wiring(question: Question) -> WiringAnswer:
    """Check a van's wiring and draw up what it is built and tested by.

    Parameters
    ----------
    question : Question
        Its van, people and place.

    Raises
    ------
    InputError
        As for `check_question`.
    """
    check = check_question(question)
    return WiringAnswer(check, steps_of(check))


def steps_of(check: Check) -> tuple[Step, ...]:
    """Return the lines of the test sheet of a checked van; none where nothing is wired."""
    topology = check.topology
    if not topology.runs:
        return ()
    drafts = itertools.chain(
        seen_steps(topology),
        dead_steps(topology),
        solar_steps(check),
        bank_steps(check),
        load_steps(topology),
        mains_steps(check),
    )
    return tuple(Step(number, *draft) for number, draft in enumerate(drafts, start=1))
