"""Sizing by hand against its clauses, and loss of load where the answer is known beforehand.

Loss-of-load probability is meant in its energy form: energy not served over energy demanded.
"""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solarsim.answers.by_hand import DESIGN_MARGIN, END_OF_LIFE_SHARE, autonomy
from solarsim.answers.question import ask
from solarsim.answers.simulation.run import simulate
from solarsim.answers.simulation.scene import build_scene, question_times
from solarsim.data.accuracy.sizing import COMPARISONS
from solarsim.inputs.profile import profile_from_data
from solarsim.power.design import design_of
from solarsim.power.ledger import Term
from tests.checks.agree import assert_agrees, name_of

LOAD_W = 40.0
DAYS = 30
RUNS = 6


@pytest.mark.parametrize("comparison", COMPARISONS, ids=name_of)
def test_published(comparison):
    assert_agrees(comparison)


@pytest.mark.parametrize(
    ("temp_f", "factor"),
    # IEEE 485 Table 1: required capacity at 77 F over that at the temperature.
    [(40, 1.30), (45, 1.25), (50, 1.19), (55, 1.15), (60, 1.11), (65, 1.08), (70, 1.04), (77, 1.0)],
)
@pytest.mark.parametrize("chemistry", ["agm", "gel", "flooded"])
def test_temperature_factor(chemistry, temp_f, factor):
    found = autonomy(
        load_wh_per_day=1200.0,
        system_voltage_v=12.0,
        capacity_ah=800.0,
        chemistry=chemistry,
        floor_soc=0.5,
        bank_temp_c=(temp_f - 32.0) / 1.8,
        days=5,
    )
    # The reciprocals are stored with four digits.
    assert found.temperature_factor == pytest.approx(factor, abs=1e-3)


@given(
    load_wh=st.floats(50.0, 10_000.0),
    volts=st.sampled_from([12.0, 24.0, 48.0]),
    capacity_ah=st.floats(20.0, 3000.0),
    chemistry=st.sampled_from(["lfp", "agm", "gel", "flooded"]),
    floor_soc=st.floats(0.0, 0.8),
    temp_c=st.floats(-20.0, 40.0),
    days=st.integers(1, 30),
)
def test_the_required_bank_lasts_its_days_at_the_end_of_its_life(
    load_wh, volts, capacity_ah, chemistry, floor_soc, temp_c, days
):
    case = {
        "load_wh_per_day": load_wh,
        "system_voltage_v": volts,
        "chemistry": chemistry,
        "floor_soc": floor_soc,
        "bank_temp_c": temp_c,
        "days": days,
    }
    found = autonomy(capacity_ah=capacity_ah, **case)
    assert found.load_ah_per_day == pytest.approx(load_wh / volts)
    # Whichever of depth and end of life governs, a bank without the margin lasts the days.
    bare_ah = found.required_ah / DESIGN_MARGIN
    assert autonomy(capacity_ah=bare_ah, **case).days >= days * (1.0 - 1e-9)
    aged_ah = bare_ah * END_OF_LIFE_SHARE / found.temperature_factor
    assert aged_ah >= found.load_ah_per_day * days * (1.0 - 1e-9)
    # Linear in the load and in the days.
    doubled = autonomy(capacity_ah=capacity_ah, **case | {"load_wh_per_day": 2.0 * load_wh})
    assert doubled.required_ah == pytest.approx(2.0 * found.required_ah)
    assert doubled.days == pytest.approx(found.days / 2.0)


@pytest.fixture(scope="module")
def question():
    """A steady 40 W of DC in July, so that only sun and bank decide."""
    light = {"name": "steady", "power_w": LOAD_W, "hours_per_day": 24.0}
    profile = profile_from_data({"profile": {"name": "x"}, "appliances": [light]}, source="x")
    return ask("weekender", profile=profile, month=7, days=DAYS, runs=RUNS, seed=5)


def loss_of_load(outcome):
    """``(runs, designs)``"""
    unserved = outcome.ledger_wh[:, Term.UNSERVED]
    return unserved / (unserved + outcome.ledger_wh[:, Term.LOAD_DC])


def designs(question, **columns):
    own = dataclasses.replace(design_of(question.van), controller_max_a=1e4)
    names, rows = list(columns), zip(*columns.values(), strict=True)
    return [dataclasses.replace(own, **dict(zip(names, row, strict=True))) for row in rows]


def test_without_an_array_nothing_is_served_once_the_bank_is_empty(question):
    bank_ah = [50.0, 100.0, 200.0]
    got = simulate(question, designs(question, capacity_ah=bank_ah, panel_count=[0] * 3)).outcome
    served_h = got.first_cut_h
    np.testing.assert_allclose(
        got.ledger_wh[:, Term.UNSERVED], LOAD_W * (24.0 * DAYS - served_h), rtol=1e-9
    )
    np.testing.assert_allclose(loss_of_load(got), 1.0 - served_h / (24.0 * DAYS), rtol=1e-9)
    # Twice the bank lasts twice as long, but for the floor, which is as warm as its last hour:
    # some 8 K between night and day are 2 % of the capacity.
    np.testing.assert_allclose(served_h[:, 1:] / served_h[:, :-1], 2.0, rtol=0.03)
    assert got.ledger_wh[:, Term.SOLAR_AVAILABLE].max() == 0.0


def test_without_a_bank_the_loss_is_the_share_of_dark_hours(question):
    """A bank of 1 % of the hourly load: what the sun does not carry in its own hour is lost.

    A shortage also costs the rest of its hour and, the level for reconnection being that of a bank,
    at most one more hour after the sun is back.
    """
    counts = [2, 40]
    tiny_ah = 0.01 * LOAD_W / 12.0
    got = simulate(question, designs(question, capacity_ah=[tiny_ah] * 2, panel_count=counts))
    scene = build_scene(question, question_times(question), first_run=0, runs=RUNS)
    hours = 24 * DAYS
    for index, count in enumerate(counts):
        sun_w = count * scene.panel.power_w[:, :hours]
        dark = np.maximum(LOAD_W - sun_w, 0.0).mean(axis=1) / LOAD_W
        lost = loss_of_load(got.outcome)[:, index]
        assert (lost >= dark - 0.01).all()
        switched_on = np.count_nonzero(np.diff((sun_w >= LOAD_W) * 1.0, axis=1) > 0.0, axis=1)
        assert (lost <= dark + (2.0 * switched_on + 2.0) / hours).all()
    # With panels without end the share is that of the night: 7 to 10 hours in July at 48 N.
    assert 6.5 / 24.0 < loss_of_load(got.outcome)[:, 1].mean() < 10.0 / 24.0


def test_with_an_endless_bank_and_more_sun_than_load_nothing_is_lost(question):
    got = simulate(question, designs(question, capacity_ah=[1e5], panel_count=[2])).outcome
    sun_wh = got.ledger_wh[:, Term.SOLAR_AVAILABLE]
    assert (sun_wh > 1.0 * LOAD_W * 24.0 * DAYS).all()
    assert loss_of_load(got).max() == 0.0
    assert got.first_cut_h.min() == 24.0 * DAYS
    assert got.depletion_days.max() == 0.0


def test_loss_never_rises_with_the_array(question):
    counts = list(range(13))
    size = len(counts)
    for capacity_ah in (20.0, 60.0, 150.0):
        columns = {"capacity_ah": [capacity_ah] * size, "panel_count": counts}
        lost = loss_of_load(simulate(question, designs(question, **columns)).outcome)
        assert (np.diff(lost.mean(axis=0)) <= 1e-12).all()
        assert lost[:, 0].min() > lost[:, -1].max()


def test_loss_never_rises_with_the_bank(question):
    bank_ah = [5.0 * 1.5**n for n in range(12)]
    size = len(bank_ah)
    for count in (0, 1, 2):
        columns = {"capacity_ah": bank_ah, "panel_count": [count] * size}
        lost = loss_of_load(simulate(question, designs(question, **columns)).outcome)
        assert (np.diff(lost.mean(axis=0)) <= 1e-12).all()
        assert lost[:, 0].min() > lost[:, -1].max()
