"""The answer of `interview` in Python."""

from __future__ import annotations

from pathlib import Path

import pandas as pd

from solarsim.answers.interview.interview import InterviewAnswer
from solarsim.cards import Card
from solarsim.inputs.files.write import check_ending, check_writable, write_file
from solarsim.present.faces.rows import notes_row
from solarsim.present.interview.document import interview_document, profile_toml
from solarsim.present.interview.make import PAGE_SUFFIXES, page_bytes

__all__ = ["card", "document", "frame", "save"]

document = interview_document


def card(answer: InterviewAnswer) -> Card:
    """Return who is aboard, what follows from how many answers, and the cautions."""
    hardest = ", ".join(str(month) for month in answer.months[:3])
    rows = [("caution", caution) for caution in answer.cautions]
    rows += [
        ("life", answer.profile.profile.description),
        ("runs", ", ".join(one.name for one in answer.appliances)),
        ("months", f"{len(answer.months)}, the hardest first: {hardest}"),
    ]
    if answer.settings:
        rows.append(("van", ", ".join(answer.settings)))
    if answer.not_answered:
        rows.append(("usual", ", ".join(answer.not_answered)))
    rows.append(("make it", ".profile, .save('profile.toml'), .html or .pdf"))
    return Card(
        f"A profile from an interview: {answer.profile.profile.name}",
        [*rows, *notes_row(answer.notes)],
    )


def frame(answer: InterviewAnswer) -> pd.DataFrame:
    """Return one row an appliance, with the answer that it follows from."""
    return pd.DataFrame(
        {
            "appliance": one.name,
            "answer": one.key,
            "count": record.count,
            "power_w": record.power_w,
            "current": record.current,
            "response": record.response,
            "use_hours": record.use_h,
            "source": one.source,
        }
        for one, record in zip(answer.appliances, answer.profile.appliances, strict=True)
    )


def save(answer: InterviewAnswer, path: Path) -> None:
    """Write the profile or the page; otherwise as `InterviewAnswer.save`."""
    check_ending(path, (".toml", *PAGE_SUFFIXES), field="path")
    check_writable(path)
    suffix = path.suffix.lower()
    content = profile_toml(answer).encode() if suffix == ".toml" else page_bytes(answer, suffix)
    write_file(path, content)
