"""Diesel and propane in words."""

from __future__ import annotations

import math

from solarsim.answers.fuel import MOST_DAYS, FuelAnswer, FuelUse

__all__ = ["NO_FUEL", "amount_text", "at_most_text", "fuel_lines"]

NO_FUEL = (
    "Fuel is not counted: the van's table [fuel] does not say what heat, hot water and cooking "
    "run on."
)

# Less than this of it is nobody's difference.
_ALIKE = 0.01


def amount_text(amount: float) -> str:
    """Return an amount of fuel with two digits that tell, and no more decimals than two.

    Examples
    --------
    >>> amount_text(0.034), amount_text(1.26), amount_text(13.44)
    ('0.03', '1.3', '13')
    """
    return f"{amount:.{_places(amount)}f}"


def at_most_text(amount: float) -> str:
    """Return an amount like `amount_text` that is never rounded down.

    Examples
    --------
    >>> at_most_text(0.034), at_most_text(3.0), at_most_text(9.96)
    ('0.04', '3.0', '10.0')
    """
    places = _places(amount)
    # A hair below, so that 3.0 kept as 3.0000...1 stays 3.0.
    return f"{math.ceil(amount * 10**places - 1e-9) / 10**places:.{places}f}"


def _places(amount: float) -> int:
    return 2 if amount < 1.0 else 1 if amount < 10.0 else 0


def fuel_lines(answer: FuelAnswer | None, *, whole: str = "stay") -> tuple[str, ...]:
    """Return a line for each fuel, the safe figure first, then what is not counted.

    `whole` is what it is burnt over, a stay or a trip.
    """
    if answer is None:
        return (NO_FUEL,)
    lines = [_fuel_text(one, whole) for one in answer.fuels]
    if answer.on_electricity:
        uses = _listed(answer.on_electricity)
        lines.append(f"On electricity, counted where the profile has its appliance: {uses}.")
    if answer.not_counted:
        lines.append(f"Fuel is not counted for {_listed(answer.not_counted)}.")
    return tuple(lines)


def _fuel_text(one: FuelUse, over: str) -> str:
    """What is burnt of a fuel a day and in all, what it lasts and what it costs."""
    day, whole, unit = one.per_day, one.per_stay, one.unit
    uses = ", ".join(
        f"{use.replace('_', ' ')} {amount_text(amount)}" for use, amount in one.uses_per_day.items()
    )
    text = f"{one.kind.capitalize()}: "
    if day.p90 - day.p50 > _ALIKE * day.p90:
        most = f"{at_most_text(day.p90)} {unit} a day ({at_most_text(whole.p90)} in all)"
        half = f"{at_most_text(day.p50)} ({at_most_text(whole.p50)})"
        text += f"nine {over}s in ten burn no more than {most}, half no more than {half}; "
        text += f"on average {uses}."
    else:
        text += f"{amount_text(day.p90)} {unit} a day ({amount_text(whole.p90)} in all): {uses}."
    if one.aboard is not None and one.lasts_days is not None:
        text += f" {one.aboard:g} {unit} last {_days(one.lasts_days.p10)} in nine {over}s of ten."
    if one.cost is not None:
        text += f" It costs up to {one.cost.p90:,.2f} {one.currency} in nine {over}s of ten."
    return text


def _days(days: float) -> str:
    if days >= MOST_DAYS:
        return f"{MOST_DAYS:.0f} days or more"
    # What is safe is never rounded up.
    return f"{int(10.0 * days) / 10.0:.1f} days"


def _listed(uses: tuple[str, ...]) -> str:
    return ", ".join(use.replace("_", " ") for use in uses)
