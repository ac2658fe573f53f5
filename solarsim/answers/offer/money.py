"""What a design is offered for: parts, labour and tax, to the cent."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from solarsim.inputs.numbers import checked_number

__all__ = ["Price", "checked_amounts", "checked_tax", "price_of"]

_CENT = Decimal("0.01")
_MOST = 1e7
_MOST_TAX = 100.0


@dataclasses.dataclass(frozen=True)
class Price:
    """Sums of one design, each rounded to the cent, so that those on paper add up.

    Attributes
    ----------
    parts : float
        All parts that have a price, as `buy` adds them up.
    labour : float or None
        The work; None where it was not said.
    net : float
        Parts and labour.
    tax_pct : float or None
        Tax on it, percent; None where it was not said.
    tax : float or None
        The tax.
    gross : float
        With labour and tax, as far as they were said.
    unpriced : int
        Lines of `buy` without a price, which are not in it.
    lines : int
        All lines.
    """

    parts: float
    labour: float | None
    net: float
    tax_pct: float | None
    tax: float | None
    gross: float
    unpriced: int
    lines: int


def price_of(
    parts: float, *, labour: float | None, tax_pct: float | None, unpriced: int, lines: int
) -> Price:
    """Add up a design's price.

    Examples
    --------
    >>> found = price_of(1000.10, labour=500.0, tax_pct=19.0, unpriced=0, lines=40)
    >>> found.net, found.tax, found.gross
    (1500.1, 285.02, 1785.12)
    """
    # As `buy` prints its sum: the same cents on both pages.
    found = Decimal(f"{parts:.2f}")
    net = found + (Decimal(0) if labour is None else _cents(labour))
    tax = None if tax_pct is None else _rounded(net * Decimal(str(tax_pct)) / 100)
    gross = net if tax is None else net + tax
    return Price(
        parts=float(found),
        labour=None if labour is None else float(_cents(labour)),
        net=float(net),
        tax_pct=tax_pct,
        tax=None if tax is None else float(tax),
        gross=float(gross),
        unpriced=unpriced,
        lines=lines,
    )


def checked_tax(given: Any, *, field: str) -> float | None:
    """Return a tax in percent; None stays None.

    Raises
    ------
    InputError
        As for `checked_number`.
    """
    return checked_number(given, field=field, most=_MOST_TAX, unit="percent")


def checked_amounts(given: Any, *, field: str) -> list[float]:
    """Return amounts of money, one or a list of them; None is none.

    Raises
    ------
    InputError
        As for `checked_number`.

    Examples
    --------
    >>> checked_amounts(1200, field="labour"), checked_amounts([1200, 900.5], field="labour")
    ([1200.0], [1200.0, 900.5])
    """
    listed = given if isinstance(given, Sequence) and not isinstance(given, str) else [given]
    found = [checked_number(one, field=field, most=_MOST) for one in listed]
    return [one for one in found if one is not None]


def _cents(amount: float) -> Decimal:
    return _rounded(Decimal(str(amount)))


def _rounded(amount: Decimal) -> Decimal:
    return amount.quantize(_CENT, rounding=ROUND_HALF_UP)
