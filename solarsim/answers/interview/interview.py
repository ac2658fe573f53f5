"""A load profile from a client's answers, each appliance with the answer it follows from."""

from __future__ import annotations

import dataclasses
from pathlib import Path
from typing import Any, ClassVar

from solarsim.answers.interview.questions import QUESTIONS, answer_text
from solarsim.answers.interview.rows import Traced, cabin_table, traced_appliances
from solarsim.answers.medical import medical_caution
from solarsim.errors import InputError
from solarsim.inputs.base import checked_record, record_data
from solarsim.inputs.counts import count_text
from solarsim.inputs.interview import ClientAnswers, Interview
from solarsim.inputs.parts import part_tables
from solarsim.inputs.profile import Profile, profile_from_data
from solarsim.records import Answer
from solarsim.weather.places import find_place
from solarsim.weather.record import Place

__all__ = ["PET_CAUTION", "InterviewAnswer", "interview"]

PET_CAUTION = (
    "An animal in a closed van can die within minutes of a fan or a heater that stops: never leave "
    "it to rely on the battery alone."
)
# An hour's drive and a night on the post, as `levers` counts them.
_DRIVE_H = 1.0
_PLUGGED_H = 8.0
_INSIDE = {
    "evenings and nights": "inside in the evenings and at night",
    "half the day": "inside for half the day and at night",
    "all day": "inside all day",
}


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class InterviewAnswer(Answer):
    """What a client's answers make.

    Attributes
    ----------
    interview : Interview
        The answers.
    place : Place or None
        Where, as far as it was answered.
    profile : Profile
        Who is aboard and what runs.
    tables : dict
        The profile as in its file.
    appliances : tuple of Traced
        Each with the answer that it follows from.
    months : tuple of int
        When it is lived in, the hardest first.
    settings : tuple of str
        What the answers say of the van: what it burns, how often it is driven and plugged in.
    not_answered : tuple of str
        Keys that were left out; the usual answer stands there.
    cautions : tuple of str
        What somebody could be hurt by.
    notes : tuple of str
        What the builder has to add.
    """

    _face: ClassVar[str] = "interview"

    interview: Interview
    place: Place | None
    profile: Profile
    tables: dict[str, Any]
    appliances: tuple[Traced, ...]
    months: tuple[int, ...]
    settings: tuple[str, ...]
    not_answered: tuple[str, ...]
    cautions: tuple[str, ...]
    notes: tuple[str, ...]

    def save(self, path: str | Path) -> None:
        """Write the profile as ``.toml``, or a page to print as ``.html`` or ``.pdf``.

        Raises
        ------
        InputError
            Another ending, or a file that cannot be written.
        """
        if not isinstance(path, str | Path):
            raise InputError(f"got {path!r}; must be a file's path", field="path")
        self._shown().save(self, Path(path))


def interview(asked: Interview) -> InterviewAnswer:
    """Make a load profile of a client's answers.

    Parameters
    ----------
    asked : Interview
        From `solarsim.inputs.interview.read_interview`; checked like a file.

    Raises
    ------
    InputError
        An answer that cannot be, or a place that is not found.
    """
    asked = checked_record(asked, source="")
    answers = asked.answers
    place = None if answers.place is None else find_place(answers.place)
    appliances = traced_appliances(answers)
    tables = _tables(answers, appliances)
    given = set(record_data(answers))
    heated = answers.heater != "none"
    return InterviewAnswer(
        interview=asked,
        place=place,
        profile=profile_from_data(tables, source="interview"),
        tables=tables,
        appliances=appliances,
        months=_hardest_first(answers.months, place),
        settings=_settings(answers),
        not_answered=tuple(
            key
            for question in QUESTIONS
            for key in question.keys
            if key not in given and (heated or key != "warmth")
        ),
        cautions=_cautions(answers),
        notes=_notes(answers, appliances),
    )


def _tables(answers: ClientAnswers, appliances: tuple[Traced, ...]) -> dict[str, Any]:
    identity: dict[str, Any] = {"name": answers.name, "description": _described(answers)}
    if answers.medical:
        identity["medical"] = list(answers.medical)
    return {
        "profile": identity,
        "cabin": cabin_table(answers),
        "appliances": [one.table for one in appliances],
    }


def _described(answers: ClientAnswers) -> str:
    """One line of the life, as the sheet shows it."""
    cooking = answer_text("cooking", answers.cooking)
    one = answers.people == 1
    return (
        "; ".join(
            [
                f"{'One person' if one else f'{answers.people} people'}, {_INSIDE[answers.inside]}",
                "nothing cooked" if cooking == "none" else f"cooking on {cooking}",
                {
                    "none": "no laptop",
                    "one laptop in the evening": "a laptop in the evening",
                    "one works": "working from the van" if one else "one works from the van",
                    "everyone works": "working from the van" if one else "all work from the van",
                }[answers.work],
                "no heater"
                if answers.heater == "none"
                else f"{answer_text('heater', answers.heater)}.",
            ]
        ).rstrip(".")
        + "."
    )


def _hardest_first(months: tuple[int, ...], place: Place | None) -> tuple[int, ...]:
    """Months by how near they are to the shortest day: that of the north where no place is told."""
    darkest = 6 if place is not None and place.latitude_deg < 0.0 else 12

    def away(month: int) -> int:
        apart = abs(month - darkest)
        return min(apart, 12 - apart)

    # January comes before November: it is colder.
    return tuple(sorted(months, key=lambda month: (away(month), (darkest - month) % 12 < 6)))


def _settings(answers: ClientAnswers) -> tuple[str, ...]:
    said = []
    if answers.heater in {"diesel", "propane"}:
        said.append(f"fuel.heat={answers.heater}")
        # Showers are warmed by the heater wherever the engine does not run.
        if answers.water == "sink and showers" and not answers.moves_every_days:
            said.append(f"fuel.hot_water={answers.heater}")
    if "gas" in answers.cooking:
        said.append("fuel.cooking=propane")
    if answers.moves_every_days:
        said += [
            f"alternator.drive_h={_DRIVE_H:g}",
            f"alternator.every_days={answers.moves_every_days}",
        ]
    if answers.plugs_in_every_days:
        said += [
            f"shore.plugged_h={_PLUGGED_H:g}",
            f"shore.every_days={answers.plugs_in_every_days}",
        ]
    return tuple(said)


def _cautions(answers: ClientAnswers) -> tuple[str, ...]:
    medical = (medical_caution(answers.medical),) if answers.medical else ()
    return medical + ((PET_CAUTION,) if answers.pets == "alone by day" else ())


def _notes(answers: ClientAnswers, appliances: tuple[Traced, ...]) -> tuple[str, ...]:
    notes = [
        "The watts are those of generic appliances: put those of the labels in their place.",
        "How the van is insulated is the builder's to say: cabin.insulation is 'light' until then.",
    ]
    mains = [one.name for one in appliances if _on_mains(one)]
    if mains:
        notes.append(f"Needs mains sockets, an inverter in the van: {', '.join(mains)}.")
    if answers.medical:
        notes.append(
            "Watts and hours of a medical device are its label's and the prescription's: put them "
            "into the profile before any answer is believed."
        )
    if answers.pets == "with people":
        notes.append("Animals that stay with people add nothing to what runs.")
    notes += [
        f"{words}: it counts where the van has a {charger}."
        if every
        else f"{never}: where the van's file has such a plan, ask with {key}=0."
        for every, never, words, charger, key in (
            (
                answers.moves_every_days,
                "Never driven",
                f"Driven for an hour {answer_text('moves_every_days', answers.moves_every_days)}",
                "DC-DC charger",
                "alternator.drive_h",
            ),
            (
                answers.plugs_in_every_days,
                "Never plugged in",
                "Plugged in for a night "
                + answer_text("plugs_in_every_days", answers.plugs_in_every_days),
                "shore charger",
                "shore.plugged_h",
            ),
        )
    ]
    if len(answers.months) < 12:
        notes.append(
            f"It is lived in for {count_text(len(answers.months), 'month')} of the year: ask for "
            "the hardest first."
        )
    return tuple(notes)


def _on_mains(one: Traced) -> bool:
    part = part_tables("appliances").get(str(one.table.get("part")), {})
    return bool(part.get("current") == "ac")
