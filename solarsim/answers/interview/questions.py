"""The twelve questions, each with the keys that its answers stand under."""

from __future__ import annotations

import dataclasses
import typing
from typing import Any, Literal

from solarsim.errors import InputError
from solarsim.inputs.interview import ClientAnswers, interview_from_data

__all__ = ["QUESTIONS", "Asked", "allowed_choices", "answer_text", "question_of", "typed_answer"]


@dataclasses.dataclass(frozen=True)
class Asked:
    """One question.

    Attributes
    ----------
    text : str
        As it is asked.
    keys : mapping of str to str
        The keys of its answers, each with what is asked for there.
    """

    text: str
    keys: dict[str, str]


QUESTIONS: tuple[Asked, ...] = (
    Asked("How many people live in the van?", {"people": "people, 1 to 8"}),
    Asked(
        "Where and when is it lived in?",
        {
            "place": "town of the hardest months, such as Salzburg, AT; empty if open",
            "months": "months, such as 10-12, 1, 2; empty for all",
        },
    ),
    Asked("When is somebody inside on a usual day?", {"inside": ""}),
    Asked("What are food and drink heated on?", {"cooking": "one or more"}),
    Asked("What work is done, and on what internet?", {"work": "laptops", "internet": "internet"}),
    Asked("What heats the van, and how warm is it kept?", {"heater": "heater", "warmth": "warmth"}),
    Asked("How large is the fridge?", {"fridge": ""}),
    Asked("What is the water used for?", {"water": ""}),
    Asked("Are there animals aboard?", {"pets": ""}),
    Asked("Does anybody's health depend on a device?", {"medical": "one or more"}),
    Asked("What else is aboard?", {"extras": "one or more"}),
    Asked(
        "How often is the van driven, and how often plugged in?",
        {
            "moves_every_days": "an hour's drive every so many days, 0 never",
            "plugs_in_every_days": "a night on shore power every so many days, 0 never",
        },
    ),
)

_LONGEST_NUMBER = 6

# What an answer is called where its own word says too little.
_WORDS = {
    ("inside", "half the day"): "evenings, nights and half the day",
    ("work", "none"): "no laptop",
    ("internet", "phone"): "the phone's own",
    ("internet", "router"): "a router with a mobile card",
    ("internet", "satellite"): "a satellite terminal",
    ("heater", "stove"): "a stove without electricity",
    ("heater", "diesel"): "a diesel heater",
    ("heater", "propane"): "a propane furnace",
    ("warmth", "cool"): "cool: 16 C, 8 C at night",
    ("warmth", "warm"): "warm: 19 C, 13 C at night",
    ("warmth", "warm all night"): "warm all night: 21 C, 16 C at night",
    ("fridge", "small"): "small, 40 litres",
    ("fridge", "medium"): "medium, 65 litres",
    ("fridge", "large"): "large, 90 litres",
    ("fridge", "medium and freezer"): "65 litres and a freezer of 40",
    ("pets", "with people"): "with people all day",
    ("pets", "alone by day"): "alone in the van by day",
}


def question_of(key: str) -> int:
    """Return the number of the question that a key answers, from 1; 0 for the profile's name.

    Examples
    --------
    >>> question_of("people"), question_of("internet"), question_of("name")
    (1, 5, 0)
    """
    return next((n for n, asked in enumerate(QUESTIONS, start=1) if key in asked.keys), 0)


def allowed_choices(key: str) -> tuple[str, ...]:
    """Return the answers that a key allows; empty where it takes a number or text.

    Examples
    --------
    >>> allowed_choices("water"), allowed_choices("people")
    (('sink', 'sink and showers'), ())
    """
    found = ClientAnswers.model_fields[key].annotation
    while typing.get_args(found) and typing.get_origin(found) is not Literal:
        found = typing.get_args(found)[0]
    return typing.get_args(found) if typing.get_origin(found) is Literal else ()


def answer_text(key: str, value: Any) -> str:
    """Return an answer in words.

    Examples
    --------
    >>> answer_text("heater", "diesel"), answer_text("extras", ()), answer_text("months", (12, 1))
    ('a diesel heater', 'none', '12, 1')
    >>> answer_text("moves_every_days", 3), answer_text("plugs_in_every_days", 0)
    ('every 3 days', 'never')
    """
    if isinstance(value, list | tuple):
        if key == "months" and len(value) == 12:
            return "all year"
        return ", ".join(answer_text(key, one) for one in value) or "none"
    if key.endswith("_every_days"):
        return {0: "never", 1: "every day"}.get(value, f"every {value} days")
    if value is None:
        return "open"
    return _WORDS.get((key, value), str(value))


def typed_answer(key: str, text: str) -> Any:
    """Return an answer that was typed, checked; None where nothing was, for the usual one.

    Choices may be typed by their words or by their numbers from 1 on, several with commas;
    months also as ``10-12``.

    Raises
    ------
    InputError
        An answer that cannot be; says what is allowed.

    Examples
    --------
    >>> typed_answer("cooking", "1, kettle"), typed_answer("fridge", "3"), typed_answer("name", "")
    (('gas', 'kettle'), 'medium', None)
    >>> typed_answer("months", "11-2"), typed_answer("extras", "none")
    ((11, 12, 1, 2), ())
    """
    given = text.strip()
    if not given:
        return None
    value = _plain_answer(key, given)
    # The record's own limits, on an interview that is sound but for this answer.
    tried: dict[str, Any] = {"people": 1, key: value}
    checked = interview_from_data({"answers": tried}, source="")
    return getattr(checked.answers, key)


def _plain_answer(key: str, text: str) -> Any:
    choices = allowed_choices(key)
    several = typing.get_origin(ClientAnswers.model_fields[key].annotation) is tuple
    if several and text.lower() in {"none", "nothing", "no"} and key != "months":
        return []
    if choices:
        picked = [_picked(key, one.strip(), choices) for one in text.split(",")]
        if not several and len(picked) > 1:
            raise InputError(f"got '{text[:60]}'; one answer alone", field=key)
        return picked if several else picked[0]
    if key == "months":
        return [month for part in text.split(",") for month in _months(part)]
    if key in {"name", "place"}:
        return text
    return _whole(text, key)


def _picked(key: str, text: str, choices: tuple[str, ...]) -> str:
    if text.isdecimal() and len(text) < _LONGEST_NUMBER and 1 <= int(text) <= len(choices):
        return choices[int(text) - 1]
    if text.lower() in choices:
        return text.lower()
    listed = ", ".join(f"{n} {one}" for n, one in enumerate(choices, start=1))
    raise InputError(f"got '{text[:60]}'; choose of {listed}", field=key)


def _months(text: str) -> list[int]:
    first, dash, last = text.partition("-")
    begin = _whole(first, "months")
    if not dash:
        return [begin]
    end = _whole(last, "months")
    if not (1 <= begin <= 12 and 1 <= end <= 12):
        raise InputError(f"got '{text.strip()}'; months are 1 to 12", field="months")
    return [(begin - 1 + step) % 12 + 1 for step in range((end - begin) % 12 + 1)]


def _whole(text: str, key: str) -> int:
    try:
        # Signs and underscores that Python reads as numbers are no answers.
        if (
            not text.strip().isdecimal()
            or not text.strip().isascii()
            or len(text) > _LONGEST_NUMBER
        ):
            raise ValueError
        return int(text)
    except ValueError:
        raise InputError(f"got '{text.strip()[:60]}'; must be a whole number", field=key) from None
