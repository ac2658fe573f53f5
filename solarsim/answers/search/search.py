"""Search the best builds of a space of parts, in one or more places and months."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

import numpy as np

from solarsim.answers.bank import parallel_doubt
from solarsim.answers.buy.buy import buy
from solarsim.answers.buy.devices import battery_name, panel_name
from solarsim.answers.checked import check_question
from solarsim.answers.many_places import at_place
from solarsim.answers.question import Question
from solarsim.answers.search.changes import changes_of
from solarsim.answers.search.costs import Costs
from solarsim.answers.search.designs import (
    BestDesign,
    InSituation,
    Limits,
    Removed,
    SearchAnswer,
)
from solarsim.answers.search.evaluate import Target, evaluate, situation_of
from solarsim.answers.search.figures import Figures, figures_of, notes_of, some_of, within
from solarsim.answers.search.front import Front, Stop, best_of
from solarsim.answers.search.space import (
    MAX_CANDIDATES,
    OWN,
    Case,
    battery_kinds,
    cases_of,
    library_names,
    panel_kinds,
    space_of,
)
from solarsim.answers.simulation.run import Progress
from solarsim.answers.tune.built import charges
from solarsim.arrays import BoolArray
from solarsim.errors import InputError
from solarsim.inputs.panels import Panels
from solarsim.inputs.percent import percent
from solarsim.inputs.prices import Prices
from solarsim.inputs.van import Van
from solarsim.weather.years.windows import stay_month

__all__ = ["search", "situations"]

_MOST_NUMBERS = 40_000_000
_FOLLOW_MOST = 365


def search(
    question: Question,
    *,
    places: Sequence[str] = (),
    months: Sequence[int] = (),
    panels: Sequence[int] | None = None,
    kinds: Sequence[str] | None = None,
    tilts_deg: Sequence[float] | None = None,
    batteries: Sequence[str] | None = None,
    strings: Sequence[int] | None = None,
    dcdc_a: Sequence[float] | None = None,
    controllers_a: Sequence[float] | None = None,
    limits: Limits | None = None,
    prices: Prices | None = None,
    most_designs: int = MAX_CANDIDATES,
    progress: Progress | None = None,
) -> SearchAnswer:
    """Find the designs that no other matches in price, weight and days.

    Every design meets the same runs of weather at each place and in each month; what counts is
    where and when it is worst. Each that is named fits on the roof, is charged by something and is
    stopped by no electrical check at any of the places.

    Parameters
    ----------
    question : Question
        Gives the van, its people, the stay's length and target, and, where none are listed, place
        and month.
    places, months : sequence
        Where and when it must hold; all months at all places.
    panels : sequence of int, optional
        Numbers of panels; by default all that fit, or up to 8 where no roof is given.
    kinds, batteries : sequence of str, optional
        Parts of the library, ``"own"`` for the van's, ``"library"`` for all. By default panels of
        the library and the van's own, of those with a price where there are prices, and the van's
        own battery.
    tilts_deg, dcdc_a : sequence of float, optional
        By default the van's own.
    strings : sequence of int, optional
        Parallel strings of battery units; by default 1 to 12.
    controllers_a : sequence of float, optional
        By default the one that the panels need, as in `tune`.
    limits : Limits, optional
        Target and limits.
    prices : Prices, optional
        The user's own.
    most_designs : int
        More than these are too much to try.
    progress : callable, optional
        Called with stretches of work done and in all.

    Raises
    ------
    InputError
        Nothing to try, too much to try, no such part, a price limit without all prices.
    """
    limits = limits or Limits()
    if prices is not None:
        # A name that no list has is told before the work.
        buy(question, prices)
    question = _followed(question, limits)
    van, costs = question.van, Costs(question.van, prices)
    space = space_of(
        van,
        panels=_panels_of(van, kinds, costs),
        batteries=battery_kinds(van, _names(batteries or [OWN], "batteries")),
        counts=panels,
        strings=strings,
        tilts_deg=tilts_deg,
        dcdc_a=dcdc_a,
        controllers_a=controllers_a,
    )
    cases, excluded, candidates = cases_of(van, space, most_designs)
    figures = figures_of(cases, space, costs)
    _check(question, limits, costs, candidates)
    wanted, over = within(figures, limits)
    asked = _Asked(
        questions=situations(question, places, months),
        asked_for_none=panels is not None and set(panels) == {0},
    )
    picked = _pick(asked, cases, figures, wanted, _target(question, limits), progress)
    return _answer(
        asked, limits, candidates, (*excluded, *over), picked, notes_of(van, space, costs)
    )


@dataclasses.dataclass(frozen=True)
class _Picked:
    """The designs to name, and what became of the others."""

    named: tuple[BestDesign, ...]
    meets: bool
    short: int
    stopped: Front
    front: Front
    notes: tuple[str, ...]


def _pick(
    asked: _Asked,
    cases: Sequence[Case],
    figures: Figures,
    wanted: BoolArray,
    target: Target,
    progress: Progress | None,
) -> _Picked:
    questions = asked.questions
    evaluated = evaluate(questions, cases, wanted, target, progress=progress)
    found = evaluated.situations
    reaching, order = _front(figures, found, asked)
    front, meets = reaching, bool(reaching.members)
    short = int(wanted.sum()) - len(found)
    if not meets:
        # Nothing that may be built reaches it: the best of the others are shown instead.
        others = wanted.copy()
        others[list(found)] = False
        found = evaluate(questions, cases, others, Target(), progress=progress).situations
        front, order = _front(figures, found, asked)
    own = questions[0].van
    numbers = [order[each] for each in front.members]
    return _Picked(
        named=tuple(_best(own, figures, number, found[number]) for number in numbers),
        meets=meets,
        short=short,
        stopped=Front() if meets else reaching,
        front=front,
        notes=evaluated.notes,
    )


def _answer(
    asked: _Asked,
    limits: Limits,
    candidates: int,
    excluded: tuple[Removed, ...],
    picked: _Picked,
    notes: tuple[str, ...],
) -> SearchAnswer:
    question = asked.questions[0]
    return SearchAnswer(
        question=question,
        situations=tuple((one.place.name, stay_month(one.van.stay)) for one in asked.questions),
        target=_target_words(question, limits),
        meets=picked.meets,
        designs=picked.named,
        choice=_choice(picked.named) if picked.meets else None,
        candidates=candidates,
        excluded=excluded,
        short_of_target=picked.short,
        reaching_stopped=picked.stopped.stopped,
        reaching_stopped_by=picked.stopped.stopped_by,
        beaten=picked.front.beaten,
        stopped=picked.front.stopped,
        stopped_by=picked.front.stopped_by,
        notes=(*notes, *question.notes, *picked.notes),
    )


def _followed(question: Question, limits: Limits) -> Question:
    """The question, followed for as many days as the target asks."""
    if limits.target_days is None:
        return question
    follow_days = max(question.follow_days, int(np.ceil(limits.target_days)))
    return question.replace(follow_days=min(follow_days, _FOLLOW_MOST))


def _check(question: Question, limits: Limits, costs: Costs, candidates: int) -> None:
    if limits.max_price is not None and costs.missing:
        raise InputError(
            f"no price for {some_of(costs.missing)}; give all of them in a price file, or leave "
            "the limit out",
            field="max_price",
        )
    if candidates * question.runs > _MOST_NUMBERS and question.series is None:
        raise InputError(
            f"{candidates:,} designs in {question.runs:,} runs are too much; give fewer of either",
            field="search",
        )


def situations(question: Question, places: Sequence[str], months: Sequence[int]) -> list[Question]:
    """Return the question at every place in every month; as it is where none are listed."""
    at = [at_place(question, place) for place in dict.fromkeys(places)] or [question]
    return [
        one.replace(month=month) if months else one
        for one in at
        for month in (sorted(set(months)) or [stay_month(one.van.stay)])
    ]


def _names(names: Sequence[str], kind: str) -> list[str]:
    return [
        name for given in names for name in (library_names(kind) if given == "library" else [given])
    ]


def _panels_of(van: Van, kinds: Sequence[str] | None, costs: Costs) -> list[Panels]:
    if kinds is not None:
        return panel_kinds(van, _names(kinds, "panels"))
    found = panel_kinds(van, library_names("panels"))
    return [one for one in found if costs.knows(one)] or found


def _target(question: Question, limits: Limits) -> Target:
    chance = question.van.stay.target_chance
    if limits.target_days is None:
        return Target(chance=chance)
    # Where someone's health depends on a device, days do not take the chance's place.
    medical = bool(question.profile.medical)
    return Target(chance=chance if medical else None, days=limits.target_days)


def _target_words(question: Question, limits: Limits) -> str:
    stay = question.van.stay
    chance = f"the whole stay of {stay.days} days in at least {percent(stay.target_chance)} of runs"
    if limits.target_days is None:
        return chance
    days = f"{limits.target_days:g} days in nine stays of ten"
    return f"{days}, and {chance}" if question.profile.medical else days


@dataclasses.dataclass(frozen=True)
class _Asked:
    """Where a design is checked, and whether one without panels was asked for."""

    questions: Sequence[Question]
    asked_for_none: bool

    def stops(self, van: Van) -> list[Stop]:
        """Everything that forbids building a van."""
        found: list[Stop] = []
        if not self.asked_for_none and not charges(van):
            found.append(("no-source", "nothing charges it: no panels, no driving, no shore power"))
        places = {one.place: one for one in self.questions}
        for one in places.values():
            check = check_question(situation_of(one, van))
            found += [(f.id, f.message) for f in check.findings if f.severity == "stop"]
        return list(dict.fromkeys(found))


def _front(
    figures: Figures, found: dict[int, tuple[InSituation, ...]], asked: _Asked
) -> tuple[Front, list[int]]:
    order = list(found)
    medical = bool(asked.questions[0].profile.medical)
    bad = []
    for number in order:
        price = figures.price[number]
        days = _safe_days(found[number], medical=medical)
        cost = figures.panel_w[number] if price is None else price
        bad.append((cost, figures.parts_kg[number], -days))
    return best_of(bad, lambda each: asked.stops(figures.vans[order[each]])), order


def _safe_days(found: Sequence[InSituation], *, medical: bool) -> float:
    """Days to count on where and when it is worst; of nine runs in ten where 99 cannot be told."""
    each = [one.days.safe(medical=medical) for one in found]
    told = [days for days in each if days is not None]
    return min(told) if len(told) == len(each) else min(one.days.p10 for one in found)


def _best(own: Van, figures: Figures, number: int, found: tuple[InSituation, ...]) -> BestDesign:
    van = figures.vans[number]
    firsts = [one.days.p1 for one in found if one.days.p1 is not None]
    return BestDesign(
        van=van,
        panel=panel_name(van.panels),
        panels=van.panels.count,
        tilt_deg=van.panels.tilt_deg,
        battery=battery_name(van.battery),
        units=van.battery.units,
        capacity_ah=van.bank_capacity_ah,
        chemistry=van.battery.chemistry,
        dcdc_a=0.0 if van.alternator is None else van.alternator.dcdc_a,
        controller_a=van.controller.max_output_a,
        price=figures.price[number],
        cost_in_panel_w=figures.panel_w[number],
        parts_kg=figures.parts_kg[number],
        rise_m=figures.rise_m[number],
        p1_days=min(firsts) if len(firsts) == len(found) else None,
        p10_days=min(one.days.p10 for one in found),
        chance_lasts=min(one.chance_lasts for one in found),
        situations=found,
        changes=changes_of(own, van),
        doubt=parallel_doubt(van, van.battery.units),
    )


def _choice(named: Sequence[BestDesign]) -> BestDesign | None:
    """The cheapest, by the order of `tune`; one without a doubt where there is one."""
    sure = [one for one in named if not one.doubt] or named
    return min(
        sure,
        key=lambda one: (
            one.cost_in_panel_w if one.price is None else one.price,
            -one.chance_lasts,
            one.units,
            one.dcdc_a,
            one.tilt_deg,
        ),
        default=None,
    )
