"""The answers, one function each.

All take a question first, or a van and the keywords of `ask`; keywords beside a question change it
as `Question.replace` does. Each function loads what it needs when it is called.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Unpack

from solarsim.answers.given import GivenPlace, given_place
from solarsim.answers.question import Question
from solarsim.door.asking import Askable, Asked, Progress, given_progress, question_of
from solarsim.door.lists import given_counts, given_names, given_numbers, given_prices
from solarsim.inputs.files.van import DEFAULT_VAN
from solarsim.inputs.prices import Prices, checked_max_kg
from solarsim.inputs.stay import DEFAULT_PLACE

if TYPE_CHECKING:
    from solarsim.answers.bank import BankAnswer
    from solarsim.answers.climate import ClimateAnswer
    from solarsim.answers.levers import LeversAnswer
    from solarsim.answers.parts import PartsAnswer
    from solarsim.answers.roof import RoofAnswer
    from solarsim.answers.seasons import SeasonsAnswer
    from solarsim.answers.stay import StayAnswer
    from solarsim.answers.tune.designs import TuneAnswer
    from solarsim.electrical.check import Check

__all__ = ["bank", "check", "climate", "levers", "parts", "roof", "seasons", "stay", "tune"]


def stay(
    question: Askable = DEFAULT_VAN,
    *,
    prices: str | Path | Prices | None = None,
    progress: Progress | None = None,
    **asked: Unpack[Asked],
) -> StayAnswer:
    """Answer how many days the van lasts, with what chance, and where its energy goes.

    Parameters
    ----------
    question : Question, or a van as for `ask`
        What is asked.
    prices : str, path or Prices, optional
        What fuel costs: a TOML file, a shipped example's name or a record.
    progress : callable, optional
        Called with runs done and runs in all.
    **asked
        Keywords of `ask`.

    Raises
    ------
    InputError
        As for `ask`; a load that no bank could carry.
    """
    from solarsim.answers.stay import stay as answer

    return answer(
        question_of(question, asked),
        prices=given_prices(prices),
        progress=given_progress(progress),
    )


def bank(
    question: Askable = DEFAULT_VAN, *, progress: Progress | None = None, **asked: Unpack[Asked]
) -> BankAnswer:
    """Find the smallest bank that lasts the stay; the van's own number of units plays no part.

    Parameters and errors are as for `stay`.
    """
    from solarsim.answers.bank import bank as answer

    return answer(question_of(question, asked), progress=given_progress(progress))


def tune(
    question: Askable = DEFAULT_VAN,
    *,
    panels: Sequence[int] | None = None,
    strings: Sequence[int] | None = None,
    chemistries: Sequence[str] | None = None,
    dcdc_a: Sequence[float] | None = None,
    tilts_deg: Sequence[float] | None = None,
    prices: str | Path | Prices | None = None,
    max_kg: float | None = None,
    progress: Progress | None = None,
    **asked: Unpack[Asked],
) -> TuneAnswer:
    """Try panel counts against bank sizes on the same weather, and choose.

    Parameters
    ----------
    question : Question, or a van as for `ask`
        What is asked.
    panels : sequence of int, optional
        Panel counts to try, 0 to 60; by default all that fit, or 0 to 8 without a roof.
    strings : sequence of int, optional
        Parallel strings of battery units, 1 to 96; by default 1 to 12.
    chemistries : sequence of str, optional
        Such as ``["lfp", "agm"]``; by default the van's own.
    dcdc_a : sequence of float, optional
        DC-DC chargers, 0 to 400 A; by default the van's own.
    tilts_deg : sequence of float, optional
        Panel tilts, 0 to 90 degrees; by default the van's own.
    prices : str, path or Prices, optional
        The user's own prices and weights: a TOML file, a shipped example's name or a record.
    max_kg : float, optional
        What all that `buy` lists for a design may weigh, kg; heavier ones are passed over.
    progress : callable, optional
        Called with combinations of weather done and in all.
    **asked
        Keywords of `ask`.

    Raises
    ------
    InputError
        As for `ask`; nothing to try, or a value out of its range.
    """
    from solarsim.answers.tune.tune import tune as answer
    from solarsim.power.chemistry import CHEMISTRY_NAMES

    return answer(
        question_of(question, asked),
        panels=given_counts(panels, field="panels", least=0, most=60),
        strings=given_counts(strings, field="strings", least=1, most=96),
        chemistries=given_names(chemistries, field="chemistries", known=CHEMISTRY_NAMES),
        dcdc_a=given_numbers(dcdc_a, field="dcdc_a", least=0.0, most=400.0),
        tilts_deg=given_numbers(tilts_deg, field="tilts_deg", least=0.0, most=90.0),
        prices=given_prices(prices),
        max_kg=checked_max_kg(max_kg, field="max_kg"),
        progress=given_progress(progress),
    )


def levers(
    question: Askable = DEFAULT_VAN, *, progress: Progress | None = None, **asked: Unpack[Asked]
) -> LeversAnswer:
    """Answer what one change is worth in days, ranked, on the same weather.

    Parameters and errors are as for `stay`.
    """
    from solarsim.answers.levers import levers as answer

    return answer(question_of(question, asked), progress=given_progress(progress))


def seasons(
    question: Askable = DEFAULT_VAN, *, progress: Progress | None = None, **asked: Unpack[Asked]
) -> SeasonsAnswer:
    """Answer the stay in all twelve months; the question's own month plays no part.

    Parameters and errors are as for `stay`.
    """
    from solarsim.answers.seasons import seasons as answer

    return answer(question_of(question, asked), progress=given_progress(progress))


def roof(
    question: Askable = DEFAULT_VAN, *, parts: Sequence[str] = (), **asked: Unpack[Asked]
) -> RoofAnswer:
    """Place as many panels on the van's roof as fit, and say what each thing up there costs.

    Parameters
    ----------
    question : Question, or a van as for `ask`
        What is asked; AC loads need no inverter here.
    parts : sequence of str
        Panels of the library to place, mixed if several; by default the van's own.
    **asked
        Keywords of `ask`.

    Raises
    ------
    InputError
        As for `ask`; a van without a roof, or no such part.
    """
    from solarsim.answers.roof import roof as answer

    names = given_names(parts, field="parts", known=None) or []
    return answer(question_of(question, asked, with_loads=False), parts=names)


def check(question: Askable = DEFAULT_VAN, **asked: Unpack[Asked]) -> Check:
    """Check voltages, currents, cables and fuses against published rules.

    Parameters and errors are as for `stay`.
    """
    from solarsim.answers.checked import check_question

    about = question_of(question, asked)
    return check_question(about)


def climate(place: GivenPlace | Question = DEFAULT_PLACE) -> ClimateAnswer:
    """Describe light and temperature of a place, month by month: what the answers stand on.

    Parameters
    ----------
    place : str, tuple of float, Place or Question
        A town, ``"latitude, longitude"``, the two as a pair, or a record; or the place of a
        question.

    Raises
    ------
    InputError
        No such place, or one without a climate.
    """
    from solarsim.answers.climate import climate as answer

    return answer(place.place if isinstance(place, Question) else given_place(place))


def parts() -> PartsAnswer:
    """Return the parts library: panels, batteries and appliances, with their sources."""
    from solarsim.answers.parts import parts as answer

    return answer()
