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
from solarsim.inputs.files.van import read_van
from solarsim.present.words import (
    CAUTIONS,
    count_on_text,
    days_text,
    headline,
    ledger_rows,
    month_name,
    whole_days_text,
)


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


def test_headline_begins_with_the_days_to_count_on(answer):
    line = headline(answer)
    assert "\n" not in line
    whole = int(answer.days.p10 + 0.05)
    assert line.startswith(f"Count on {whole} days in January (9 stays in 10); half last ")
    assert f"all 7 days: {100.0 * answer.chance_lasts:.0f} in 100. " in line
    assert line.endswith("The van 'Weekender' near Salzburg, AT, on its own.")


def test_a_van_that_something_else_charges_is_not_on_its_own(answer):
    driven = read_van("weekender", settings=["alternator.drive_h=1", "alternator.every_days=3"])
    plugged = read_van("weekender", settings=["shore.charger_a=20", "shore.plugged_h=8"])
    for van, words in ((driven, "an hour's driving every 3 days"), (plugged, "8 h of shore power")):
        question = dataclasses.replace(answer.question, van=van)
        line = headline(dataclasses.replace(answer, question=question))
        assert words in line
        assert "on its own" not in line


@pytest.mark.parametrize(
    ("p10", "p50", "said"),
    [
        (3.4, 4.5, "Count on 3 days in May (9 stays in 10); half last 4 or more; "),
        # What is shown as 4.0 elsewhere counts as four.
        (3.96, 5.0, "Count on 4 days in May (9 stays in 10); half last 5 or more; "),
        (3.1, 3.8, "Count on 3 days in May (9 stays in 10); half last 3.8 days or more; "),
        (1.2, 2.0, "Count on 1 day in May (9 stays in 10); half last 2 or more; "),
        (0.5, 1.2, "Count on 12 hours in May (9 stays in 10); half last 1 day or more; "),
        (0.3, 0.5, "Count on 7 hours in May (9 stays in 10); half last 12 hours or more; "),
        (0.0, 0.01, "Count on less than an hour in May (9 stays in 10); half last less than an "),
        (9.0, 30.0, "Count on 9 days in May (9 stays in 10); half last 30 days or more; "),
        (30.0, 30.0, "Count on 30 days or more in May (9 stays in 10); all 7 days: "),
    ],
)
def test_days_to_count_on_are_whole_and_never_too_many(p10, p50, said):
    line = count_on_text(DaysUnplugged(p10, p50, p50, p50, 30), 0.5, 7, 5)
    assert line.startswith(said)
    assert line.endswith("all 7 days: 50 in 100.")


@pytest.mark.parametrize(
    ("p1", "said"),
    [
        (2.4, "Count on 2 days in May (99 stays in 100); half last 5 or more; all 7 days: "),
        (0.2, "Count on 5 hours in May (99 stays in 100); half last 5 days or more; all 7 days: "),
        (30.0, "Count on 30 days or more in May (99 stays in 100); all 7 days: "),
        (None, "No days in May are shown to be safe; half last 5.0 days or more; all 7 days: "),
    ],
)
def test_where_health_depends_no_days_count_but_those_of_ninety_nine_in_a_hundred(p1, said):
    days = DaysUnplugged(3.4, 5.0, 6.0, 5.0, 30, p1)
    assert count_on_text(days, 0.5, 7, 5, medical=True) == f"{said}50 in 100."


@given(days=st.floats(0.0, 60.0), follow_days=st.integers(1, 60))
def test_whole_days_promise_no_more_than_is_shown(days, follow_days):
    said = whole_days_text(days, follow_days)
    if days < follow_days and said.endswith(("day", "days")):
        number = int(said.split()[0])
        assert number <= float(f"{days:.1f}") < number + 1


@pytest.mark.parametrize(
    ("chance", "said"), [(0.001, "under 1 in 100"), (0.999, "over 99 in 100"), (1.0, "100 in 100")]
)
def test_a_chance_that_is_not_certain_never_reads_as_certain(chance, said):
    assert count_on_text(DaysUnplugged(3, 4, 5, 4, 30), chance, 1, 5).endswith(f"the day: {said}.")


def test_headline_of_a_stay_without_end(answer):
    endless = dataclasses.replace(
        answer, days=DaysUnplugged(30.0, 30.0, 30.0, 30.0, 30), chance_lasts=1.0
    )
    line = headline(endless)
    assert line.count("30 days or more") == 1
    assert "or more or more" not in line
    assert "100 in 100" in line


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
