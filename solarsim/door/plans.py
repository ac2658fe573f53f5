"""What is wired and bought."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Unpack

from solarsim.door.asking import Askable, Asked, question_of
from solarsim.door.lists import given_prices
from solarsim.inputs.files.van import DEFAULT_VAN
from solarsim.inputs.prices import Prices

if TYPE_CHECKING:
    from solarsim.answers.buy.buy import BuyAnswer
    from solarsim.answers.wiring.wiring import WiringAnswer

__all__ = ["buy", "wiring"]


def buy(
    question: Askable = DEFAULT_VAN,
    *,
    prices: str | Path | Prices | None = None,
    **asked: Unpack[Asked],
) -> BuyAnswer:
    """List what a van is built of: parts, cables, fuses, lugs; what they cost and weigh.

    Write it with the answer's ``save``: ``buy("weekender").save("list.xlsx")``.

    Parameters
    ----------
    question : Question, or a van as for `ask`
        What is asked.
    prices : str, path or Prices, optional
        The user's own prices and weights: a TOML file, a shipped example's name or a record.
    **asked
        Keywords of `ask`.

    Raises
    ------
    InputError
        As for `ask`; prices in two currencies, a part given twice or by a name that no list has.
    """
    from solarsim.answers.buy.buy import buy as answer

    found = given_prices(prices)
    source = str(prices) if isinstance(prices, str | Path) else "prices"
    return answer(question_of(question, asked), found, source=source)


def wiring(question: Askable = DEFAULT_VAN, **asked: Unpack[Asked]) -> WiringAnswer:
    """Draw up what a van is wired and tested by: the circuit, every run, the test sheet.

    Write it with the answer's ``save``: ``wiring("weekender").save("plan.pdf")``.

    Parameters and errors are as for `stay`.
    """
    from solarsim.answers.wiring.wiring import wiring as answer

    return answer(question_of(question, asked))
