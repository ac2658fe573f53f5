"""Make the files of the list: tables and pages."""

from __future__ import annotations

from pathlib import Path

from solarsim.answers.buy.buy import BuyAnswer
from solarsim.inputs.files.write import check_ending
from solarsim.present.buy.document import buy_csv, buy_document, buy_xlsx
from solarsim.present.buy.page import buy_page, web_list
from solarsim.present.sheet.typeset import Paper, set_pages
from solarsim.present.stay.documents import to_json

__all__ = ["SUFFIXES", "check_list_path", "list_bytes"]

SUFFIXES = (".csv", ".xlsx", ".html", ".pdf", ".json")


def check_list_path(path: Path, *, field: str = "--output") -> None:
    """Refuse a file whose ending names no form of the list.

    Raises
    ------
    InputError
        Another ending.
    """
    check_ending(path, SUFFIXES, field=field)


def list_bytes(answer: BuyAnswer, suffix: str, *, paper: Paper = "a4") -> bytes:
    """Return a file's content; the same arguments give the same bytes.

    Parameters
    ----------
    answer : BuyAnswer
        From `buy`.
    suffix : str
        One of `SUFFIXES`.
    paper : str
        ``"a4"`` or ``"letter"``, of the PDF (tagged, PDF/UA-1).
    """
    if suffix == ".csv":
        return buy_csv(answer).encode()
    if suffix == ".xlsx":
        return buy_xlsx(answer)
    if suffix == ".json":
        return to_json(buy_document(answer)).encode()
    page = buy_page(answer, limited=suffix != ".html")
    if suffix == ".html":
        return web_list(page)
    return set_pages("solarsim.present.buy", "list.typ", page, "pdf", paper)[0]
