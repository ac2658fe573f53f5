"""Make the sheet's files from its document: PDF, HTML, PNG, and cards for a listing."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

from solarsim.inputs.files.write import check_ending
from solarsim.present.sheet.annex_page import annex_page
from solarsim.present.sheet.document import in_language
from solarsim.present.sheet.glyphs import Cleaner
from solarsim.present.sheet.listing import listing_text
from solarsim.present.sheet.page import sheet_page
from solarsim.present.sheet.photo import Photo
from solarsim.present.sheet.texts import Units, load_texts
from solarsim.present.sheet.typeset import Form, Paper, typeset

__all__ = ["SUFFIXES", "check_sheet_path", "sheet_bytes"]

SUFFIXES = (".pdf", ".html", ".png", ".txt")


def check_sheet_path(path: Path, *, field: str = "--output") -> None:
    """Refuse a file whose ending names no form of the sheet.

    Raises
    ------
    InputError
        Another ending.
    """
    check_ending(path, SUFFIXES, field=field)


def sheet_bytes(
    document: dict[str, Any],
    suffix: str,
    *,
    units: Units = "metric",
    paper: Paper = "a4",
    form: Form = "page",
    photo: Photo | None = None,
    language: str = "en",
) -> bytes:
    """Return a file's content; the same arguments give the same bytes.

    Parameters
    ----------
    document : dict
        From `solarsim.present.sheet.document.sheet_document`; with an annex where it was answered.
    suffix : str
        ``.pdf`` (tagged, PDF/UA-1), ``.html``, or ``.png`` (of the first page, or a card),
        ``.txt`` (texts for a listing).
    units : str
        ``"metric"`` or ``"us"``: which stand first where both are shown.
    paper : str
        ``"a4"`` or ``"letter"``.
    form : str
        ``"page"``, or a card for a listing: ``"square"`` (1080 x 1080) or ``"portrait"``
        (1080 x 1350).
    photo : Photo, optional
        From `solarsim.present.sheet.photo.read_photo`.
    language : str
        Of the catalogue.

    Raises
    ------
    InputError
        No such catalogue.
    """
    texts = load_texts(language)
    if suffix == ".txt":
        return f"{listing_text(in_language(document, language))}\n".encode()
    # A browser has letters for every script, the sheet's fonts have not.
    clean = Cleaner(limited=suffix != ".html")
    page = sheet_page(document, texts, units=units, clean=clean)
    annex = annex_page(document, clean=clean, language=language)
    if clean.dropped:
        fields = ", ".join(texts["fields"][field] for field in clean.dropped)
        page["small"] += " " + texts["small"]["dropped"].format(fields=fields)
    if suffix == ".html":
        # Brings the room of wiring with it, which the other forms do without.
        from solarsim.present.sheet.web import web_page

        return web_page(page, photo=photo, annex=annex)
    content, _ = typeset(
        page,
        kind="pdf" if suffix == ".pdf" else "png",
        date=dt.date.fromisoformat(document["date"]),
        paper=paper,
        form=form,
        photo=photo,
        annex=annex,
    )
    return content
