"""The answer of `interview` as a JSON document (schema 1), and as the profile's file."""

from __future__ import annotations

import json
from typing import Any

from solarsim.answers.interview.interview import InterviewAnswer
from solarsim.answers.interview.questions import answer_text, question_of
from solarsim.answers.interview.rows import Traced
from solarsim.inputs.base import plain_value, record_data
from solarsim.inputs.interview import ClientAnswers, Interview
from solarsim.present.stay.documents import place_document

__all__ = ["answers_toml", "ask_next", "from_text", "interview_document", "profile_toml"]


def interview_document(answer: InterviewAnswer) -> dict[str, Any]:
    """Return the document of `interview`: answers, profile, and which follows from which."""
    answers = answer.interview.answers
    return {
        "schema": 1,
        "answers": {key: plain_value(getattr(answers, key)) for key in ClientAnswers.model_fields},
        "not_answered": list(answer.not_answered),
        "place": None if answer.place is None else place_document(answer.place),
        "months": list(answer.months),
        "profile": answer.tables,
        "follows": [
            {
                "appliance": one.name,
                "answer": one.key,
                "question": question_of(one.key),
                "source": one.source,
            }
            for one in answer.appliances
        ],
        "settings": list(answer.settings),
        "ask_next": ask_next(answer),
        "cautions": list(answer.cautions),
        "notes": list(answer.notes),
    }


def ask_next(answer: InterviewAnswer, profile: str = "PROFILE.toml") -> str:
    """Return the command that asks how long the van lasts so lived in, in its hardest month."""
    parts = [f"solarsim stay VAN.toml --profile {profile} --month {answer.months[0]}"]
    if answer.place is not None:
        parts.append(f"--place '{answer.place.latitude_deg:g}, {answer.place.longitude_deg:g}'")
    parts += [f"--set {setting}" for setting in answer.settings]
    return " ".join(parts)


def from_text(answer: InterviewAnswer, key: str) -> str:
    """Return an answer with its question's number, and whether the usual one stands in for it."""
    said = answer_text(key, getattr(answer.interview.answers, key))
    usual = " (not answered; the usual)" if key in answer.not_answered else ""
    return f"question {question_of(key)}, {key}: {said}{usual}"


def profile_toml(answer: InterviewAnswer) -> str:
    """Return the profile's file, each appliance with the answer that it follows from.

    What the library of appliances fills in is left out, as in any profile: the part's name brings
    it.
    """
    answers = answer.interview.answers
    lines = [
        "# A load profile from a client's interview. Above each appliance stands the answer that",
        "# it follows from: change the answer and make it anew, or change what stands here.",
        *(f"# CAUTION: {caution}" for caution in answer.cautions),
        *(f"# {note}" for note in answer.notes),
        f"# Ask next: {ask_next(answer)}",
        "",
        *_table("[profile]", answer.tables["profile"]),
        f"# {from_text(answer, 'people')}; {from_text(answer, 'inside')}",
    ]
    if answers.heater != "none":
        lines.append(f"# {from_text(answer, 'heater')}; {from_text(answer, 'warmth')}")
    lines += _table("[cabin]", answer.tables["cabin"])
    for one in answer.appliances:
        lines += _appliance(answer, one)
    return "\n".join(lines).rstrip() + "\n"


def _appliance(answer: InterviewAnswer, one: Traced) -> list[str]:
    keys = [one.key]
    if one.key == "heater":
        # These say when it is on.
        keys += ["inside", "pets"]
    elif one.key in {"cooking", "water"} or one.table.get("count", 1) > 1:
        # So is how much of it there is.
        keys.append("people")
    lines = [f"# {'; '.join(from_text(answer, key) for key in keys)}"]
    lines.append(f"# Source of its numbers: {one.source}")
    return lines + _table("[[appliances]]", one.table)


def answers_toml(asked: Interview) -> str:
    """Return the answers' own file, which `interview` reads back."""
    return "\n".join(_table("[answers]", record_data(asked.answers))).rstrip() + "\n"


def _table(header: str, table: dict[str, Any]) -> list[str]:
    """A table's lines and an empty one; lists stay on one line, text is escaped."""
    import tomli_w

    lines = [header]
    for key, value in table.items():
        if isinstance(value, str):
            lines.append(tomli_w.dumps({key: value}).rstrip("\n"))
        else:
            # Numbers, and lists of numbers and of plain words: JSON and TOML agree on them.
            lines.append(f"{key} = {json.dumps(plain_value(value))}")
    return [*lines, ""]
