"""Make the files of the offer: tables and pages."""

from __future__ import annotations

from pathlib import Path

from solarsim.answers.offer.offer import OfferAnswer
from solarsim.inputs.files.write import check_ending
from solarsim.present.offer.document import offer_csv, offer_document, offer_xlsx
from solarsim.present.offer.page import offer_page, web_offer
from solarsim.present.sheet.typeset import Paper, set_pages
from solarsim.present.stay.documents import to_json

__all__ = ["SUFFIXES", "check_offer_path", "offer_bytes"]

SUFFIXES = (".pdf", ".html", ".xlsx", ".csv", ".json")


def check_offer_path(path: Path, *, field: str = "--output") -> None:
    """Refuse a file whose ending names no form of the offer.

    Raises
    ------
    InputError
        Another ending.
    """
    check_ending(path, SUFFIXES, field=field)


def offer_bytes(
    answer: OfferAnswer, suffix: str, *, paper: Paper = "a4", language: str = "en"
) -> bytes:
    """Return a file's content; the same arguments give the same bytes.

    Parameters
    ----------
    answer : OfferAnswer
        From `offer`.
    suffix : str
        One of `SUFFIXES`.
    paper : str
        ``"a4"`` or ``"letter"``, of the PDF (tagged, PDF/UA-1).
    language : str
        Of the PDF and the HTML, as of a sheet; the tables are English.
    """
    if suffix == ".csv":
        return offer_csv(answer).encode()
    if suffix == ".xlsx":
        return offer_xlsx(answer)
    if suffix == ".json":
        return to_json(offer_document(answer)).encode()
    page = offer_page(answer, limited=suffix != ".html", language=language)
    if suffix == ".html":
        return web_offer(page)
    return set_pages("solarsim.present.offer", "offer.typ", page, "pdf", paper)[0]
