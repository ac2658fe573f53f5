"""Up to four designs side by side, as a buyer is offered them before the order."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import Any, ClassVar, Literal

from solarsim.answers.many_places import further_places
from solarsim.answers.offer.offered import Days, Offered, Terms, offered
from solarsim.answers.offer.step import Step, steps_between
from solarsim.answers.question import Question
from solarsim.answers.sheet.living import season_months
from solarsim.answers.sheet.ways import Way, refuse_untold
from solarsim.answers.simulation.run import Progress, Simulation, simulate_all
from solarsim.answers.simulation.summary import (
    StayDates,
    chance_lasts,
    days_unplugged,
    stay_dates,
)
from solarsim.arrays import FloatArray
from solarsim.errors import InputError
from solarsim.inputs.prices import Prices
from solarsim.power.design import design_of
from solarsim.records import PrintedAnswer
from solarsim.weather.streams import keep_draws

__all__ = ["LETTERS", "MAX_DESIGNS", "OfferAnswer", "offer", "with_each_van"]

LETTERS = "ABCD"
MAX_DESIGNS = len(LETTERS)


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class OfferAnswer(PrintedAnswer):
    """The answer of `offer`.

    `save` writes it as ``.pdf``, ``.html``, ``.xlsx``, ``.csv`` or ``.json``.

    Attributes
    ----------
    designs : tuple of Offered
        In the order in which they were given.
    steps : tuple of Step
        From each design that may be built to the next such one.
    dates : StayDates
        Of the stay that was asked about.
    prices : Prices or None
        The builder's own; None for an offer without prices.
    tax_pct : float or None
        Tax, percent; None where it was not said.
    date : datetime.date
        Of the offer.
    valid_until : datetime.date or None
        Until when it holds; None where it was not said.
    runs, seed : int
        Weather runs of the stay, and their seed.
    weather : str
        What the runs are drawn from.
    """

    _face: ClassVar[str] = "offer"

    designs: tuple[Offered, ...]
    steps: tuple[Step, ...]
    dates: StayDates
    prices: Prices | None
    tax_pct: float | None
    date: dt.date
    valid_until: dt.date | None
    runs: int
    seed: int
    weather: str

    def save(
        self,
        path: str | Path,
        *,
        paper: Literal["a4", "letter"] = "a4",
        language: str = "en",
    ) -> None:
        """Write the offer to a file.

        Parameters
        ----------
        path : str or Path
            ``.pdf``, ``.html``, ``.xlsx``, ``.csv`` or ``.json``.
        paper : str
            Size of the pages of a PDF.
        language : str
            Of the PDF and the HTML, a code such as ``"de"``; what the check found stays English.

        Raises
        ------
        InputError
            Another ending, paper or language, or a file that cannot be written.
        """
        self._save(path, paper, language=language)


# Its months and designs ask for the same draws.
@keep_draws()
def offer(
    questions: Sequence[Question],
    *,
    date: dt.date,
    regions: Sequence[str] = (),
    prices: Prices | None = None,
    source: str = "prices",
    tax_pct: float | None = None,
    labour: Sequence[float] = (),
    valid_until: dt.date | None = None,
    progress: Progress | None = None,
) -> OfferAnswer:
    """Put designs side by side: days, checks, weight, price, and what each step buys.

    Parameters
    ----------
    questions : sequence of Question
        Up to four designs with the same people, place, dates, runs, seed and weather.
    date : datetime.date
        Of the offer.
    regions : sequence of str
        Up to three more places, towns or coordinates, whose seasons stand in the offer too; the
        check looks at every design there as well.
    prices : Prices, optional
        The builder's own; without them there is no price.
    source : str
        Where they are from, for messages.
    tax_pct : float, optional
        Tax on parts and labour, percent.
    labour : sequence of float
        What the work costs without tax: one amount for all designs or one for each; by default
        that of the prices.
    valid_until : datetime.date, optional
        Until when the offer holds.
    progress : callable, optional
        Called with steps done and in all.

    Raises
    ------
    InputError
        No design or too many, designs with other people, places, dates, runs or weather, labour
        or tax without prices, as many amounts of labour as neither one nor the designs, a date
        that has passed, too many places, one twice or beside a weather file, people whose health
        depends on a device and too few runs to tell how long is safe.
    """
    _refuse_unlike(questions)
    if valid_until is not None and valid_until < date:
        message = f"got {valid_until}; must not be before the offer's date, {date}"
        raise InputError(message, field="valid_until")
    amounts = _labour(labour, len(questions), prices, tax_pct=tax_pct)
    # Seasons go by months; a date may be none of another place's.
    elsewhere = [
        further_places(one.replace(month=stay_dates(one).month), regions) if regions else []
        for one in questions
    ]
    of_stay = _simulated(questions)
    stays = [_days(q, s, "") for q, s in zip(questions, of_stay, strict=True)]
    seasons = _in_seasons(questions, elsewhere, of_stay, progress)
    terms = Terms(prices, source, tax_pct)
    designs = tuple(
        offered(
            letter,
            question,
            terms,
            elsewhere=there,
            labour=amount,
            demand_wh_per_day=sum(simulation.conditions.demand_wh_per_day.values()),
            stay=stay,
            seasons=tuple(rows),
            notes=(*question.notes, *simulation.conditions.notes),
        )
        for letter, question, there, amount, simulation, stay, rows in zip(
            LETTERS, questions, elsewhere, amounts, of_stay, stays, seasons, strict=False
        )
    )
    return OfferAnswer(
        designs=designs,
        steps=steps_between(designs, _first_cuts(designs, of_stay)),
        dates=stay_dates(questions[0]),
        prices=prices,
        tax_pct=tax_pct,
        date=date,
        valid_until=valid_until,
        runs=of_stay[0].conditions.runs,
        seed=questions[0].seed,
        weather=of_stay[0].conditions.source,
    )


def with_each_van(first: Question, vans: Sequence[Any], settings: Sequence[str]) -> list[Question]:
    """Ask the first question of further vans: the same people, place, dates, runs and weather.

    Parameters
    ----------
    first : Question
        Of the first van, with the settings in it.
    vans : sequence of str, path or Van
        The others; each keeps what its own file says of driving, shore power and parking.
    settings : sequence of str
        ``TABLE.FIELD=VALUE`` over each of them.

    Raises
    ------
    InputError
        Too many, or one that cannot be used or cannot run what the first one's people use.
    """
    if len(vans) >= MAX_DESIGNS:
        raise InputError(f"got {len(vans) + 1}; must be 1 to {MAX_DESIGNS}", field="designs")
    questions = [first]
    for letter, van in zip(LETTERS[1:], vans, strict=False):
        try:
            questions.append(first.replace(van=van, settings=settings))
        except InputError as error:
            source = ": ".join(part for part in (f"design {letter}", error.source) if part)
            message, *more = error.message.split("\n")
            raise InputError(message, source=source, field=error.field, more=tuple(more)) from error
    return questions


def _in_seasons(
    questions: Sequence[Question],
    elsewhere: Sequence[Sequence[Question]],
    of_stay: Sequence[Simulation],
    progress: Progress | None,
) -> list[list[Days]]:
    """Days of every design in every season, place by place."""
    wanted = [
        (season, [one.replace(month=month) for one in at])
        for at in (questions, *zip(*elsewhere, strict=True))
        for season, month in season_months(at[0].place).items()
    ]
    seasons: list[list[Days]] = [[] for _ in questions]
    for done, (season, monthly) in enumerate(wanted, start=1):
        if progress is not None:
            progress(done, 1 + len(wanted))
        # A stay that is given by that very month has been asked already.
        first, asked = monthly[0], questions[0]
        known = first.place == asked.place and first.van.stay == asked.van.stay
        simulated = of_stay if known else _simulated(monthly)
        for rows, question, found in zip(seasons, monthly, simulated, strict=True):
            rows.append(_days(question, found, season))
    if progress is not None:
        progress(1 + len(wanted), 1 + len(wanted))
    return seasons


def _simulated(questions: Sequence[Question]) -> list[Simulation]:
    return simulate_all([(one, [design_of(one.van)]) for one in questions])


def _first_cuts(
    designs: Sequence[Offered], simulations: Sequence[Simulation]
) -> dict[str, FloatArray]:
    return {
        design.letter: simulation.outcome.first_cut_h[:, 0] / 24.0
        for design, simulation in zip(designs, simulations, strict=True)
    }


def _days(question: Question, simulation: Simulation, season: str) -> Days:
    days = days_unplugged(simulation, 0)
    refuse_untold(Way("typical", question.profile, ()), days.p1)
    safe_days = days.safe(medical=bool(question.profile.medical))
    assert safe_days is not None
    return Days(
        place=question.place,
        month=stay_dates(question).month,
        season=season,
        days=days,
        safe_days=safe_days,
        chance_lasts=chance_lasts(simulation, 0),
    )


def _refuse_unlike(questions: Sequence[Question]) -> None:
    """Refuse designs whose days could not be compared run by run."""
    if not 1 <= len(questions) <= MAX_DESIGNS:
        raise InputError(f"got {len(questions)}; must be 1 to {MAX_DESIGNS}", field="designs")
    first = questions[0]
    for number, one in enumerate(questions[1:], start=2):
        for what, same in (
            ("place", one.place == first.place),
            ("dates", stay_dates(one) == stay_dates(first)),
            ("people", one.profile == first.profile),
            ("weather", _same_weather(one, first)),
            ("runs", one.runs == first.runs),
            ("seed", one.seed == first.seed),
            ("days followed", one.follow_days == first.follow_days),
        ):
            if not same:
                message = f"{what} of design {number} must be that of the first"
                raise InputError(message, field="designs")


def _same_weather(one: Question, first: Question) -> bool:
    # An embedded climate follows from the place.
    same = one.series is first.series or one.series == first.series
    return same and one.site_uncertainty == first.site_uncertainty


def _labour(
    given: Sequence[float], designs: int, prices: Prices | None, *, tax_pct: float | None
) -> Sequence[float | None]:
    """Labour of each design: what is given, else that of the prices, else none."""
    if prices is None:
        for name, there in (("labour", bool(given)), ("tax", tax_pct is not None)):
            if there:
                raise InputError("needs the parts' prices beside it", field=name)
        return [None] * designs
    if not given:
        return [prices.prices.labour] * designs
    if len(given) not in {1, designs}:
        message = f"got {len(given)} amounts; must be one for all designs or one for each"
        raise InputError(message, field="labour")
    return [*given] * (1 if len(given) == designs else designs)
