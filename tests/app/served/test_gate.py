"""Without the visitors' code nothing of a design is shown."""

from __future__ import annotations

import pytest
import streamlit as st
from streamlit.testing.v1 import AppTest

from solarsim.app import main
from solarsim.app.served import gate
from solarsim.app.served.gate import MAX_WRONG, Gate
from solarsim.cli.visitors_code import CODE_VARIABLE
from tests.app.conftest import ROOT

CODE = "K7QM4TXW"
PAGE = ROOT / "solarsim" / "app" / "served" / "page.py"


@pytest.fixture
def visitor(monkeypatch):
    """Open the served page as a new visitor."""
    monkeypatch.setenv(CODE_VARIABLE, CODE)
    monkeypatch.setattr(gate, "_GATE", Gate())
    # One test below has the app itself behind the gate.
    monkeypatch.setattr(main, "main", lambda: st.subheader("Weekender"))

    def opened(**query):
        page = AppTest.from_file(str(PAGE), default_timeout=60)
        for name, value in query.items():
            page.query_params[name] = value
        page.run()
        assert not page.exception
        return page

    return opened


def type_code(page, code):
    page.text_input[0].set_value(code)
    page.button[0].click()
    page.run()
    assert not page.exception


def is_in(page):
    return "Weekender" in str([each.value for each in (*page.title, *page.subheader)])


@pytest.mark.slow
def test_the_code_lets_in_for_the_session(visitor):
    page = visitor()
    assert not is_in(page)
    assert [each.value for each in page.title] == ["Code for visitors"]
    type_code(page, "K7QM-4TXV")
    assert not is_in(page)
    assert "not the code" in page.error[0].value
    type_code(page, "k7qm 4txw")
    assert is_in(page)
    page.run()
    assert is_in(page)
    assert not is_in(visitor()), "another visitor is asked"


def test_the_scanned_link_lets_in(visitor):
    assert is_in(visitor(code=CODE))


def test_a_wrong_link_is_counted_once(visitor, monkeypatch):
    wrong = []
    real = gate.same_code
    monkeypatch.setattr(gate, "same_code", lambda *given: wrong.append(given) or real(*given))
    page = visitor(code="AAAAAAAA")
    page.run()
    page.run()
    assert len(wrong) == 1
    assert not is_in(page)


@pytest.mark.slow
def test_after_too_many_wrong_codes_nobody_else_is_let_in(visitor):
    inside = visitor(code=CODE)
    for _ in range(MAX_WRONG):
        assert not gate._GATE.opens("AAAAAAAA", CODE)
    late = visitor(code=CODE)
    assert not is_in(late)
    assert "Too many wrong codes" in late.error[0].value
    type_code(late, CODE)
    assert not is_in(late)
    inside.run()
    assert is_in(inside)


@pytest.mark.slow
def test_the_app_itself_shows_and_keeps_nothing_before_the_code(visitor, monkeypatch):
    monkeypatch.undo()
    monkeypatch.setenv(CODE_VARIABLE, CODE)
    page = visitor()
    assert not is_in(page)
    assert len(page.sidebar) == 0
    assert "design" not in page.session_state
    monkeypatch.delenv(CODE_VARIABLE)
    page.run()
    assert is_in(page), "served without a code it is the app"
    assert len(page.sidebar) > 0
