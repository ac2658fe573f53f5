"""The search for the best builds."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Unpack

from solarsim.door.asking import Askable, Asked, Progress, given_progress, question_of
from solarsim.door.lists import given_counts, given_names, given_numbers, given_prices
from solarsim.errors import InputError
from solarsim.inputs.files.van import DEFAULT_VAN
from solarsim.inputs.numbers import checked_number
from solarsim.inputs.prices import Prices, checked_max_kg

if TYPE_CHECKING:
    from solarsim.answers.search.designs import Limits, SearchAnswer

__all__ = ["checked_limits", "search"]


def search(
    question: Askable = DEFAULT_VAN,
    *,
    places: Sequence[str] | None = None,
    months: Sequence[int] | None = None,
    panels: Sequence[int] | None = None,
    kinds: Sequence[str] | None = None,
    tilts_deg: Sequence[float] | None = None,
    batteries: Sequence[str] | None = None,
    strings: Sequence[int] | None = None,
    dcdc_a: Sequence[float] | None = None,
    controllers_a: Sequence[float] | None = None,
    target_days: float | None = None,
    max_price: float | None = None,
    max_parts_kg: float | None = None,
    max_rise_m: float | None = None,
    prices: str | Path | Prices | None = None,
    progress: Progress | None = None,
    **asked: Unpack[Asked],
) -> SearchAnswer:
    """Find the builds that no other matches in price, weight and days.

    Parameters
    ----------
    question : Question, or a van as for `ask`
        What is asked.
    places : sequence of str, optional
        Where it must hold; by default the question's place.
    months : sequence of int, optional
        When, 1 to 12, at each of the places; by default the question's month.
    panels : sequence of int, optional
        Numbers of panels, 0 to 60; by default all that fit, or up to 8 without a roof.
    kinds, batteries : sequence of str, optional
        Panels and batteries of the library by name, ``"own"`` for the van's, ``"library"`` for
        all. By default all panels (of those with a price where there are prices), the van's own
        battery.
    tilts_deg : sequence of float, optional
        0 to 90 degrees; by default the van's own.
    strings : sequence of int, optional
        Parallel strings of battery units, 1 to 96; by default 1 to 12.
    dcdc_a : sequence of float, optional
        DC-DC chargers, 0 to 400 A; by default the van's own.
    controllers_a : sequence of float, optional
        Controllers, 1 to 500 A; by default the one that the panels need.
    target_days : float, optional
        Days that nine stays in ten must last; by default the stay's target chance counts.
    max_price, max_parts_kg, max_rise_m : float, optional
        Limits on price and weight of panels, batteries and chargers, and on the height to which
        the raised edge of a tilted panel stands above its lower one.
    prices : str, path or Prices, optional
        The user's own prices and weights.
    progress : callable, optional
        Called with stretches of work done and in all.
    **asked
        Keywords of `ask`.

    Raises
    ------
    InputError
        As for `ask`; nothing to try, too much to try, a value out of its range, or a limit on the
        price where prices are missing.
    """
    from solarsim.answers.search.search import search as answer

    return answer(
        question_of(question, asked),
        places=given_names(places, field="places", known=None) or (),
        months=given_counts(months, field="months", least=1, most=12) or (),
        panels=given_counts(panels, field="panels", least=0, most=60),
        kinds=_named(kinds, "kinds"),
        tilts_deg=given_numbers(tilts_deg, field="tilts_deg", least=0.0, most=90.0),
        batteries=_named(batteries, "batteries"),
        strings=given_counts(strings, field="strings", least=1, most=96),
        dcdc_a=given_numbers(dcdc_a, field="dcdc_a", least=0.0, most=400.0),
        controllers_a=given_numbers(controllers_a, field="controllers_a", least=1.0, most=500.0),
        limits=checked_limits(target_days, max_price, max_parts_kg, max_rise_m),
        prices=given_prices(prices),
        progress=given_progress(progress),
    )


def _named(names: Any, field: str) -> list[str] | None:
    found = given_names(names, field=field, known=None)
    if found == []:
        raise InputError("got an empty list; name a part, 'own' or 'library'", field=field)
    return found


def checked_limits(
    target_days: Any, max_price: Any, max_parts_kg: Any, max_rise_m: Any, *, option: bool = False
) -> Limits:
    """Return the limits that were given; None stays None.

    Parameters
    ----------
    target_days, max_price, max_parts_kg, max_rise_m : float or None
        As for `search`.
    option : bool
        Whether messages name the command's options.

    Raises
    ------
    InputError
        No number, or out of its range.

    Examples
    --------
    >>> checked_limits(7, None, None, 0.3).max_rise_m
    0.3
    """
    from solarsim.answers.search.designs import Limits

    def field(name: str) -> str:
        return "--" + name.replace("_", "-") if option else name

    return Limits(
        target_days=checked_number(
            target_days, field=field("target_days"), most=365.0, unit="days", zero=False
        ),
        max_price=checked_number(max_price, field=field("max_price"), most=1e9, zero=False),
        max_parts_kg=checked_max_kg(max_parts_kg, field=field("max_parts_kg")),
        max_rise_m=checked_number(max_rise_m, field=field("max_rise_m"), most=3.0, unit="m"),
    )
