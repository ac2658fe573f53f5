"""Sentences of the offer: steps, findings, what is not in it, what was taken for granted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from solarsim.answers.buy.buy import NOT_LISTED
from solarsim.answers.offer.offer import OfferAnswer
from solarsim.answers.offer.offered import Offered
from solarsim.answers.offer.step import Step
from solarsim.inputs.counts import count_text
from solarsim.present.words import days_text, month_name

__all__ = [
    "HOW_TO_PRICE",
    "assumed",
    "findings",
    "intro",
    "merged",
    "not_full",
    "not_included",
    "not_looked_at",
    "step_texts",
    "stops",
]

HOW_TO_PRICE = (
    "Without prices: give your own with --prices FILE.toml (`solarsim keys prices`; from Python "
    "prices=), and prices, labour and tax stand here."
)
_SEVERITY = {"stop": "STOP", "warn": "warning", "note": "note"}


def intro(answer: OfferAnswer) -> list[str]:
    """Return what the whole offer stands on, a sentence or two a line."""
    place = answer.designs[0].stay.place.name
    until = answer.valid_until
    start = answer.designs[0].question.van.stay.start
    when = f"in {month_name(answer.dates.month)}" if start is None else f"from {start} on"
    valid = "No date is stated until which it holds." if until is None else f"Valid until {until}."
    lines = [
        f"Offered on {answer.date}. {valid}",
        f"{count_text(answer.dates.days, 'day')} {when} near {place}; "
        f"{answer.runs} weather runs, seed {answer.seed}, the same for all designs; "
        f"{answer.weather}.",
    ]
    if len(answer.designs) > 1:
        lines.append(
            "People, place and dates of all designs are those of A; driving, shore power and how "
            "it stands are each van's own."
        )
    if answer.prices is None:
        return [*lines, "This offer names no prices."]
    prices = answer.prices.prices
    about = f": {prices.description}" if prices.description else ""
    return [*lines, f"Prices in {prices.currency} from the price file{about}."]


def stops(answer: OfferAnswer) -> list[str]:
    """Return why a design must not be built, design by design."""
    return [f"{one.letter}: {reason}" for one in answer.designs for reason in one.reasons]


def not_full(answer: OfferAnswer) -> str:
    """Return that prices are missing; empty where every line has one, or none is shown."""
    short = [one for one in answer.designs if one.price is not None and one.price.unpriced]
    if not short:
        return ""
    said = ", ".join(
        f"{one.letter} {one.price.unpriced} of {one.price.lines}"
        for one in short
        if one.price is not None
    )
    return f"NOT A FULL PRICE: lines without a price in the file are not in it ({said})."


def step_texts(answer: OfferAnswer) -> list[str]:
    """Return what each step buys; or why there is none."""
    if not answer.steps:
        sound = sum(not one.reasons for one in answer.designs)
        if len(answer.designs) == 1:
            return []
        return [f"No step: {count_text(sound, 'design')} of {len(answer.designs)} may be built."]
    return [_step(answer, step) for step in answer.steps]


def _step(answer: OfferAnswer, step: Step) -> str:
    by_letter = {one.letter: one for one in answer.designs}
    one, other = by_letter[step.start], by_letter[step.end]
    changed = ", ".join(step.changes) or "no other panels, batteries or devices"
    said = f"{step.start} to {step.end}: {changed}: {_gained(step, one, other)}"
    if step.cost is None or answer.prices is None:
        return f"{said}."
    missing = "" if not step.unpriced else f", without {step.unpriced} lines that have no price"
    tax = "without tax" if answer.tax_pct is None else "with tax"
    return f"{said} for {step.cost:+,.2f} {answer.prices.prices.currency} {tax}{missing}."


def _gained(step: Step, one: Offered, other: Offered) -> str:
    most = one.stay.days.follow_days
    # From the figures as they are shown, so that they add up on paper.
    before, after = (round(each.stay.safe_days, 1) for each in (one, other))
    range_text = f"{days_text(one.stay.safe_days, most)} to {days_text(other.stay.safe_days, most)}"
    if before >= most and after >= most:
        return f"safe {days_text(most, most)} with both"
    bound = ""
    if after >= most:
        bound = " or more"
    elif before >= most:
        bound = " or less"
    return (
        f"{after - before:+z.1f} days{bound} safe ({range_text}; mean over the runs "
        f"{step.mean_gain_days:+z.1f}, standard error {step.standard_error:.1f})"
    )


def findings(answer: OfferAnswer) -> list[str]:
    """Return every finding that is no stop: those stand by themselves."""
    return merged(
        (
            one.letter,
            [
                f"{_SEVERITY[found.severity]}: "
                + (f"{found.where}: " if found.where else "")
                + found.message
                for found in one.check.findings
                if found.severity != "stop"
            ],
        )
        for one in answer.designs
    )


def not_included(answer: OfferAnswer) -> list[str]:
    """Return what the buyer might think is in it and is not."""
    said = [
        NOT_LISTED.removeprefix("not on the list: "),
        "delivery, inspection and approval of the finished van",
    ]
    if any(one.list.payload_left_kg is not None for one in answer.designs):
        said.append("people, water, furniture and gear, which come off the payload that is left")
    if answer.prices is not None:
        if all(one.price is None or one.price.labour is None for one in answer.designs):
            said.append("labour: not stated, and not in the prices")
        if answer.tax_pct is None:
            said.append("tax: not stated, and not in the prices")
    return said


def assumed(answer: OfferAnswer) -> list[str]:
    """Return what stands in for what nobody said."""
    said = []
    if answer.prices is not None:
        said.append("the price file's prices and the labour are taken to be without tax")
    return said + merged((one.letter, list(_taken(one))) for one in answer.designs)


def _taken(one: Offered) -> Iterator[str]:
    yield one.check.rules_why
    yield from one.check.assumed
    for note in one.list.notes:
        if note != NOT_LISTED:
            # That mark is of the list's own pages.
            yield note.replace(" (marked ~)", "")
    yield from one.notes


def not_looked_at(answer: OfferAnswer) -> list[str]:
    """Return what no check looks at."""
    return merged((one.letter, one.check.not_looked_at) for one in answer.designs)


def merged(said: Iterable[tuple[str, Sequence[str]]]) -> list[str]:
    """Return lines once each, with the letters of their designs where not all have them.

    Examples
    --------
    >>> merged([("A", ["one", "two"]), ("B", ["two", "three"])])
    ['A: one', 'two', 'B: three']
    """
    by_line: dict[str, dict[str, None]] = {}
    letters = []
    for letter, lines in said:
        letters.append(letter)
        for line in lines:
            by_line.setdefault(line, {})[letter] = None
    return [
        line if len(found) == len(letters) else f"{', '.join(found)}: {line}"
        for line, found in by_line.items()
    ]
