"""Panel count against bank size, on the same weather: what to build."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from solarsim.answers.buy.buy import buy, priced_van
from solarsim.answers.question import Question
from solarsim.answers.simulation.run import Progress
from solarsim.answers.simulation.summary import stay_dates
from solarsim.answers.tune.built import design_stops
from solarsim.answers.tune.candidates import candidates
from solarsim.answers.tune.choose import buildable_line, choose, one_more, stops_paying
from solarsim.answers.tune.designs import TuneAnswer, TunedDesign
from solarsim.answers.tune.evaluate import evaluate
from solarsim.answers.tune.weights import PRICES_TO_GIVE, WEIGHTS_IN_WORDS
from solarsim.inputs.counts import count_text
from solarsim.inputs.prices import Prices
from solarsim.inputs.van import Van

__all__ = ["tune"]


def tune(
    question: Question,
    *,
    panels: Sequence[int] | None = None,
    strings: Sequence[int] | None = None,
    chemistries: Sequence[str] | None = None,
    dcdc_a: Sequence[float] | None = None,
    tilts_deg: Sequence[float] | None = None,
    prices: Prices | None = None,
    max_kg: float | None = None,
    progress: Progress | None = None,
) -> TuneAnswer:
    """Try every combination on the same weather and pick the cheapest that passes the checks.

    A design passes where its panels fit on the roof, something charges it, and `check_van` stops
    nothing in the van that is built so.

    Parameters
    ----------
    question : Question
        Gives panel part, battery unit, loads, place, dates and the target chance.
    panels : sequence of int, optional
        Panel counts, by default every one that fits on the roof or, where none is given, 0 to 8;
        counts that make no whole strings are left out. A van that nothing charges is chosen only
        where no other number than 0 is asked for.
    strings : sequence of int, optional
        Parallel strings of battery units, by default 1 to 12.
    chemistries, dcdc_a, tilts_deg : sequence, optional
        Further dimensions; by default the van's own.
    prices : Prices, optional
        The user's own: those of the panel and the battery take the place of the van's, and its
        weights of the library's examples.
    max_kg : float, optional
        What all that is bought for a design may weigh, kg; heavier ones are passed over.
    progress : callable, optional
        Called with combinations of weather done and in all.

    Raises
    ------
    InputError
        Nothing to try, or a value that a van cannot have.
    """
    if prices is not None:
        # A name that no list has is told before the work.
        buy(question, prices)
        question = dataclasses.replace(question, van=priced_van(question.van, prices))
    tried = candidates(
        question,
        panels=panels,
        strings=strings,
        chemistries=chemistries,
        dcdc_a=dcdc_a,
        tilts_deg=tilts_deg,
    )
    designs, conditions, overloads = evaluate(question, tried, progress=progress)
    asked_for_none = panels is not None and set(tried.panels) == {0}
    stops = design_stops(question, sourceless_asked=asked_for_none, prices=prices, max_kg=max_kg)
    choice = choose(question, designs, stops)
    return TuneAnswer(
        question=question,
        dates=stay_dates(question),
        conditions=conditions,
        designs=designs,
        choice=choice.design,
        passed_over=choice.passed_over,
        pareto=buildable_line(designs, stops),
        stops_paying=stops_paying(designs, choice.design),
        one_more=one_more(question.van, designs, choice.design, tried.fitting),
        reason=choice.reason,
        notes=(
            *overloads,
            *_roof_notes(question.van, tried.panels, tried.fitting),
            *_price_notes(designs),
            *_weight_notes(max_kg),
        ),
    )


def _weight_notes(max_kg: float | None) -> tuple[str, ...]:
    if max_kg is None:
        return ()
    return (
        f"Chosen among what weighs at most {max_kg:g} kg with all that `buy` lists for it; weights "
        "that no file gives are plain examples by class (common practice, no source).",
    )


def _price_notes(designs: Sequence[TunedDesign]) -> tuple[str, ...]:
    if designs[0].cost is None:
        return (f"No prices ({PRICES_TO_GIVE}) for all of this: {WEIGHTS_IN_WORDS}.",)
    if len({design.dcdc_a for design in designs}) > 1:
        return ("What the DC-DC chargers cost is not counted.",)
    return ()


def _roof_notes(van: Van, counts: Sequence[int], fitting: Sequence[int]) -> tuple[str, ...]:
    size = f"of {van.panels.length_m:g} m x {van.panels.width_m:g} m"
    if van.roof is None:
        most = count_text(counts[-1], "panel")
        return (f"No roof is given: whether {most} {size} fit was not looked at.",)
    note = f"The roof holds up to {count_text(fitting[-1], 'panel')} {size}"
    if van.panels.series > 1:
        note += f" in whole strings of {van.panels.series}"
    lost = [count for count in counts if count not in fitting]
    if lost:
        named = ", ".join(map(str, lost))
        return (f"{note}: {named} do not fit, and the shade of what stands there is left out.",)
    return (f"{note}; each number of them lies and is shaded in its own best layout.",)
