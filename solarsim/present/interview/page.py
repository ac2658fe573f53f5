"""The interview as a page to print: questions with their answers, or blank to fill in by hand."""

from __future__ import annotations

import html
from typing import Any

from solarsim.answers.interview.interview import PET_CAUTION, InterviewAnswer
from solarsim.answers.interview.questions import QUESTIONS, allowed_choices, answer_text
from solarsim.answers.interview.rows import Traced
from solarsim.answers.medical import MEDICAL_RULE
from solarsim.inputs.appliance import Appliance
from solarsim.inputs.interview import ClientAnswers
from solarsim.present.interview.document import ask_next
from solarsim.present.sheet.glyphs import Cleaner
from solarsim.present.wiring.web import STYLE
from solarsim.present.words import CAUTIONS

__all__ = ["interview_page", "use_text", "web_interview"]

_NAME = "What the profile is called, such as a number of the order; it needs no person's name"
_BLANK_CAUTIONS = (MEDICAL_RULE, PET_CAUTION)


def interview_page(answer: InterviewAnswer | None, *, limited: bool = True) -> dict[str, Any]:
    """Return every string of the page; without an answer, of a blank form.

    Parameters
    ----------
    answer : InterviewAnswer or None
        What was answered.
    limited : bool
        Whether only the sheet's fonts are at hand.
    """
    clean = Cleaner(limited=limited)
    name = "" if answer is None else clean(answer.interview.answers.name, "ways")
    cautions = _BLANK_CAUTIONS if answer is None else answer.cautions
    return {
        "title": f"Interview: {name}" if name else "Interview",
        "heading": f"How the van is lived in: {name}" if name else "How the van is lived in",
        # Where it is answered, the heading has it.
        "name": f"{_NAME}: " if answer is None else "",
        "lines": ["Twelve questions, from which the daily use of electricity follows."],
        "questions": [
            {
                "text": f"{number}. {asked.text}",
                "answers": [_key(answer, key, hint, clean) for key, hint in asked.keys.items()],
            }
            for number, asked in enumerate(QUESTIONS, start=1)
        ],
        "table": None if answer is None else _appliances(answer, clean),
        "notes": [] if answer is None else [clean(note, "list") for note in answer.notes],
        "next": "" if answer is None else f"Ask next: {ask_next(answer)}",
        "cautions": [*cautions, CAUTIONS],
    }


def _key(answer: InterviewAnswer | None, key: str, hint: str, clean: Cleaner) -> dict[str, Any]:
    given = None if answer is None else getattr(answer.interview.answers, key)
    usual = answer is not None and key in answer.not_answered
    choices = allowed_choices(key)
    several = isinstance(ClientAnswers.model_fields[key].default, tuple)
    taken = given if isinstance(given, tuple) else (given,)
    unheated = answer is not None and answer.interview.answers.heater == "none" and key == "warmth"
    written = "" if answer is None or choices else clean(answer_text(key, given), "places")
    return {
        "label": hint,
        "boxes": [
            {"text": answer_text(key, one), "chosen": one in taken and not unheated}
            for one in choices
        ]
        + ([{"text": "none", "chosen": given == ()}] if several and choices else []),
        "written": written,
        "blank": answer is None and not choices,
        "usual": "not answered; the usual stands" if usual else "",
    }


def _appliances(answer: InterviewAnswer, clean: Cleaner) -> dict[str, Any]:
    rows = []
    for one, record in zip(answer.appliances, answer.profile.appliances, strict=True):
        watts = f"{record.power_w:g} W" + (" AC" if record.current == "ac" else "")
        pieces = f"{record.count} × {watts}" if record.count > 1 else watts
        rows.append([clean(one.name, "appliances"), pieces, use_text(record), _why(answer, one)])
    return {
        "title": "What runs",
        "head": ["appliance", "draws", "a day", "follows from"],
        "rows": rows,
    }


def use_text(record: Appliance) -> str:
    """Return how long each piece of an appliance runs a day, in words."""
    if record.response != "none":
        return {"fridge": "as its thermostat asks", "heater": "as its thermostat asks"}.get(
            record.response, "when it is warm inside"
        )
    days = len(record.weekdays)
    often = "" if days == 7 else f" on {days} days of the week"
    hours = record.use_h
    if hours < 1.0:
        return f"{round(60.0 * hours, 1):g} min{often}"
    return f"{round(hours, 1):g} h{often}"


def _why(answer: InterviewAnswer, one: Traced) -> str:
    number = next(n for n, asked in enumerate(QUESTIONS, start=1) if one.key in asked.keys)
    said = answer_text(one.key, getattr(answer.interview.answers, one.key))
    return f"{number}, {one.key.replace('_', ' ')}: {said}"


def web_interview(page: dict[str, Any]) -> bytes:
    """Return the page of `interview_page` as HTML."""
    table = page["table"]
    parts = [
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width,initial-scale=1">',
        f"<title>{_e(page['title'])}</title><style>{STYLE}{_STYLE}</style></head><body><main>",
        f"<h1>{_e(page['heading'])}</h1>",
        *(f"<p>{_e(line)}</p>" for line in page["lines"]),
        *(f'<p class="caution">{_e(line)}</p>' for line in page["cautions"][:-1]),
        *([f"<p>{_e(page['name'])}{_LINE}</p>"] if page["name"] else []),
        *(_question(question) for question in page["questions"]),
    ]
    if table is not None:
        head = "".join(f'<th scope="col">{_e(cell)}</th>' for cell in table["head"])
        body = "".join(
            "<tr>" + "".join(f"<td>{_e(cell)}</td>" for cell in row) + "</tr>"
            for row in table["rows"]
        )
        parts += [
            f'<h2>{_e(table["title"])}</h2><div class="wide" tabindex="0"><table>'
            f"<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table></div>",
            f"<ul>{''.join(f'<li>{_e(note)}</li>' for note in page['notes'])}</ul>",
            f"<p>{_e(page['next'])}</p>",
        ]
    parts += [f'<p class="caution">{_e(page["cautions"][-1])}</p>', "</main></body></html>\n"]
    return "\n".join(parts).encode()


_STYLE = (
    ".q{break-inside:avoid;margin:.9rem 0}.q h2{font-size:1rem;margin:0 0 .2rem}"
    ".q p{margin:.15rem 0}.q .box{display:inline-block;width:.9em;height:.9em;margin-right:.35em;"
    "border:1.5px solid #1D2B2A;vertical-align:-.1em;line-height:.7em;text-align:center;"
    "font-weight:700}.q .o{display:inline-block;margin:.1rem 1.2rem .1rem 0}"
    ".line{display:inline-block;min-width:12rem;border-bottom:1px solid #5B6866}"
)


_LINE = '<span class="line">&nbsp;</span>'


def _question(question: dict[str, Any]) -> str:
    rows = []
    for one in question["answers"]:
        label = f"{_e(one['label'])}: " if one["label"] else ""
        boxes = "".join(
            f'<span class="o"><span class="box" aria-hidden="true">{"×" if box["chosen"] else ""}'
            f"</span>{_e(box['text'])}{_CHOSEN if box['chosen'] else ''}</span>"
            for box in one["boxes"]
        )
        blank = _LINE if one["blank"] else ""
        usual = f' <span class="quiet">({_e(one["usual"])})</span>' if one["usual"] else ""
        rows.append(f"<p>{label}{boxes}<b>{_e(one['written'])}</b>{blank}{usual}</p>")
    return f'<section class="q"><h2>{_e(question["text"])}</h2>{"".join(rows)}</section>'


# For those who hear the page.
_CHOSEN = (
    '<span style="position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)">'
    " (chosen)</span>"
)


def _e(text: str) -> str:
    return html.escape(text)
