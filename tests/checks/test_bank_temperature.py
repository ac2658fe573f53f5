"""Cold banks: the standard's size factor found in the kernel, lithium's refusal to charge."""

import csv
import pathlib

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solarsim.data.accuracy import battery
from solarsim.data.accuracy.bench import capacity_multiplier, discharge, run_bank
from solarsim.power.bank_temperature import bank_temperature_c
from solarsim.power.chemistry import CHEMISTRY_NAMES, capacity_share_at, load_chemistry
from tests.checks.agree import assert_agrees, name_of

DATA = pathlib.Path(__file__).parent / "data" / "lead_acid_capacity_multiplier.csv"
LEAD = ("agm", "gel", "flooded")


def table():
    with DATA.open(encoding="utf-8") as file:
        next(file)
        return [
            (float(row["temp_f"]), float(row["capacity_multiplier"]))
            for row in csv.DictReader(file)
        ]


@pytest.mark.parametrize(
    "comparison", [c for c in battery.COMPARISONS if c.subject == "bank, cold"], ids=name_of
)
def test_published_figure(comparison):
    assert_agrees(comparison)


@pytest.mark.parametrize(("temp_f", "multiplier"), table())
@pytest.mark.parametrize("name", LEAD)
def test_every_row_of_ieee_485_from_40_to_77_f(name, temp_f, multiplier):
    """What the standard says of the factor: a bank so much larger serves the same load as long."""
    got = capacity_multiplier(name, (temp_f - 32.0) / 1.8)
    assert got == pytest.approx(multiplier, abs=1e-3)


@pytest.mark.parametrize("name", LEAD)
def test_the_same_bank_gives_less_when_cold(name):
    """0.77 at 4.4 C, 0.84 at 10 C and about 0.72 at 0 C of the 20-hour capacity, within 0.03.

    A cold bank is discharged at a higher rate for its size: flooded, with the largest exponent,
    lose two points more to that.
    """
    warm_ah = discharge(name, 20.0).delivered_ah
    for temp_c, share in ((4.44, 0.77), (10.0, 0.84), (0.0, 0.72)):
        cold_ah = discharge(name, 20.0, temp_c=temp_c).delivered_ah
        assert cold_ah / warm_ah == pytest.approx(share, abs=0.03)


@given(
    name=st.sampled_from(CHEMISTRY_NAMES), cold_c=st.floats(-35.0, 24.0), more=st.floats(0.5, 20)
)
@settings(max_examples=60, deadline=None)
def test_a_warmer_bank_never_gives_less(name, cold_c, more):
    cold_ah = discharge(name, 10.0, temp_c=cold_c).delivered_ah
    assert discharge(name, 10.0, temp_c=cold_c + more).delivered_ah >= cold_ah - 1e-9


@pytest.mark.parametrize("name", CHEMISTRY_NAMES)
def test_warmth_above_25_c_is_not_counted(name):
    """The standard's factors below 1 above 77 F are left out, on the safe side."""
    hot, warm = (float(capacity_share_at(load_chemistry(name), at)) for at in (45.0, 25.0))
    assert hot == warm == 1.0


@pytest.mark.parametrize(("temp_c", "share"), [(-5.0, 0.0), (0.0, 0.0), (2.5, 0.5), (5.0, 1.0)])
def test_lithium_takes_no_charge_below_freezing(temp_c, share):
    """Plating below 0 C: Petzl & Danzer 2014, J. Power Sources 254, 80-87. 5 C: common practice."""
    offered_w = np.full(1, 2000.0)
    rise = [
        np.diff(
            run_bank("lfp", dc_w=np.zeros(1), panel_w=offered_w, start_soc=0.2, temp_c=at).soc[
                0, :, 0
            ]
        )[0]
        for at in (temp_c, 25.0)
    ]
    assert rise[1] == pytest.approx(0.5 * 0.995, rel=0.01)
    # A bank at rest loses 0.004 % an hour.
    assert rise[0] == pytest.approx(share * rise[1], abs=1e-4)


@pytest.mark.parametrize("name", LEAD)
def test_lead_takes_charge_in_frost(name):
    cold = run_bank(name, dc_w=np.zeros(2), panel_w=np.full(2, 100.0), start_soc=0.5, temp_c=-15.0)
    assert cold.soc[0, -1, 0] > 0.6


def test_bank_follows_a_step_in_the_air_by_its_time_constant():
    """63.2 % of a step after one time constant: a body of one heat capacity.

    The constant itself, eight hours, is common practice, no source.
    """
    step = np.concatenate([np.zeros(24), np.full(72, 10.0)])[np.newaxis]
    bank_c = bank_temperature_c(step)[0]
    assert bank_c[23 + 8] == pytest.approx(10.0 * (1.0 - np.exp(-1.0)), rel=1e-9)
    assert (np.diff(bank_c[23:]) > 0.0).all()
