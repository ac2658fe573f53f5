"""What is wired and bought."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Unpack

from solarsim.answers.given import GivenPlace
from solarsim.door.asking import Askable, Asked, Progress, given_progress, question_of
from solarsim.door.lists import given_places, given_prices
from solarsim.errors import InputError
from solarsim.inputs.files.van import DEFAULT_VAN
from solarsim.inputs.prices import Prices
from solarsim.inputs.van import Van

if TYPE_CHECKING:
    from solarsim.answers.buy.buy import BuyAnswer
    from solarsim.answers.offer.offer import OfferAnswer
    from solarsim.answers.wiring.wiring import WiringAnswer

__all__ = ["buy", "offer", "wiring"]


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


def offer(
    vans: Sequence[Askable],
    *,
    regions: Sequence[GivenPlace] = (),
    prices: str | Path | Prices | None = None,
    labour: float | Sequence[float] | None = None,
    tax_pct: float | None = None,
    valid_until: dt.date | None = None,
    date: dt.date | None = None,
    progress: Progress | None = None,
    **asked: Unpack[Asked],
) -> OfferAnswer:
    """Put up to four designs side by side: days, checks, weight, price, and what each step buys.

    Write it with the answer's ``save``: ``offer(["weekender", "mine.toml"]).save("offer.pdf")``.

    Parameters
    ----------
    vans : sequence of vans as for `ask`
        The first may be a `Question`; all others are asked for its people, place and dates.
    regions : sequence of places, optional
        Up to three more places whose seasons stand in the offer.
    prices : str, path or Prices, optional
        The user's own, as for `buy`; without them there is no price.
    labour : float or sequence of float, optional
        What the work costs without tax: one amount for all, or one for each; by default that of
        the prices.
    tax_pct : float, optional
        Tax on parts and labour, percent.
    valid_until : datetime.date, optional
        Until when the offer holds.
    date : datetime.date, optional
        Of the offer, by default today.
    progress : callable, optional
        Called with steps done and in all.
    **asked
        Keywords of `ask`; settings count for every van.

    Raises
    ------
    InputError
        As for `ask` and `buy`; no van or more than four, too many places, labour or tax without
        prices or out of range, a date that has passed.
    """
    from solarsim.answers.offer.money import checked_amounts, checked_tax
    from solarsim.answers.offer.offer import offer as answer
    from solarsim.answers.offer.offer import with_each_van

    if isinstance(vans, str | bytes | Path | Van) or not isinstance(vans, Sequence) or not vans:
        raise InputError(f"got {vans!r}; must be a list of vans", field="vans")
    for name, day in (("valid_until", valid_until), ("date", date)):
        if day is not None and (not isinstance(day, dt.date) or isinstance(day, dt.datetime)):
            raise InputError(f"got {day!r}; must be a datetime.date", field=name)
    found = given_prices(prices)
    amounts = checked_amounts(labour, field="labour")
    tax = checked_tax(tax_pct, field="tax_pct")
    first = question_of(vans[0], asked)
    return answer(
        with_each_van(first, vans[1:], asked.get("settings", ())),
        date=date or dt.datetime.now().astimezone().date(),
        regions=given_places(regions),
        prices=found,
        source=str(prices) if isinstance(prices, str | Path) else "prices",
        tax_pct=tax,
        labour=amounts,
        valid_until=valid_until,
        progress=given_progress(progress),
    )


def wiring(question: Askable = DEFAULT_VAN, **asked: Unpack[Asked]) -> WiringAnswer:
    """Draw up what a van is wired and tested by: the circuit, every run, the test sheet.

    Write it with the answer's ``save``: ``wiring("weekender").save("plan.pdf")``.

    Parameters and errors are as for `stay`.
    """
    from solarsim.answers.wiring.wiring import wiring as answer

    return answer(question_of(question, asked))
