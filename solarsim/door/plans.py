"""What is wired and bought."""

from __future__ import annotations

from typing import TYPE_CHECKING, Unpack

from solarsim.door.asking import Askable, Asked, question_of
from solarsim.inputs.files.van import DEFAULT_VAN

if TYPE_CHECKING:
    from solarsim.answers.wiring.wiring import WiringAnswer

__all__ = ["wiring"]


def wiring(question: Askable = DEFAULT_VAN, **asked: Unpack[Asked]) -> WiringAnswer:
    """Draw up what a van is wired and tested by: the circuit, every run, the test sheet.

    Write it with the answer's ``save``: ``wiring("weekender").save("plan.pdf")``.

    Parameters and errors are as for `stay`.
    """
    from solarsim.answers.wiring.wiring import wiring as answer

    return answer(question_of(question, asked))
