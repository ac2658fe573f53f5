"""Set the page with typst: PDF, PNG of the page, and cards."""

from __future__ import annotations

import base64
import datetime as dt
import functools
import importlib.resources
import json
from typing import Any, Literal

from solarsim.present.sheet.drawings import chart_svg, roof_svg, trip_svg
from solarsim.present.sheet.glyphs import FONT_FAMILIES, font_folders
from solarsim.present.sheet.map_drawing import map_svg, map_width
from solarsim.present.sheet.photo import Photo

__all__ = ["Form", "Paper", "set_pages", "typeset"]

Paper = Literal["a4", "letter"]
Form = Literal["page", "square", "portrait"]
_PAPERS = {"a4": "a4", "letter": "us-letter"}
_CHART_WIDTH, _CHART_HEIGHT = 540.0, 92.0
# Of their height what drawings take where all else would not fit on the page.
_LOW = 0.62
# The paper's width within the margins, and what its words leave of the height, in points.
_MAP_ROOM = {
    "a4": {"width": 521.0, "most_height": 640.0},
    "letter": {"width": 538.0, "most_height": 590.0},
}
# The page at 150 dots an inch; the cards come out 1080 dots wide.
_PPI = {"page": 150.0, "square": 144.0, "portrait": 144.0}


def typeset(
    page: dict[str, Any],
    *,
    kind: Literal["pdf", "png"],
    date: dt.date,
    paper: Paper = "a4",
    form: Form = "page",
    photo: Photo | None = None,
    annex: dict[str, Any] | None = None,
) -> tuple[bytes, list[str]]:
    """Return a file's content, and what typst warned of.

    Parameters
    ----------
    page : dict
        From `sheet_page`.
    kind : str
        PDF (tagged, PDF/UA-1), or PNG of the first page.
    date : datetime.date
        Stamp of the file.
    paper : str
        Size of the page; cards have their own.
    form : str
        The page, or a card for a listing.
    photo : Photo, optional
        Of the van.
    annex : dict, optional
        From `annex_page`; further pages of a PDF.
    """
    import typst

    typst_page = page | {
        "paper": _PAPERS[paper],
        "form": form,
        "fonts": FONT_FAMILIES,
        "chart": _chart(page["days"], _CHART_HEIGHT),
        "chart_low": _chart(page["days"], _LOW * _CHART_HEIGHT),
        "roof": page["roof"] and page["roof"] | {"drawing": _roof(page["roof"], form)},
        "trip": page["trip"] and _trip(page["trip"]),
        "map": page["map"] and _map(page["map"], paper),
        "photo": None if photo is None else _photo_svg(photo),
        "annex": annex if kind == "pdf" else None,
    }
    stamp = dt.datetime.combine(date, dt.time(12), tzinfo=dt.UTC)
    # One compiler a call: it keeps its inputs, and calls come from many threads.
    compiler = typst.Compiler(_template(), font_paths=_fonts())
    compiled, warnings = compiler.compile_with_warnings(
        format=kind,
        ppi=_PPI[form],
        sys_inputs={"page": json.dumps(typst_page)},
        pdf_standards=["ua-1"] if kind == "pdf" else [],
        timestamp=stamp,
    )
    content = compiled[0] if isinstance(compiled, list) else compiled
    assert content is not None
    return content, [warning.message for warning in warnings]


def set_pages(
    package: str,
    template: str,
    page: dict[str, Any],
    kind: Literal["pdf", "png", "svg"],
    paper: Paper = "a4",
) -> list[bytes]:
    """Set a builder's page: the one file of a PDF (tagged, PDF/UA-1), or a picture of each page.

    Parameters
    ----------
    package, template : str
        Where the template lies, and its file's name.
    page : dict
        Its words and places, as JSON has them.
    kind : str
        PDF, or pictures at 150 dots an inch, or drawn as SVG.
    paper : str
        For templates that ask for it.
    """
    import typst

    source = _marks() + (importlib.resources.files(package) / template).read_bytes()
    inputs = page | {"paper": _PAPERS[paper], "fonts": FONT_FAMILIES}
    # One compiler a call: it keeps its inputs, and calls come from many threads.
    compiler = typst.Compiler(source, font_paths=_fonts())
    compiled, warnings = compiler.compile_with_warnings(
        format=kind,
        ppi=_PPI["page"],
        sys_inputs={"page": json.dumps(inputs)},
        pdf_standards=["ua-1"] if kind == "pdf" else [],
    )
    assert not warnings, [warning.message for warning in warnings]
    return [compiled] if isinstance(compiled, bytes) else [one for one in compiled or () if one]


def _chart(days: dict[str, Any], height: float) -> str:
    """One place's chart stands beside the table, several stand above it."""
    if len(days["regions"]) == 1:
        return chart_svg(days, width=0.42 * _CHART_WIDTH, height=height, columns=1)
    return chart_svg(days, width=_CHART_WIDTH, height=height)


def _roof(roof: dict[str, Any], form: Form) -> str:
    if form == "page":
        return roof_svg(roof, width=230.0, most_height=92.0)
    return roof_svg(roof, width=460.0, most_height=190.0, scale=1.9)


def _trip(trip: dict[str, Any]) -> dict[str, Any]:
    high = 0.7 * _CHART_HEIGHT
    return trip | {
        "drawing": trip_svg(trip, width=_CHART_WIDTH, height=high),
        "drawing_low": trip_svg(trip, width=_CHART_WIDTH, height=_LOW * high),
    }


def _map(page_map: dict[str, Any], paper: Paper) -> dict[str, Any]:
    """Words and drawing alone: the squares and lines are in it."""
    words = {key: page_map[key] for key in ("title", "text", "legend", "alt")}
    room = _MAP_ROOM[paper]
    share = map_width(page_map, **room) / room["width"]
    return words | {"drawing": map_svg(page_map, **room), "share": share}


def _photo_svg(photo: Photo) -> str:
    """Wrap the photo, as the template takes its pictures as text."""
    data = base64.b64encode(photo.jpeg).decode()
    size = f'width="{photo.width_px}" height="{photo.height_px}"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size}>'
        f'<image href="data:image/jpeg;base64,{data}" {size}/></svg>'
    )


@functools.cache
def _template() -> bytes:
    sheet = importlib.resources.files("solarsim.present.sheet") / "sheet.typ"
    return _marks() + sheet.read_bytes()


@functools.cache
def _marks() -> bytes:
    """What draws a panel of the wiring plan."""
    return (importlib.resources.files("solarsim.present.wiring") / "marks.typ").read_bytes()


@functools.cache
def _fonts() -> Any:
    """Return the sheet's fonts and none of the machine's."""
    import typst

    return typst.Fonts(
        include_system_fonts=False,
        include_embedded_fonts=False,
        font_paths=[str(folder) for folder in font_folders()],
    )
