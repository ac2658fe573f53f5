"""What a client answers in the interview, as a file: plain answers that make a load profile."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Annotated, Any, Literal, Self

from pydantic import Field, model_validator

from solarsim.inputs.base import Record, parse_record
from solarsim.inputs.files.toml import apply_settings, read_toml, resolve_file

__all__ = ["ClientAnswers", "Interview", "interview_from_data", "read_interview"]

Month = Annotated[int, Field(ge=1, le=12)]
Cooked = Literal["gas", "induction", "kettle", "coffee machine", "microwave"]
Device = Literal["breathing device", "oxygen concentrator", "medicine fridge"]
Extra = Literal[
    "television",
    "e-bike",
    "electric blanket",
    "toilet fan",
    "evaporative cooler",
    "air conditioner",
]


class ClientAnswers(Record):
    """What the client says, in the order of the twelve questions; only `people` must be answered.

    Watts and hours of what follows from an answer are those of the library of appliances
    (`solarsim parts`), for two people; what each person uses grows with their number.
    """

    name: Annotated[str, Field(min_length=1, max_length=200)] = "Client"
    """What the profile is called, such as a number of the order; it needs no person's name."""
    people: Annotated[int, Field(ge=1, le=8)]
    """How many people live in the van."""
    place: Annotated[str, Field(min_length=1, max_length=200)] | None = None
    """Where it is used most in the hardest months: a town or 'latitude, longitude'."""
    months: Annotated[tuple[Month, ...], Field(strict=False, min_length=1, max_length=12)] = (
        *range(1, 13),
    )
    """Months in which it is lived in, as numbers."""
    inside: Literal["evenings and nights", "half the day", "all day"] = "evenings and nights"
    """When somebody is inside on a usual day."""
    cooking: Annotated[tuple[Cooked, ...], Field(strict=False, max_length=5)] = ("gas",)
    """What food and drink are heated on; an empty list where nothing is."""
    work: Literal["none", "one laptop in the evening", "one works", "everyone works"] = (
        "one laptop in the evening"
    )
    """Laptops: one for films, or seven hours of work each weekday by one or by everyone."""
    internet: Literal["phone", "router", "satellite"] = "phone"
    """What brings the internet: a phone, a router with a mobile card, or a satellite terminal."""
    heater: Literal["none", "stove", "diesel", "propane"] = "diesel"
    """What heats the van; a stove takes no electricity."""
    warmth: Literal["cool", "warm", "warm all night"] = "warm"
    """How warm: 16 C and 8 C at night, 19 C and 13 C, or 21 C and 16 C."""
    fridge: Literal["none", "small", "medium", "large", "medium and freezer"] = "medium"
    """Fridge of 40, 65 or 90 litres, or one of 65 litres and a freezer of 40."""
    water: Literal["sink", "sink and showers"] = "sink and showers"
    """What the water is used for; showers are warmed by the engine or the heater."""
    pets: Literal["none", "with people", "alone by day"] = "none"
    """Whether animals are aboard, and whether they stay alone in the van by day."""
    medical: Annotated[tuple[Device, ...], Field(strict=False, max_length=3)] = ()
    """Devices that someone's health depends on; an empty list where there are none."""
    extras: Annotated[tuple[Extra, ...], Field(strict=False, max_length=6)] = ()
    """What else is aboard; an empty list where there is nothing."""
    moves_every_days: Annotated[int, Field(ge=0, le=60)] = 0
    """How often it is driven for an hour: 1 is every day, 3 every third, 0 never."""
    plugs_in_every_days: Annotated[int, Field(ge=0, le=60)] = 0
    """How often it is plugged in for a night: 1 is every night, 3 every third, 0 never."""

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        for name in ("months", "cooking", "medical", "extras"):
            given = getattr(self, name)
            twice = next((one for one in given if given.count(one) > 1), None)
            if twice is not None:
                raise ValueError(f"{name} holds {twice!r} twice")
        if self.heater == "none" and "warmth" in self.model_fields_set:
            raise ValueError(f"warmth = '{self.warmth}' needs a heater; leave it out")
        return self


class Interview(Record):
    """A file of answers."""

    answers: ClientAnswers
    """What the client says."""


def read_interview(name_or_path: str, *, settings: Sequence[str] = ()) -> Interview:
    """Read a file of answers, or a shipped example by its name.

    Parameters
    ----------
    name_or_path : str
        A path, or the name of a shipped example.
    settings : sequence of str, optional
        ``answers.KEY=VALUE`` changes, such as ``answers.fridge=large``.

    Raises
    ------
    InputError
        No such file, no TOML, an unknown key, an answer that cannot be; the file and the field
        are named.

    Examples
    --------
    >>> read_interview("couple", settings=["answers.people=3"]).answers.people
    3
    """
    path: Path = resolve_file(name_or_path, "interviews")
    return interview_from_data(read_toml(path), source=str(path), settings=settings)


def interview_from_data(
    data: Mapping[str, Any], *, source: str, settings: Sequence[str] = ()
) -> Interview:
    """Build an interview from plain tables; otherwise as `read_interview`."""
    changed = apply_settings(dict(data), list(settings), source=source)
    return parse_record(Interview, changed, source=source)
