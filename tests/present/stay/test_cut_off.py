"""Where the pictures say that a stay is cut off is where the runs are."""

from __future__ import annotations

import pytest

from solarsim.answers.question import ask
from solarsim.answers.stay import stay
from solarsim.inputs.percent import percent
from solarsim.power.chemistry import load_chemistry
from solarsim.power.design import design_of, floor_at, reconnect_at
from solarsim.present.stay.charts import soc_figure
from solarsim.present.stay.cut_off import (
    cut_off_level,
    cut_off_marks,
    cut_off_text,
    energy_words,
    shed_text,
    soc_words,
)
from solarsim.present.words import ledger_rows


@pytest.fixture(scope="module")
def cold():
    """A cold bank that runs out in most runs."""
    return stay(ask(runs=40, settings=["battery.location=outside"]))


@pytest.fixture(scope="module")
def lasting():
    return stay(ask(runs=10, month=7, place="Phoenix, AZ, US"))


def test_the_line_is_where_the_runs_floor(cold):
    level = cut_off_level(cold)
    rated = design_of(cold.question.van).floor_soc
    assert level > rated + 0.02, "the cold shows"
    # The line is that of the mean warmth; each run has its own.
    assert float(cold.soc.p50.min()) == pytest.approx(level, abs=0.03)
    assert float(cold.soc.worst.min()) > rated
    assert cut_off_text(cold) == f"cut-off at {percent(level)} ({percent(rated)} at 25 °C)"


def test_a_warm_bank_floors_at_its_rating(lasting):
    assert cut_off_text(lasting) == "cut-off at 10 %"


def test_floor_and_reconnection_rise_with_the_cold_as_in_the_dispatch():
    design = design_of(ask().van)
    share = load_chemistry("lfp").capacity_share
    coldest = load_chemistry("lfp").capacity_temp_c
    for temp_c, left in zip(coldest, share, strict=True):
        assert floor_at(design, temp_c) == pytest.approx(1.0 - left * (1.0 - design.floor_soc))
        assert floor_at(design, temp_c) <= reconnect_at(design, temp_c)
    assert floor_at(design, 25.0) == pytest.approx(0.1)
    assert reconnect_at(design, 25.0) == pytest.approx(load_chemistry("lfp").reconnect_soc)


def test_marks_stand_at_the_days_of_the_answer(cold, lasting):
    start = cold.soc.times[0].tz_localize(None)
    marks = {text: (when - start).total_seconds() / 86400.0 for when, text in cut_off_marks(cold)}
    assert marks["1 in 10\ncut off"] == pytest.approx(cold.days.p10, abs=1e-6)
    assert marks["half\ncut off"] == pytest.approx(cold.days.p50, abs=1e-6)
    drawn = [note.text for note in soc_figure(cold).layout.annotations]
    assert {"1 in 10<br>cut off", "half<br>cut off"} <= set(drawn)
    assert cut_off_marks(lasting) == []
    assert shed_text(lasting) is None


def test_words_give_the_result(cold, lasting):
    said = soc_words(cold)
    assert f"half of them within {cold.days.p50:.1f} days" in said
    assert percent(float(cold.soc.worst.min())) in said
    assert "cut off within" not in soc_words(lasting)
    back = percent(reconnect_at(design_of(cold.question.van), cold.conditions.bank_temp_c))
    assert f"until the bank is back at {back}" in shed_text(cold)
    rows = ledger_rows(cold)
    for _, label, wh in rows:
        assert (f"{label} {wh:,.0f} Wh" in energy_words(rows)) == (wh >= 0.5)


def test_days_are_named_as_in_the_tables(cold):
    axis = soc_figure(cold).layout.xaxis
    # Seven days from Monday, 12 January, 17:00.
    assert axis.ticktext[0] == "Tue<br>13 Jan"
    assert len(axis.ticktext) == len(axis.tickvals) == 7
    assert "local standard time" in axis.title.text
