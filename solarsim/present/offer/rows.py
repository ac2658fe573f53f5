"""The offer's one table: every form of it holds these rows."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Literal

from solarsim.answers.offer.offer import OfferAnswer
from solarsim.answers.offer.offered import Days, Offered
from solarsim.inputs.counts import count_text
from solarsim.inputs.percent import chance_text
from solarsim.power.design import design_of, usable_wh
from solarsim.present.words import clock_text, days_text, month_name

__all__ = [
    "NOT_TO_BE_BUILT",
    "Cell",
    "Row",
    "heads",
    "offer_rows",
    "safe_name",
    "shown",
    "single_figures",
]

NOT_TO_BE_BUILT = "NOT TO BE BUILT AS IT IS"
Cell = float | str | None
Unit = Literal["", "days", "share", "Wh", "Wh a day", "A", "kg", "money"]


@dataclasses.dataclass(frozen=True)
class Row:
    """One line of the table.

    Attributes
    ----------
    part : str
        Of the table.
    what : str
        What it tells.
    unit : str
        Of its numbers; ``"money"`` in the prices' currency.
    cells : tuple
        One a design; None where there is nothing to say.
    most : tuple of int
        How far the days of each design were followed; empty for all other units.
    half_days : tuple
        Days that half of all stays last, beside safe ones; empty for all other rows.
    """

    part: str
    what: str
    unit: Unit
    cells: tuple[Cell, ...]
    most: tuple[int, ...] = ()
    half_days: tuple[float, ...] = ()


def heads(answer: OfferAnswer) -> list[str]:
    """Letter and name of each design, and that it must not be built where that is so."""
    return [
        f"{one.letter}: {' '.join(one.van.van.name.split())}"
        + (f" ({NOT_TO_BE_BUILT})" if one.reasons else "")
        for one in answer.designs
    ]


def offer_rows(answer: OfferAnswer) -> list[Row]:
    """Return all rows, safe days before all other days."""
    return [
        *_verdict(answer),
        *_days(answer),
        *_carried(answer),
        *_built(answer),
        *_checked(answer),
        *_weights(answer),
        *_prices(answer),
    ]


def shown(row: Row, index: int) -> str:
    """Return a cell in words.

    Examples
    --------
    >>> shown(Row("Weight", "all", "kg", (86.5958, None)), 0)
    '86.6 kg'
    """
    value = row.cells[index]
    if value is None:
        return "–"
    if isinstance(value, str):
        return value
    if row.unit == "days":
        half = days_text(row.half_days[index], row.most[index])
        return f"{days_text(value, row.most[index])}; half: {half}"
    if row.unit == "share":
        return chance_text(value)
    if row.unit == "money":
        return f"{value:,.2f}"
    if row.unit == "kg":
        return f"{value:z.1f} kg"
    return f"{value:,.0f} {row.unit}" if row.unit != "A" else f"{value:g} A"


def _each(answer: OfferAnswer, of: Callable[[Offered], Cell]) -> tuple[Cell, ...]:
    return tuple(of(one) for one in answer.designs)


def _verdict(answer: OfferAnswer) -> Iterator[Row]:
    def said(one: Offered) -> str:
        return NOT_TO_BE_BUILT if one.reasons else "nothing that was looked at forbids it"

    yield Row("Whether it may be built", "roof, electrics, payload", "", _each(answer, said))


def _days(answer: OfferAnswer) -> Iterator[Row]:
    stays = [one.stay for one in answer.designs]
    when = f"{month_name(answer.dates.month)}, {stays[0].place.name}"
    # A stay that is given by a season's own month is that season's row, which would say it again.
    of_first = answer.designs[0]
    by_month = of_first.question.van.stay.start is None
    told = [
        index
        for index, one in enumerate(of_first.seasons)
        if by_month and (one.place, one.month) == (stays[0].place, stays[0].month)
    ]
    season = "".join(f", in {of_first.seasons[index].season}" for index in told)
    part = f"Days off grid: {safe_name(answer)}; half of all stays last"
    yield _day_row(part, f"the stay{season}: {when}", stays)
    days = count_text(answer.dates.days, "day")
    chances = tuple(one.chance_lasts for one in stays)
    yield Row(part, f"chance to last {days} of it", "share", chances)
    for index, first in enumerate(of_first.seasons):
        if index not in told:
            name = f"{first.season}: {month_name(first.month)}, {first.place.name}"
            yield _day_row(part, name, [one.seasons[index] for one in answer.designs])


def safe_name(answer: OfferAnswer) -> str:
    """What safe means for the people aboard."""
    medical = answer.designs[0].question.profile.medical
    return f"safe ({'99 stays in 100' if medical else '9 stays in 10'})"


def single_figures(rows: Iterable[Row]) -> Iterator[Row]:
    """Return the rows for a spreadsheet, one figure a cell: safe days and then half's."""
    for row in rows:
        if not row.half_days:
            yield row
            continue
        part, _, names = row.part.partition(": ")
        safe, half = names.split("; ")
        yield dataclasses.replace(row, part=part, what=f"{row.what}: {safe}", half_days=())
        yield dataclasses.replace(
            row, part=part, what=f"{row.what}: {half}", cells=row.half_days, half_days=()
        )


def _day_row(part: str, what: str, days: Sequence[Days]) -> Row:
    most = tuple(one.days.follow_days for one in days)
    half = tuple(one.days.p50 for one in days)
    return Row(part, what, "days", tuple(one.safe_days for one in days), most, half)


def _carried(answer: OfferAnswer) -> Iterator[Row]:
    def crew(one: Offered) -> str:
        people = one.question.profile.cabin.people
        aboard = f"{people} people" if people != 1 else "1 person"
        return f"{one.question.profile.profile.name}, {aboard}"

    def loads(one: Offered) -> str:
        running = [a for a in one.question.profile.appliances if a.enabled]
        names = [a.name if a.count == 1 else f"{a.count} x {a.name}" for a in running]
        return ", ".join(names) or "watts by the hour"

    part = "What it carries"
    yield Row(part, "people", "", _each(answer, crew))
    yield Row(part, "what runs", "", _each(answer, loads))
    used = _each(answer, lambda one: one.demand_wh_per_day)
    yield Row(part, f"used in {month_name(answer.dates.month)}", "Wh a day", used)


def _built(answer: OfferAnswer) -> Iterator[Row]:
    cards = [dict(one.van.card().rows) for one in answer.designs]
    for name in ("panels", "controller", "bank"):
        yield Row("What it is built of", name, "", tuple(card.get(name) for card in cards))
    usable = _each(answer, lambda one: usable_wh(design_of(one.van)))
    yield Row("What it is built of", "usable in the bank, as rated", "Wh", usable)
    for name, of in (("inverter", _inverter), ("DC-DC charger", _dcdc), ("shore charger", _shore)):
        yield Row("What it is built of", name, "", _each(answer, of))
    if any(one.van.generator is not None for one in answer.designs):
        yield Row("What it is built of", "generator that is run", "", _each(answer, _generator))


def _inverter(one: Offered) -> str:
    return "none" if one.van.inverter is None else f"{one.van.inverter.power_w:g} W"


def _dcdc(one: Offered) -> str:
    alternator = one.van.alternator
    if alternator is None or not alternator.rated_a:
        return "none"
    second = "" if alternator.second is None else f" + {alternator.second.charging_a:g} A"
    return f"{alternator.dcdc_a:g} A{second}"


def _generator(one: Offered) -> str:
    generator = one.van.generator
    if generator is None:
        return "none"
    return f"{generator.power_w:g} W, {clock_text(generator.windows)}"


def _shore(one: Offered) -> str:
    shore = one.van.shore
    return "none" if shore is None or not shore.charger_a else f"{shore.charger_a:g} A"


def _checked(answer: OfferAnswer) -> Iterator[Row]:
    def roof(one: Offered) -> str:
        count = one.van.panels.count
        if one.fits is None:
            return f"{count_text(count, 'panel')}; no roof is drawn: not looked at"
        return f"{count_text(count, 'panel')}; {one.fits} of them fit"

    def found(one: Offered) -> str:
        counted = [finding.severity for finding in one.check.findings]
        words = (("stop", "STOP"), ("warn", "warning"), ("note", "note"))
        said = [f"{counted.count(key)} x {word}" for key, word in words if key in counted]
        return ", ".join(said) or "nothing found"

    def rules(one: Offered) -> str:
        # The list of what is taken as given has their articles.
        return one.wiring.rules.partition(":")[0]

    part = "Roof and electrics"
    yield Row(part, "roof", "", _each(answer, roof))
    yield Row(part, "electrical check", "", _each(answer, found))
    yield Row(part, "wired by the rules", "", _each(answer, rules))
    cable = _each(answer, lambda one: one.wiring.largest_cable or "none fits")
    yield Row(part, "largest cable", "", cable)
    fuse = _each(answer, lambda one: one.wiring.largest_fuse_a)
    yield Row(part, "largest fuse", "A", fuse)


def _weights(answer: OfferAnswer) -> Iterator[Row]:
    def left(one: Offered) -> Cell:
        kg = one.list.payload_left_kg
        return "payload not stated" if kg is None else kg

    total = _each(answer, lambda one: one.list.total_kg)
    yield Row("Weight", "all that is built in", "kg", total)
    yield Row("Weight", "of it on the roof", "kg", _each(answer, lambda one: one.list.roof_kg))
    yield Row("Weight", "payload left for people, water, gear", "kg", _each(answer, left))


def _prices(answer: OfferAnswer) -> Iterator[Row]:
    if answer.prices is None:
        return
    part = f"Price, {answer.prices.prices.currency}"

    def sums(name: str) -> tuple[Cell, ...]:
        def of(one: Offered) -> Cell:
            if one.price is None:
                return "not offered"
            value: float | None = getattr(one.price, name)
            return "not stated" if value is None else value

        return _each(answer, of)

    def priced(one: Offered) -> Cell:
        if one.price is None:
            return "not offered"
        return f"{one.price.lines - one.price.unpriced} of {one.price.lines}"

    tax = "tax" if answer.tax_pct is None else f"tax, {answer.tax_pct:g} %"
    yield Row(part, "parts that have a price", "money", sums("parts"))
    yield Row(part, "lines that have a price", "", _each(answer, priced))
    yield Row(part, "labour", "money", sums("labour"))
    yield Row(part, "without tax", "money", sums("net"))
    yield Row(part, tax, "money", sums("tax"))
    # Without tax this is no price that anybody pays, and is not called one.
    if answer.tax_pct is not None:
        yield Row(part, "with tax", "money", sums("gross"))
