"""Undo and redo over all inputs of a design."""

from __future__ import annotations

import dataclasses
from typing import cast

import streamlit as st

from solarsim.app import state
from solarsim.app.differences import differences
from solarsim.app.draft import Draft, WeatherFile
from solarsim.app.translate import tr
from solarsim.app.units.chosen import units

__all__ = [
    "MAX_SAID",
    "MAX_STEPS",
    "History",
    "begin",
    "can_redo",
    "can_undo",
    "note",
    "redo",
    "undo",
]

MAX_STEPS = 50
# Changes that are named; a whole van differs in dozens.
MAX_SAID = 3


@dataclasses.dataclass(frozen=True)
class History:
    """Designs in the order in which they stood on the page, and the one that stands there now.

    Attributes
    ----------
    steps : tuple of Draft
        At most `MAX_STEPS` beside the present one; the oldest are forgotten.
    at : int
        Place of the present design in `steps`.
    """

    steps: tuple[Draft, ...] = ()
    at: int = -1

    def with_design(self, design: Draft) -> History:
        """Return the history with one more design; what was undone before is forgotten.

        Examples
        --------
        >>> History().with_design(None).at
        0
        """
        if self.steps and self.steps[self.at] == design:
            return self
        steps = (*self.steps[: self.at + 1], design)[-MAX_STEPS - 1 :]
        return History(steps, len(steps) - 1)

    def moved(self, by: int) -> History:
        """Return the history some steps further on, or back; never past its ends."""
        at = min(max(self.at + by, 0), len(self.steps) - 1)
        return dataclasses.replace(self, at=at)


def begin(design: Draft) -> None:
    """Forget all that was; what stands on the page now is the first step."""
    st.session_state.history = History().with_design(design)


def note(design: Draft) -> None:
    """Remember what stands on the page now, if it is not what stood there before."""
    if "history" not in st.session_state:
        begin(design)
    st.session_state.history = _held().with_design(design)


def can_undo() -> bool:
    """Whether there is a design to go back to."""
    return _held().at > 0


def can_redo() -> bool:
    """Whether something was undone that can be done again."""
    return _held().at < len(_held().steps) - 1


def undo() -> None:
    """Go back by one change; only before the inputs are drawn."""
    _move(-1, tr("Undone"))


def redo() -> None:
    """Do again what was undone last; only before the inputs are drawn."""
    _move(1, tr("Done again"))


def _held() -> History:
    return cast("History", st.session_state.history)


def _move(by: int, done: str) -> None:
    before = state.design()
    st.session_state.history = moved = _held().moved(by)
    found = moved.steps[moved.at]
    state.adopt(found)
    said = list(differences(before, found, units()))
    if before.van.van.name != found.van.van.name:
        said.insert(0, tr("the van's name: {name}", name=found.van.van.name))
    if before.weather != found.weather:
        said.append(_file_text(found.weather))
    left = len(said) - MAX_SAID
    more = f" {tr('and {number} more', number=left)}" if left > 0 else ""
    state.say(f"{done}: {'; '.join(said[:MAX_SAID])}{more}." if said else f"{done}.")


def _file_text(file: WeatherFile | None) -> str:
    if file is None:
        return tr("no weather file")
    return tr("the weather file {name}", name=file.name)
