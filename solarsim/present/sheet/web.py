"""The sheet as one HTML page: plain tables and drawings, no script, nothing fetched."""

from __future__ import annotations

import base64
import html
from collections.abc import Iterable
from typing import Any

from solarsim.present.sheet.drawings import chart_svg, roof_svg, trip_svg
from solarsim.present.sheet.map_drawing import map_svg
from solarsim.present.sheet.photo import Photo
from solarsim.present.wiring.make import drawn_panels
from solarsim.present.wiring.web import scrolled_panels

__all__ = ["web_page"]

_STYLE = """
:root{--ink:#1D2B2A;--quiet:#5B6866;--accent:#1F6E63;--pale:#EEF4F2;--rule:#D5DCDA}
*{box-sizing:border-box}
body{margin:0;color:var(--ink);background:#fff;line-height:1.45;overflow-wrap:break-word;
font-family:Inter,system-ui,-apple-system,"Segoe UI",Roboto,"DejaVu Sans",sans-serif}
header,main,footer{padding:1.25rem max(1rem,calc(50% - 34rem))}
header{background:var(--pale)}
h1{margin:0;font-size:2rem;line-height:1.15}
h2{margin:2rem 0 .5rem;font-size:1.25rem;color:var(--accent)}
p{margin:.4rem 0}
.quiet,footer{color:var(--quiet)}.quiet{font-size:.9rem}
footer{font-size:.8rem;border-top:1px solid var(--rule)}
.hero{display:flex;flex-wrap:wrap;gap:1rem 3rem;margin:1.25rem 0 0}
.hero b{font-size:2.9rem;line-height:1;color:var(--accent)}
.hero p{margin:0}.hero strong{display:block}
.photo{max-width:100%;max-height:20rem;border-radius:4px;margin-top:1rem}
.charts{display:grid;grid-template-columns:repeat(auto-fit,minmax(15rem,1fr));
gap:1rem;margin:1rem 0}
svg{display:block;width:100%;height:auto}
.charts svg{max-width:24rem}.roof svg{max-width:34rem}
.two{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,22rem),1fr));gap:0 3rem}
table{width:100%;border-collapse:collapse;font-variant-numeric:tabular-nums}
th{text-align:left}thead th{border-bottom:2px solid var(--ink);vertical-align:bottom}
th,td{padding:.25rem .4rem .25rem 0}
tbody td,tbody th{border-bottom:1px solid var(--rule)}
.n{text-align:right;padding-right:0;padding-left:.4rem}
tbody th{font-weight:400}tbody th.place{font-weight:600;padding-top:.8rem}
td small{display:block;color:var(--quiet)}td b{font-size:1.1rem}
.bar{background:var(--pale);height:.6rem;min-width:4rem}.bar i{display:block;height:100%;
background:var(--accent)}
ul{padding-left:1.1rem;margin:.4rem 0}li{margin:.35rem 0}
.three{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,18rem),1fr));gap:0 3rem}
.wide{overflow-x:auto}.annex table{min-width:44rem}
.stop{background:#B3261E;color:#fff;padding:.5rem .8rem}
thead th.n{white-space:normal}.n{white-space:nowrap}
@media(max-width:30rem){.runs{font-size:.8rem}.runs .n{white-space:normal}}
@media print{header{-webkit-print-color-adjust:exact;print-color-adjust:exact}}
"""


def web_page(
    page: dict[str, Any], *, photo: Photo | None = None, annex: dict[str, Any] | None = None
) -> bytes:
    """Return the page of `sheet_page`, and the annex if any, as HTML.

    Parameters
    ----------
    page : dict
        From `sheet_page`.
    photo : Photo, optional
        Of the van.
    annex : dict, optional
        From `annex_page`.
    """
    parts = [
        "<!doctype html>\n",
        f'<html lang="{_e(page["language"])}"><head><meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width,initial-scale=1">',
        f"<title>{_e(page['title'])}</title><style>{_STYLE}</style></head><body>\n",
        _header(page, photo),
        "<main>\n",
        _days(page),
        _trip(page["trip"]),
        _map(page["map"]),
        '<div class="two">\n',
        f"<section>{_runs(page['runs'])}</section>\n",
        f"<section>{_recharge(page['recharge'])}{_longer(page['longer'])}</section>\n",
        "</div>\n",
        _roof(page["roof"]),
        '<div class="three">\n',
        *(_notes(page[key]) for key in ("winter", "care", "cautions")),
        "</div>\n",
        "" if annex is None else _annex(annex, page),
        f"</main>\n<footer><p>{_e(page['small'])}</p></footer>\n</body></html>\n",
    ]
    return "".join(parts).encode()


def _e(text: str) -> str:
    return html.escape(text)


def _medical(page: dict[str, Any]) -> str:
    return f"<p><strong>{_e(page['medical'])}</strong></p>" if page["medical"] else ""


def _header(page: dict[str, Any], photo: Photo | None) -> str:
    heroes = "".join(
        f"<div><p><b>{_e(item['value'])}</b> {_e(item['unit'])}</p>"
        f"<strong>{_e(item['label'])}</strong>"
        f'<span class="quiet">{_e(item["note"])}</span></div>'
        for item in page["hero"]
    )
    picture = ""
    if photo is not None:
        data = base64.b64encode(photo.jpeg).decode()
        picture = (
            f'<img class="photo" src="data:image/jpeg;base64,{data}" '
            f'width="{photo.width_px}" height="{photo.height_px}" '
            f'style="height:auto" alt="{_e(page["photo_alt"])}">'
        )
    return (
        f'<header><h1 dir="auto">{_e(page["name"])}</h1><p>{_e(page["line"])}</p>'
        f'<p class="quiet" dir="auto">{_e(page["description"])}</p>'
        f'<div class="hero">{heroes}</div>{_medical(page)}{picture}</header>\n'
    )


def _days(page: dict[str, Any]) -> str:
    days = page["days"]
    charts = "".join(
        chart_svg(days | {"regions": [region]}, width=260.0, height=120.0, columns=1)
        for region in days["regions"]
    )
    place, use, *seasons = days["head"]
    head = f'<th scope="col">{_e(place)}, {_e(use)}</th>' + "".join(
        f'<th scope="col" class="n">{_e(season)}</th>' for season in seasons
    )
    body = []
    for region in days["regions"]:
        note = f' <span class="quiet">{_e(region["note"])}</span>' if region["note"] else ""
        body.append(
            f'<tr><th scope="rowgroup" class="place" colspan="{1 + len(seasons)}">'
            f"{_e(region['place'])}{note}</th></tr>"
        )
        for row in region["rows"]:
            cells = "".join(
                f'<td class="n"><b>{_e(cell["expected"])}</b>'
                f" <small>{_e(cell['at_least'])}</small></td>"
                for cell in row["cells"]
            )
            body.append(f'<tr><th scope="row">{_e(row["way"])}</th>{cells}</tr>')
    ways = "".join(
        f"<p><strong>{_e(way['name'])}.</strong> {_e(way['text'])}</p>" for way in page["ways"]
    )
    return (
        f"<section><h2>{_e(days['title'])}</h2><p>{_e(days['intro'])}</p>"
        f'<div class="charts" role="img" aria-label="{_e(days["alt"])}">{charts}</div>'
        f'<p class="quiet">{_e(days["legend"])}</p>'
        f"<table><thead><tr>{head}</tr></thead><tbody>{''.join(body)}</tbody></table>"
        f"{ways}</section>\n"
    )


def _runs(runs: dict[str, Any]) -> str:
    note = " ".join(part for part in (runs["note"], runs["also"]) if part)
    return (
        f"<h2>{_e(runs['title'])}</h2>"
        f"{_table(runs['head'], runs['rows'], words=1, kind='runs')}"
        f'<p class="quiet">{_e(note)}</p>'
    )


def _table(head: Iterable[str], rows: Iterable[list[str]], *, words: int, kind: str = "") -> str:
    """Return a table whose first `words` columns are words, the others numbers."""

    def mark(index: int) -> str:
        return "" if index < words else ' class="n"'

    top = "".join(f'<th scope="col"{mark(i)}>{_e(cell)}</th>' for i, cell in enumerate(head))
    body = "".join(
        f'<tr><th scope="row">{_e(row[0])}</th>'
        + "".join(f"<td{mark(i)}>{_e(cell)}</td>" for i, cell in enumerate(row) if i)
        + "</tr>"
        for row in rows
    )
    table = f"<table><thead><tr>{top}</tr></thead><tbody>{body}</tbody></table>"
    return f'<div class="wide {kind}" tabindex="0">{table}</div>'


def _recharge(recharge: dict[str, Any]) -> str:
    rows = "".join(
        f'<tr><th scope="row">{_e(row["label"])}</th>'
        f'<td aria-hidden="true"><div class="bar"><i style="width:{100 * row["share"]:.1f}%"></i>'
        f'</div></td><td class="n"><b>{_e(row["value"])}</b></td></tr>'
        for row in recharge["rows"]
    )
    return (
        f"<h2>{_e(recharge['title'])}</h2><table><tbody>{rows}</tbody></table>"
        f'<p class="quiet">{_e(recharge["note"])}</p>'
    )


def _longer(longer: dict[str, Any]) -> str:
    parts = [f"<h2>{_e(longer['title'])}</h2><p>{_e(longer['intro'])}</p>"]
    for title, items in (("", longer["gains"]), (longer["costs_title"], longer["costs"])):
        if items:
            rows = "".join(
                f'<tr><th scope="row">{_e(item["text"])}</th>'
                f'<td class="n"><b>{_e(item["days"])}</b></td></tr>'
                for item in items
            )
            lead = f"<p>{_e(title)}</p>" if title else ""
            parts.append(f"{lead}<table><tbody>{rows}</tbody></table>")
    return "".join(parts)


def _roof(roof: dict[str, Any] | None) -> str:
    if roof is None:
        return ""
    drawing = roof_svg(roof, width=460.0, most_height=320.0, scale=1.5)
    return (
        f'<section class="roof"><h2>{_e(roof["title"])}</h2>'
        f'<div role="img" aria-label="{_e(roof["alt"])}">{drawing}</div>'
        f"<p>{_e(roof['caption'])}</p></section>\n"
    )


def _trip(trip: dict[str, Any] | None) -> str:
    if trip is None:
        return ""
    drawing = trip_svg(trip, width=540.0, height=110.0)
    return (
        f"<section><h2>{_e(trip['title'])}</h2><p>{_e(trip['text'])}</p>"
        f'<div role="img" aria-label="{_e(trip["alt"])}">{drawing}</div>'
        f'<p class="quiet">{_e(trip["legend"])}</p></section>\n'
    )


def _map(page_map: dict[str, Any] | None) -> str:
    if page_map is None:
        return ""
    drawing = map_svg(page_map, width=620.0, most_height=700.0)
    return (
        f"<section><h2>{_e(page_map['title'])}</h2><p>{_e(page_map['text'])}</p>"
        f'<div role="img" aria-label="{_e(page_map["alt"])}">{drawing}</div>'
        f'<p class="quiet">{_e(page_map["legend"])}</p></section>\n'
    )


def _notes(notes: dict[str, Any]) -> str:
    items = "".join(f"<li>{_e(item)}</li>" for item in notes["items"])
    return f"<section><h2>{_e(notes['title'])}</h2><ul>{items}</ul></section>\n"


def _annex(annex: dict[str, Any], page: dict[str, Any]) -> str:
    tables = "".join(
        f"<h3>{_e(table['title'])}</h3>{_table(table['head'], table['rows'], words=table['words'])}"
        for table in annex["tables"]
    )
    plan = annex["plan"]
    stops = "".join(f"<p class='stop'><strong>{_e(line)}</strong></p>" for line in plan["stops"])
    drawn = (
        f"<h3>{_e(plan['title'])}</h3>{stops}<p>{_e(plan['legend'])}</p>"
        f"{scrolled_panels(plan, drawn_panels(plan['panels']))}"
    )
    cautions = "".join(f"<p><strong>{_e(one)}</strong></p>" for one in annex["cautions"])
    tongue = "" if page["language"] == "en" else ' lang="en"'
    return (
        f'<section class="annex"{tongue}><h2>{_e(annex["title"])}</h2><p>{_e(annex["intro"])}</p>'
        f"{tables}{drawn}<p>{_e(annex['assumed'])}</p>{cautions}</section>\n"
    )
