"""The wiring of a van to build by: what was checked, and the sheet of what is measured."""

from __future__ import annotations

import dataclasses
import itertools
from pathlib import Path
from typing import ClassVar, Literal

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
from solarsim.electrical.check import Check, check_van
from solarsim.errors import InputError
from solarsim.records import Answer

__all__ = ["WiringAnswer", "steps_of", "wiring"]


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class WiringAnswer(Answer):
    """The answer of `wiring`.

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
        return tuple(
            f"{finding.where}: {finding.message}" if finding.where else finding.message
            for finding in self.check.findings
            if finding.severity == "stop"
        )

    def save(self, path: str | Path, *, paper: Literal["a4", "letter"] = "a4") -> None:
        """Write the plan to a file.

        Parameters
        ----------
        path : str or Path
            Its ending says what: the picture alone as ``.svg`` or ``.png``; picture, table of runs
            and test sheet as ``.pdf`` or ``.html``; the runs as ``.csv``; all of it as ``.json``.
        paper : str
            Size of the pages of a PDF.

        Raises
        ------
        InputError
            Another ending or paper, or a file that cannot be written.
        """
        if paper not in ("a4", "letter"):
            raise InputError(f"got {paper!r}; must be a4 or letter", field="paper")
        if not isinstance(path, str | Path):
            raise InputError(f"got {path!r}; must be a file's name", field="path")
        self._shown().save(self, Path(path), paper=paper)

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
        As for `check_van`.
    """
    check = check_van(
        question.van,
        question.profile,
        question.place,
        climate=question.climate,
        series=question.series,
    )
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
