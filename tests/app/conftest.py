from __future__ import annotations

from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

ROOT = Path(__file__).resolve().parents[2]


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
