"""What parts cost and weigh: the user's own figures, in one currency."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Self

from pydantic import Field, model_validator

from solarsim.inputs.base import Record, checked_record, parse_record
from solarsim.inputs.files.toml import read_toml, resolve_file
from solarsim.inputs.fuel import FuelKind
from solarsim.inputs.numbers import checked_number

__all__ = [
    "Part",
    "Prices",
    "PricesIdentity",
    "checked_max_kg",
    "checked_prices",
    "read_prices",
]

_MOST_KG = 30_000.0
_Currency = Annotated[str, Field(pattern=r"^[A-Z]{3}$")]


class PricesIdentity(Record):
    """What all prices of the file have in common."""

    currency: _Currency
    """Currency of all prices, three capital letters such as EUR or USD; nothing is converted."""
    description: str = ""
    """A line about the prices, such as whose and from when; no answer depends on it."""
    labour: Annotated[float, Field(ge=0.0, le=1e7)] | None = None
    """What the work on one van costs, without tax; `offer` adds it to the parts."""
    diesel_per_l: Annotated[float, Field(ge=0.0, le=1000.0)] | None = None
    """What a litre of diesel costs, for `stay`."""
    propane_per_kg: Annotated[float, Field(ge=0.0, le=1000.0)] | None = None
    """What a kilogram of propane costs, for `stay`."""
    petrol_per_l: Annotated[float, Field(ge=0.0, le=1000.0)] | None = None
    """What a litre of petrol costs, for `stay`."""

    def of_fuel(self, kind: FuelKind) -> float | None:
        """Price of a litre, of propane of a kilogram; None where it is not given."""
        prices = {"diesel": self.diesel_per_l, "petrol": self.petrol_per_l}
        return prices.get(kind, self.propane_per_kg)


class Part(Record):
    """Price and weight of one part, by the name under which `solarsim buy` lists it."""

    part: Annotated[str, Field(min_length=1, max_length=200)]
    """Its name, as in the list of what to buy, such as '200 W rigid' or 'fuse 40 A class T'."""
    cost: Annotated[float, Field(ge=0.0, le=1e7)] | None = None
    """Price of one piece; of what is sold by length, of one metre."""
    currency: _Currency | None = None
    """Currency of this price; it must be the file's own."""
    weight_kg: Annotated[float, Field(ge=0.0, le=10_000.0)] | None = None
    """Weight of one piece, or of one metre; left out, the library's example stands in."""

    @model_validator(mode="after")
    def _says_something(self) -> Self:
        if self.cost is None and self.weight_kg is None:
            raise ValueError(f"'{self.part}': give cost, weight_kg or both")
        return self


class Prices(Record):
    """A file of prices and weights."""

    prices: PricesIdentity
    """Their currency."""
    parts: Annotated[tuple[Part, ...], Field(strict=False, max_length=5000)] = ()
    """Parts with what they cost and weigh."""

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        seen: set[str] = set()
        for part in self.parts:
            if part.part in seen:
                raise ValueError(f"'{part.part}' is given twice; which one counts?")
            seen.add(part.part)
            if part.currency not in {None, self.prices.currency}:
                raise ValueError(
                    f"'{part.part}' is in {part.currency}, the file in {self.prices.currency}; "
                    "give all prices in one currency, nothing is converted"
                )
        return self


def read_prices(name_or_path: str) -> Prices:
    """Read a file of prices, or a shipped example by its name.

    Raises
    ------
    InputError
        No such file, no TOML, an unknown key, a part that is given twice or in another currency;
        the file and the field are named.

    Examples
    --------
    >>> read_prices("example").prices.currency
    'EUR'
    """
    path: Path = resolve_file(name_or_path, "prices")
    return parse_record(Prices, read_toml(path), source=str(path))


def checked_prices(prices: Prices) -> Prices:
    """Check prices like a file, however they were made."""
    return checked_record(prices, source="prices")


def checked_max_kg(given: float | None, *, field: str) -> float | None:
    """Return a largest weight that was given; None stays None.

    Raises
    ------
    InputError
        Not a number above 0 and up to 30,000 kg.

    Examples
    --------
    >>> checked_max_kg(120, field="max_kg")
    120.0
    """
    return checked_number(given, field=field, most=_MOST_KG, unit="kg", zero=False)
