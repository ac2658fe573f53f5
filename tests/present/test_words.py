"""Words and rows that every front shows."""

from __future__ import annotations

import dataclasses
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solarsim.answers.question import ask
from solarsim.answers.simulation.summary import DaysUnplugged
from solarsim.answers.stay import stay
from solarsim.inputs.percent import percent
from solarsim.present.words import CAUTIONS, days_text, headline, ledger_rows, month_name


@pytest.fixture(scope="module")
def answer():
    return stay(ask(runs=20))


@given(days=st.floats(0.0, 400.0), follow_days=st.integers(1, 365))
def test_days_are_said_to_a_tenth_and_never_beyond_those_followed(days, follow_days):
    text = days_text(days, follow_days)
    if days >= follow_days:
        assert text == f"{follow_days} days or more"
        return
    if days < 0.5 / 24.0:
        assert text == "less than an hour"
        return
    number, unit = text.split(" ")
    if days >= 0.951:
        assert float(number) == pytest.approx(days, abs=0.051)
        assert unit == ("day" if number == "1.0" else "days")
    elif days < 0.949:
        assert float(number) == pytest.approx(24.0 * days, abs=0.501)
        assert unit == ("hour" if number == "1" else "hours")


def test_headline_is_one_sentence_with_all_of_it(answer):
    line = headline(answer)
    assert "\n" not in line
    assert line.startswith("In January near Salzburg, AT the van 'Weekender' lasts ")
    p50, p10 = (days_text(x, 30) for x in (answer.days.p50, answer.days.p10))
    assert p50 in line
    assert p10 in line
    assert line.endswith(f"all 7 days: {percent(answer.chance_lasts)}.")


def test_headline_of_a_stay_without_end(answer):
    endless = dataclasses.replace(
        answer, days=DaysUnplugged(30.0, 30.0, 30.0, 30.0, 30), chance_lasts=1.0
    )
    line = headline(endless)
    assert line.count("30 days or more") == 2
    assert "or more or more" not in line
    assert "100 %" in line


def test_ledger_rows_balance(answer):
    rows = ledger_rows(answer)
    assert {group for group, _, _ in rows} == {"in", "out", "missed"}
    assert all(wh >= -1e-9 for _, _, wh in rows)
    came = sum(wh for group, _, wh in rows if group == "in")
    went = sum(wh for group, _, wh in rows if group == "out")
    assert came == pytest.approx(went, rel=1e-9)
    labels = [label for _, label, _ in rows]
    assert len(set(labels)) == len(labels)


def test_every_term_of_the_ledger_has_a_row(answer):
    """Doubling any term but the sum of the sun changes a row."""
    for term, wh in answer.ledger_wh_per_day.items():
        if term == "solar_available":
            continue
        changed = answer.ledger_wh_per_day | {term: wh + 1000.0}
        assert ledger_rows(dataclasses.replace(answer, ledger_wh_per_day=changed)) != ledger_rows(
            answer
        ), term


def test_store_goes_in_or_out_but_not_both(answer):
    for change in (-100.0, 0.0, 100.0):
        ledger = answer.ledger_wh_per_day | {"stored_change": change}
        rows = {
            label: wh
            for _, label, wh in ledger_rows(dataclasses.replace(answer, ledger_wh_per_day=ledger))
        }
        assert rows["taken from the bank"] == max(-change, 0.0)
        assert rows["put into the bank"] == max(change, 0.0)


def test_months():
    assert [month_name(month)[:3] for month in (1, 5, 12)] == ["Jan", "May", "Dec"]


def test_cautions_promise_nothing():
    assert CAUTIONS.startswith("Expected, not guaranteed.")
    assert not re.search(r"\b(will|certainly|guarantees)\b", CAUTIONS)
