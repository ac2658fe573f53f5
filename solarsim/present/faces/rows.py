"""Rows that the cards of several answers have."""

from __future__ import annotations

from collections.abc import Sequence

from solarsim.answers.fuel import FuelAnswer
from solarsim.answers.question import Question
from solarsim.answers.simulation.conditions import Conditions
from solarsim.answers.simulation.summary import DaysUnplugged
from solarsim.answers.stay import StayAnswer
from solarsim.present.stay.fuel import at_most_text
from solarsim.present.words import day_shares_text, real_years_text

__all__ = [
    "days_row",
    "fuel_row",
    "notes_row",
    "question_columns",
    "real_years_row",
    "warnings_row",
    "weather_row",
]


def days_row(days: DaysUnplugged, *, medical: bool = False) -> tuple[str, str]:
    """P10, P50 and P90 of the days unplugged, after P1 where someone's health depends on it."""
    return "unplugged", day_shares_text(days, medical=medical)


def weather_row(conditions: Conditions) -> tuple[str, str]:
    """How many runs of which weather."""
    return (
        "weather",
        f"{conditions.runs} runs, {conditions.ghi_kwh_m2_day:.2f} kWh/m2 of light a day, "
        f"air {conditions.temp_air_c:z.1f} C; {conditions.source}",
    )


def real_years_row(answer: StayAnswer) -> list[tuple[str, str]]:
    """What real years say of the same dates, where any are at hand."""
    text = real_years_text(answer)
    return [] if answer.real_years is None or text is None else [("real years", text)]


def warnings_row(warnings: Sequence[str]) -> list[tuple[str, str]]:
    """The first warning and how many there are; nothing where there is none."""
    return _first("warning", warnings)


def notes_row(notes: Sequence[str]) -> list[tuple[str, str]]:
    """The first note and how many there are; nothing where there is none."""
    return _first("note", notes)


def question_columns(question: Question) -> dict[str, object]:
    """What tells answers apart in one table: van, profile, place."""
    return {
        "van": question.van.van.name,
        "profile": question.profile.profile.name,
        "place": question.place.name,
    }


def _first(name: str, lines: Sequence[str]) -> list[tuple[str, str]]:
    if not lines:
        return []
    if len(lines) == 1:
        return [(name, lines[0])]
    return [(f"{name}s", f"{len(lines)}; the first: {lines[0]}")]


def fuel_row(fuel: FuelAnswer | None, *, over: str = "stay") -> list[tuple[str, str]]:
    """What nine stays or trips in ten burn at most a day; nothing where the van names no fuel."""
    if fuel is None:
        return []
    burnt = [f"{one.kind} {at_most_text(one.per_day.p90)} {one.unit}" for one in fuel.fuels]
    return [("fuel", f"up to {', '.join(burnt)} a day in nine {over}s of ten")] if burnt else []
