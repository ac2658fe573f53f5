from __future__ import annotations

import contextlib
from pathlib import Path
from unittest import mock
from xml.etree import ElementTree

import pytest
import streamlit as st
from streamlit.testing.v1 import AppTest

from solarsim.answers.question import DEFAULT_RUNS
from solarsim.app import answering

FEW_RUNS = 40
ROOT = Path(__file__).resolve().parents[2]


def edited(rows):
    """A table's cells as typed over: row number to column to value."""
    return {"edited_rows": rows, "added_rows": [], "deleted_rows": []}


def take(page, callback, *given):
    """What the browser's edit sets off; the test's page has no table to type into."""
    with mock.patch.object(st, "session_state", page.session_state):
        callback(*given)


def tables(page):
    """The tables of numbers in their order, each a row of texts by column."""
    found = []
    for element in page.get("html"):
        if element.proto.body.startswith('<div class="numbers"'):
            cells = ElementTree.fromstring(element.proto.body).iter("td")
            columns = {}
            for cell in cells:
                columns.setdefault(cell.get("data-label"), []).append(cell.text)
            found.append(columns)
    return found


@contextlib.contextmanager
def other_runs(runs):
    """Answer from another number of runs; answers are kept by design, so none goes over."""
    st.cache_data.clear()
    with mock.patch.object(answering, "DEFAULT_RUNS", runs):
        yield
    st.cache_data.clear()


@pytest.fixture(scope="session", autouse=True)
def few_runs():
    """Answer from a few runs: the pages are what is tested, not the answers."""
    assert answering.DEFAULT_RUNS == DEFAULT_RUNS, "the page takes as many as the command line"
    names = {"DEFAULT_RUNS": FEW_RUNS, "_RUNS_LEVERS": 10, "_RUNS_CELL": 5}
    with mock.patch.multiple(answering, **names):
        yield


@pytest.fixture
def app():
    """The page as a new visitor finds it."""
    page = AppTest.from_file(str(ROOT / "app.py"), default_timeout=60)
    page.run()
    assert not page.exception
    return page


@pytest.fixture
def visit():
    """Open a view of a page, or the page anew."""

    def go(page, view):
        page.session_state["view"] = view
        page.run()
        assert not page.exception
        return page

    return go
