"""One design of an offer: what speaks against building it, what it is made of and what it asks."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from solarsim.answers.buy.buy import BuyAnswer, buy_of
from solarsim.answers.checked import check_question
from solarsim.answers.offer.money import Price, price_of
from solarsim.answers.question import Question
from solarsim.answers.simulation.summary import DaysUnplugged
from solarsim.electrical.check import Check
from solarsim.electrical.findings import Severity
from solarsim.inputs.prices import Prices
from solarsim.inputs.van import Van
from solarsim.packing.fit import fitting_counts
from solarsim.records import ArrayRecord
from solarsim.weather.record import Place

__all__ = ["Days", "Offered", "Terms", "WiringClass", "offered"]


@dataclasses.dataclass(frozen=True)
class Days:
    """Days unplugged of a design at a place in a month.

    Attributes
    ----------
    place : Place
        Where.
    month : int
        When.
    season : str
        Its season; empty for the stay that was asked about.
    days : DaysUnplugged
        How long it lasts.
    safe_days : float
        Days that nine stays in ten reach, 99 in 100 where someone's health depends on it.
    chance_lasts : float
        Share of runs that last the stay's days.
    """

    place: Place
    month: int
    season: str
    days: DaysUnplugged
    safe_days: float
    chance_lasts: float


@dataclasses.dataclass(frozen=True)
class WiringClass:
    """By which rules it is wired, and its largest conductor and fuse.

    Attributes
    ----------
    rules : str
        Title of the rule set.
    largest_cable : str
        The conductor with the most copper; empty where there is none.
    largest_fuse_a : float or None
        The largest fuse; None where there is none.
    """

    rules: str
    largest_cable: str
    largest_fuse_a: float | None


@dataclasses.dataclass(frozen=True)
class Terms:
    """What is the same for all designs of an offer.

    Attributes
    ----------
    prices : Prices or None
        The builder's own; None for an offer without prices.
    source : str
        Where they are from, for messages.
    tax_pct : float or None
        Tax, percent; None where it was not said.
    """

    prices: Prices | None
    source: str
    tax_pct: float | None


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Offered(ArrayRecord):
    """A design of an offer.

    Attributes
    ----------
    letter : str
        ``"A"`` to ``"D"``.
    question : Question
        Its van, people, place and dates.
    check : Check
        The electrical check.
    list : BuyAnswer
        What it is built of.
    fits : int or None
        How many panels the roof holds; None without a roof.
    reasons : tuple of str
        Why it must not be built as it is; empty where nothing speaks against it.
    demand_wh_per_day : float
        What its people use, mean over the runs of the stay.
    stay : Days
        The stay that was asked about.
    seasons : tuple of Days
        Winter to autumn, place by place.
    price : Price or None
        None without prices, and for a design that must not be built.
    notes : tuple of str
        Caveats of its weather and inputs.
    """

    letter: str
    question: Question
    check: Check
    list: BuyAnswer
    fits: int | None
    reasons: tuple[str, ...]
    demand_wh_per_day: float
    stay: Days
    seasons: tuple[Days, ...]
    price: Price | None
    notes: tuple[str, ...]

    @property
    def van(self) -> Van:
        """Its van."""
        return self.question.van

    @property
    def worst(self) -> Severity | None:
        """The worst severity that the check found; None where it found nothing."""
        return self.check.findings[0].severity if self.check.findings else None

    @property
    def wiring(self) -> WiringClass:
        """Rules, largest conductor and largest fuse of the whole circuit."""
        runs = self.check.topology.runs
        largest = max(runs, key=lambda run: run.area_mm2, default=None)
        fuses = [
            run.protection.rating_a
            for run in runs
            if run.protection is not None and run.protection.kind == "fuse"
        ]
        cable = "" if largest is None or largest.area_mm2 == 0.0 else largest.wire
        return WiringClass(self.check.rules.title, cable, max(fuses, default=None))


def offered(
    letter: str,
    question: Question,
    terms: Terms,
    *,
    elsewhere: Sequence[Question],
    labour: float | None,
    demand_wh_per_day: float,
    stay: Days,
    seasons: tuple[Days, ...],
    notes: tuple[str, ...],
) -> Offered:
    """Check a design and list and price it; one that must not be built gets no price."""
    check = check_question(question)
    bought = buy_of(check, terms.prices, source=terms.source)
    fits = None if question.van.roof is None else max(fitting_counts(question.van))
    reasons = (*check.stops, *_stopped_there(check, elsewhere), *_overloaded(bought))
    price = None
    if terms.prices is not None and not reasons:
        price = price_of(
            bought.total_cost,
            labour=labour,
            tax_pct=terms.tax_pct,
            unpriced=bought.unpriced,
            lines=len(bought.items),
        )
    return Offered(
        letter=letter,
        question=question,
        check=check,
        list=bought,
        fits=fits,
        reasons=reasons,
        demand_wh_per_day=demand_wh_per_day,
        stay=stay,
        seasons=seasons,
        price=price,
        notes=notes,
    )


def _stopped_there(check: Check, elsewhere: Sequence[Question]) -> list[str]:
    """What forbids it at a further place alone, such as its record cold."""
    return [
        f"at {question.place.name}: {reason}"
        for question in elsewhere
        for reason in check_question(question).stops
        if reason not in check.stops
    ]


def _overloaded(bought: BuyAnswer) -> list[str]:
    """What forbids it beside the electrical check, which looks at the roof as well."""
    left_kg = bought.payload_left_kg
    if left_kg is None or left_kg >= 0.0:
        return []
    return [
        f"payload: what is built in weighs {-left_kg:.1f} kg more than the van may carry, before "
        "anybody is aboard"
    ]
