"""Make the interview's files: the profile, and the page to print."""

from __future__ import annotations

from pathlib import Path

from solarsim.answers.interview.interview import InterviewAnswer
from solarsim.inputs.files.write import check_ending
from solarsim.present.interview.page import interview_page, web_interview
from solarsim.present.sheet.typeset import Paper, set_pages

__all__ = ["PAGE_SUFFIXES", "check_page_path", "page_bytes"]

PAGE_SUFFIXES = (".html", ".pdf")


def check_page_path(path: Path, *, field: str = "--page") -> None:
    """Refuse a file whose ending names no form of the page.

    Raises
    ------
    InputError
        Another ending.
    """
    check_ending(path, PAGE_SUFFIXES, field=field)


def page_bytes(answer: InterviewAnswer | None, suffix: str, *, paper: Paper = "a4") -> bytes:
    """Return the page's content, blank without an answer; equal arguments give equal bytes.

    Parameters
    ----------
    answer : InterviewAnswer or None
        What was answered.
    suffix : str
        ``".html"`` or ``".pdf"`` (tagged, PDF/UA-1).
    paper : str
        ``"a4"`` or ``"letter"``, of the PDF.
    """
    page = interview_page(answer, limited=suffix != ".html")
    if suffix == ".html":
        return web_interview(page)
    return set_pages("solarsim.present.interview", "page.typ", page, "pdf", paper)[0]
