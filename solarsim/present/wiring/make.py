"""Make the plan's files: picture, pages, table."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any, Literal

from solarsim.answers.wiring.wiring import WiringAnswer
from solarsim.inputs.files.write import check_ending
from solarsim.present.sheet.typeset import Paper, set_pages
from solarsim.present.stay.documents import to_json
from solarsim.present.wiring.document import runs_csv, wiring_document
from solarsim.present.wiring.page import wiring_page
from solarsim.present.wiring.web import web_plan

__all__ = ["SUFFIXES", "check_plan_path", "drawn_panels", "plan_bytes"]

SUFFIXES = (".svg", ".png", ".pdf", ".html", ".csv", ".json")
_Form = Literal["picture", "panels", "document"]
# Between margins of 13 mm, in points.
_ROOM = {"a4": 184.0 * 72.0 / 25.4, "letter": 189.9 * 72.0 / 25.4}


def check_plan_path(path: Path, *, field: str = "--output") -> None:
    """Refuse a file whose ending names no form of the plan.

    Raises
    ------
    InputError
        Another ending.
    """
    check_ending(path, SUFFIXES, field=field)


def plan_bytes(answer: WiringAnswer, suffix: str, *, paper: Paper = "a4") -> bytes:
    """Return a file's content; the same arguments give the same bytes.

    Parameters
    ----------
    answer : WiringAnswer
        From `wiring`.
    suffix : str
        ``.svg`` or ``.png``: the picture; ``.pdf`` (tagged, PDF/UA-1) or ``.html``: picture, runs
        and test sheet; ``.csv``: the runs; ``.json``: all of it.
    paper : str
        ``"a4"`` or ``"letter"``, of the PDF.
    """
    if suffix == ".csv":
        return runs_csv(answer).encode()
    if suffix == ".json":
        return to_json(wiring_document(answer)).encode()
    page = wiring_page(answer, limited=suffix != ".html")
    if suffix == ".html":
        return web_plan(page, drawn_panels(page["panels"]))
    if suffix == ".pdf":
        return _typeset(page, "pdf", "document", paper)[0]
    drawn = _typeset(page, "svg" if suffix == ".svg" else "png", "picture")[0]
    return _named(drawn, page).encode() if suffix == ".svg" else drawn


def drawn_panels(panels: Sequence[dict[str, Any]]) -> list[str]:
    """Return the SVG of every panel of a plan."""
    if not panels:
        return []
    only = {"title": "", "panels": panels, "cautions": []}
    return [svg.decode() for svg in _typeset(only, "svg", "panels")]


def _named(svg: bytes, page: dict[str, Any]) -> str:
    """The picture with a name for those who hear it: its letters are drawn as outlines."""
    import html

    label = html.escape(page["alt"])
    return svg.decode().replace("<svg ", f'<svg role="img" aria-label="{label}" ', 1)


def _typeset(
    page: dict[str, Any], kind: Literal["svg", "png", "pdf"], form: _Form, paper: Paper = "a4"
) -> list[bytes]:
    """Return the pages of a picture, or the one file of a document."""
    return set_pages(
        "solarsim.present.wiring", "plan.typ", page | {"form": form, "room": _ROOM[paper]}, kind,
        paper,
    )  # fmt: skip
