"""The plan as one HTML page: the picture's panels, the table of runs, the test sheet."""

from __future__ import annotations

import html
from collections.abc import Sequence
from typing import Any

__all__ = ["STYLE", "scrolled_panels", "stops_box", "web_plan"]

STYLE = """
*{box-sizing:border-box}
body{margin:0 auto;padding:1rem max(1rem,calc(50% - 30rem));color:#1D2B2A;background:#fff;
line-height:1.45;overflow-wrap:break-word;
font-family:Inter,system-ui,-apple-system,"Segoe UI",Roboto,"DejaVu Sans",sans-serif}
h1{margin:0 0 .3rem;font-size:1.8rem;line-height:1.2}h2{margin:1.8rem 0 .6rem}
.stop{background:#B3261E;color:#fff;padding:.8rem 1rem;margin:1rem 0}
.stop h2{margin:0 0 .3rem}.stop ul{margin:0;padding-left:1.2rem}
.wide{overflow-x:auto}.wide svg{display:block;width:100%;height:auto}
.caution{font-weight:600}.quiet{color:#5B6866;font-size:.9rem}
table{width:100%;min-width:46rem;border-collapse:collapse;font-size:.9rem}
th{text-align:left;vertical-align:bottom;border-bottom:2px solid #1D2B2A}
td{border-bottom:1px solid #B9C2BF;vertical-align:top}th,td{padding:.3rem .6rem .3rem 0}
td.box{min-width:5rem;border:1px solid #5B6866}td.what,td.expected{width:38%}
h2,h3{break-after:avoid}
.signed p{border-bottom:1px solid #5B6866;padding-bottom:2.2rem}
@media print{body{padding:0;font-size:10pt}.wide{overflow:visible}table{min-width:0}
.panel,tr{break-inside:avoid}.wide svg{min-width:0!important}
.stop{-webkit-print-color-adjust:exact;print-color-adjust:exact}}
"""


def web_plan(page: dict[str, Any], panels: Sequence[str]) -> bytes:
    """Return the page of `wiring_page` with its panels drawn as SVG."""
    test = page["test"]
    parts = [
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width,initial-scale=1">',
        f"<title>{_e(page['title'])}</title><style>{STYLE}</style></head><body><main>\n",
        f"<h1>{_e(page['heading'])}</h1>",
        "".join(f"<p>{_e(line)}</p>" for line in page["lines"]),
        stops_box(page),
        *(f'<p class="caution">{_e(line)}</p>' for line in page["cautions"]),
        f"<p>{_e(page['empty'])}</p>" if page["empty"] else "",
        scrolled_panels(page, panels),
        f'<p class="quiet">{_e(page["legend"])}</p>',
        f"<h2>{_e(page['runs']['title'])}</h2>",
        _table(page["runs"]["head"], page["runs"]["rows"]),
        f'<p class="quiet">{_e(page["runs"]["note"])}</p>',
        *(_list(page[key]) for key in ("assumed", "left")),
        f'<h2>{_e(test["title"])}</h2><p class="caution">{_e(test["intro"])}</p>',
        *(_stage(stage, test["head"]) for stage in test["stages"]),
        f'<div class="signed">{"".join(f"<p>{_e(line)}</p>" for line in test["signed"])}</div>',
        *(f'<p class="caution">{_e(line)}</p>' for line in page["cautions"]),
        "\n</main></body></html>\n",
    ]
    return "".join(parts).encode()


def scrolled_panels(page: dict[str, Any], panels: Sequence[str]) -> str:
    """Return the panels as HTML, each as wide as its letters need: a narrow screen scrolls."""
    return "".join(
        f'<section class="panel"><h2>{_e(panel["title"])}</h2>'
        f'<div class="wide" tabindex="0" role="img" aria-label="{_e(page["alt"])}">'
        f'<div style="min-width:{0.85 * panel["w"]:.0f}px;max-width:{panel["w"]:.0f}px">{svg}</div>'
        "</div></section>\n"
        for panel, svg in zip(page["panels"], panels, strict=True)
    )


def _e(text: str) -> str:
    return html.escape(text)


def stops_box(page: dict[str, Any]) -> str:
    """Return what is stopped as a red box; nothing where nothing is."""
    if not page["stops"]:
        return ""
    items = "".join(f"<li>{_e(line)}</li>" for line in page["stops"])
    return f'<section class="stop"><h2>{_e(page["stops_title"])}</h2><ul>{items}</ul></section>'


def _table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    top = "".join(f'<th scope="col">{_e(cell)}</th>' for cell in head)
    body = "".join(
        "<tr>" + "".join(f"<td>{_e(cell)}</td>" for cell in row) + "</tr>" for row in rows
    )
    return _wide(f"<table><thead><tr>{top}</tr></thead><tbody>{body}</tbody></table>")


def _stage(stage: dict[str, Any], head: Sequence[str]) -> str:
    top = "".join(f'<th scope="col">{_e(cell)}</th>' for cell in head)
    body = "".join(
        f'<tr><td>{_e(number)}</td><td class="what">{_e(what)}</td>'
        f'<td class="expected"><b>{_e(expected)}</b><br>'
        f'<span class="quiet">{_e(source)}</span></td><td class="box"></td><td class="box"></td>'
        "</tr>"
        for number, what, expected, source in stage["rows"]
    )
    return f"<h3>{_e(stage['title'])}</h3>" + _wide(
        f"<table><thead><tr>{top}</tr></thead><tbody>{body}</tbody></table>"
    )


def _wide(table: str) -> str:
    return f'<div class="wide" tabindex="0">{table}</div>'


def _list(part: dict[str, Any]) -> str:
    if not part["items"]:
        return ""
    items = "".join(f"<li>{_e(line)}</li>" for line in part["items"])
    return f"<h2>{_e(part['title'])}</h2><ul>{items}</ul>"
