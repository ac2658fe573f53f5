"""The offer as a page: every string of it, and the same as HTML."""

from __future__ import annotations

import dataclasses
import functools
import html
import itertools
import re
from collections.abc import Callable, Sequence
from typing import Any

from solarsim.answers.offer.offer import OfferAnswer
from solarsim.present.buy.document import BUY_CAUTIONS
from solarsim.present.offer import words
from solarsim.present.offer.rows import NOT_TO_BE_BUILT, Row, heads, offer_rows, shown
from solarsim.present.sheet.forms import Texts, given, given_value, number
from solarsim.present.sheet.glyphs import BREAK, Cleaner
from solarsim.present.sheet.texts import load_texts
from solarsim.present.wiring.web import STYLE, stops_box

__all__ = ["offer_page", "web_offer"]

# Two pages hold so many lines of each list; JSON, CSV and the workbook hold all.
_MOST = 24
# Hundreds of messages of rules and measures, and not translated.
_ENGLISH = "What the check found"
_IN_ENGLISH = "The electrical findings are in English."
# Whose a line is, where not all designs have it.
_WHOSE = re.compile(r"(?:[A-D], )*[A-D]: ")


def offer_page(
    answer: OfferAnswer, *, limited: bool = True, language: str = "en"
) -> dict[str, Any]:
    """Return every string; `limited` as in `wiring_page`.

    In another language than English what the electrical check found stays English, and the page
    says so.
    """
    clean, texts = Cleaner(limited=limited), load_texts(language)
    say = functools.partial(_say, texts)

    def cleaned(lines: Sequence[str]) -> list[str]:
        return [_cleaned(line, texts, clean) for line in lines]

    answer = _with_parts(answer, say)
    found = words.findings(answer)
    intro = words.intro(answer)
    stops = words.stops(answer)
    if language != "en" and (found or any(say(line) == line for line in stops)):
        intro.append(_IN_ENGLISH)
    designs = range(len(answer.designs))
    groups = []
    for part, rows in itertools.groupby(offer_rows(answer), key=lambda row: row.part):
        lines = [
            cleaned([row.what, *(_cell(answer, row, at, texts) for at in designs)]) for row in rows
        ]
        groups.append({"title": say(clean(part, "list")), "rows": lines})
    lists = (
        ("What each step buys, in days of this stay", words.step_texts(answer)),
        (_ENGLISH, found),
        ("Not included", words.not_included(answer)),
        ("Not looked at", words.not_looked_at(answer)),
        ("Taken as given", words.assumed(answer)),
    )
    return {
        "language": texts["language"],
        "title": say("Offer"),
        "heading": say("Offer"),
        "lines": cleaned(intro),
        "stops_title": say("STOP: not to be built as it is"),
        "stops": cleaned(stops),
        "not_full": say(clean(words.not_full(answer), "list")),
        "head": [_head(clean(head, "van"), texts) for head in heads(answer)],
        "groups": groups,
        "lists": [
            {
                "title": say(title),
                "items": cleaned(_cut(lines)),
                "english": language == "en" or title == _ENGLISH,
            }
            for title, lines in lists
            if lines
        ],
        "cautions": [say(line) for line in BUY_CAUTIONS],
    }


def _say(texts: Texts, line: str) -> str:
    if texts["language"] == "en":
        return line
    whose = _WHOSE.match(line)
    lead = "" if whose is None else whose[0]
    return lead + given_value(texts, "offer", line[len(lead) :])


def _cleaned(line: str, texts: Texts, clean: Cleaner) -> str:
    line = clean(line, "list")
    # A field's name may be long enough to be broken.
    whole = line.replace(BREAK, "")
    said = _say(texts, whole)
    return (line if said == whole else said).replace("mm2", "mm²")


def _head(head: str, texts: Texts) -> str:
    """Return a design's head: a van's name is nobody's to translate."""
    name, mark, _ = head.partition(f" ({NOT_TO_BE_BUILT})")
    return f"{name} ({given(texts, 'offer', NOT_TO_BE_BUILT)})" if mark else name


def _with_parts(answer: OfferAnswer, say: Callable[[str], str]) -> OfferAnswer:
    """Return the answer with the parts of its steps in the language."""
    steps = (
        dataclasses.replace(step, changes=tuple(map(say, step.changes))) for step in answer.steps
    )
    return dataclasses.replace(answer, steps=tuple(steps))


def _cell(answer: OfferAnswer, row: Row, at: int, texts: Texts) -> str:
    """Return a cell in words; parts and appliances by their own numbers and names elsewhere."""
    van, profile = answer.designs[at].van, answer.designs[at].question.profile
    if texts["language"] == "en" or row.unit:
        return shown(row, at)
    if row.what == "panels" and van.panels.count:
        return f"{van.panels.count} × {number(texts, van.panels.power_w, None)} W"
    if row.what == "bank":
        ah, volts = van.battery.unit_capacity_ah, van.battery.unit_voltage_v
        kind = texts["chemistry"][van.battery.chemistry]
        said = f"{number(texts, ah, None)} Ah, {number(texts, volts, None)} V"
        return f"{van.battery.units} × {said}, {kind}"
    running = [one for one in profile.appliances if one.enabled]
    if row.what == "what runs" and running:
        names = [(one.count, given(texts, "appliances", one.name)) for one in running]
        return "; ".join(name if count == 1 else f"{count} × {name}" for count, name in names)
    return shown(row, at)


def _cut(lines: Sequence[str]) -> list[str]:
    if len(lines) <= _MOST:
        return list(lines)
    left = len(lines) - _MOST + 1
    return [*lines[: _MOST - 1], f"and {left} more, which the workbook and the CSV hold"]


def web_offer(page: dict[str, Any]) -> bytes:
    """Return the page of `offer_page` as HTML."""
    wide = len(page["head"]) + 1
    head = "".join(f'<th scope="col">{_e(cell)}</th>' for cell in page["head"])
    body = "".join(
        f'<tr><th colspan="{wide}" scope="rowgroup">{_e(group["title"])}</th></tr>'
        + "".join(
            f'<tr><th scope="row">{_e(row[0])}</th>'
            + "".join(f"<td>{_e(cell)}</td>" for cell in row[1:])
            + "</tr>"
            for row in group["rows"]
        )
        for group in page["groups"]
    )
    full = page["not_full"]
    parts = [
        f'<!doctype html>\n<html lang="{_e(page["language"])}"><head><meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width,initial-scale=1">',
        f"<title>{_e(page['title'])}</title><style>{STYLE}"
        "table{table-layout:fixed}[scope=rowgroup]{padding-top:1rem}"
        "[scope=row]{border-bottom:1px solid #B9C2BF;vertical-align:top;font-weight:400}"
        "</style></head><body><main>",
        f"<h1>{_e(page['heading'])}</h1>",
        *(f"<p>{_e(line)}</p>" for line in page["lines"]),
        stops_box(page),
        f'<p class="caution">{_e(full)}</p>' if full else "",
        *(f'<p class="caution">{_e(line)}</p>' for line in page["cautions"]),
        '<div class="wide" tabindex="0"><table><thead><tr><td></td>',
        f"{head}</tr></thead><tbody>{body}</tbody></table></div>",
        *(
            f"<h2>{_e(part['title'])}</h2>"
            + ('<ul lang="en">' if part["english"] and page["language"] != "en" else "<ul>")
            + f"{''.join(f'<li>{_e(line)}</li>' for line in part['items'])}</ul>"
            for part in page["lists"]
        ),
        "\n</main></body></html>\n",
    ]
    return "".join(parts).encode()


def _e(text: str) -> str:
    return html.escape(text)
