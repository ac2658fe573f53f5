"""The list of what to buy as a page: every string of it, and the same as HTML."""

from __future__ import annotations

import html
from typing import Any

from solarsim.answers.buy.buy import BuyAnswer
from solarsim.answers.buy.item import GROUPS, Item
from solarsim.present.buy.document import BUY_CAUTIONS, amount_text, totals
from solarsim.present.sheet.glyphs import Cleaner
from solarsim.present.wiring.web import STYLE, stops_box

__all__ = ["buy_page", "web_list"]


def buy_page(answer: BuyAnswer, *, limited: bool = True) -> dict[str, Any]:
    """Return every string; `limited` as in `wiring_page`."""
    clean = Cleaner(limited=limited)
    name = clean(answer.check.van.van.name, "van")
    priced = answer.unpriced < len(answer.items)
    head = ["how many", "part", "what it must bear", "runs", "kg"]
    if priced:
        head.append(answer.currency or "price")
    groups = [
        {
            "title": title,
            "rows": [
                _row(item, clean, priced=priced) for item in answer.items if item.group == group
            ],
        }
        for group, title in GROUPS.items()
    ]
    return {
        "title": f"What to buy for {name}",
        "heading": f"What to buy: {name}",
        "lines": [clean(answer.check.rules_why, "list")],
        "stops_title": "STOP: do not build or connect it so",
        "stops": [clean(line, "list") for line in answer.stops],
        "totals": [[label, clean(value, "list")] for label, value in totals(answer)],
        "head": head,
        "groups": [group for group in groups if group["rows"]],
        "notes": [clean(note, "list") for note in answer.notes],
        "cautions": list(BUY_CAUTIONS),
    }


def web_list(page: dict[str, Any]) -> bytes:
    """Return the page of `buy_page` as HTML."""
    sums = "".join(
        f'<tr><th scope="row">{_e(label)}</th><td><b>{_e(value)}</b></td></tr>'
        for label, value in page["totals"]
    )
    head = "".join(f'<th scope="col">{_e(cell)}</th>' for cell in page["head"])
    body = "".join(
        f'<tr><th colspan="{len(page["head"])}" scope="rowgroup">{_e(group["title"])}</th></tr>'
        + "".join(
            "<tr>" + "".join(f"<td>{_e(cell)}</td>" for cell in row) + "</tr>"
            for row in group["rows"]
        )
        for group in page["groups"]
    )
    parts = [
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width,initial-scale=1">',
        f"<title>{_e(page['title'])}</title><style>{STYLE}"
        "table.sums{min-width:0;width:auto}[scope=rowgroup]{padding-top:1rem}</style></head><body><main>",
        f"<h1>{_e(page['heading'])}</h1>",
        *(f"<p>{_e(line)}</p>" for line in page["lines"]),
        stops_box(page),
        *(f'<p class="caution">{_e(line)}</p>' for line in page["cautions"]),
        f'<table class="sums"><tbody>{sums}</tbody></table>',
        f'<div class="wide" tabindex="0"><table><thead><tr>{head}</tr></thead>'
        f"<tbody>{body}</tbody></table></div>",
        f"<ul>{''.join(f'<li>{_e(note)}</li>' for note in page['notes'])}</ul>",
        "\n</main></body></html>\n",
    ]
    return "".join(parts).encode()


def _row(item: Item, clean: Cleaner, *, priced: bool) -> list[str]:
    star = "" if item.weight_given else " ~"
    row = [
        amount_text(item),
        clean(item.part, "list").replace("mm2", "mm²"),
        clean(item.about, "list"),
        ", ".join(map(str, item.runs)),
        f"{item.all_kg:.1f}{star}" if item.all_kg >= 0.05 else f"<0.1{star}",
    ]
    if priced:
        row.append("–" if item.all_cost is None else f"{item.all_cost:,.2f}")
    return row


def _e(text: str) -> str:
    return html.escape(text)
