"""Chemistries against published equations, and capacity against rate by simulation."""

from __future__ import annotations

import numpy as np
import pytest

from solarsim.power.chemistry import (
    CHEMISTRY_NAMES,
    capacity_share_at,
    charge_share_at,
    lead_acid_open_circuit_v,
    load_chemistry,
    tank_total_ah,
)
from solarsim.power.design import Design, usable_wh
from solarsim.power.dispatch import Chargers, dispatch

LEAD = ("agm", "gel", "flooded")
# Voltage of one LFP/graphite cell of 2.3 Ah from full (3.598 V) to 2.0 V, by state of charge:
# half-cell equations of Afshar et al. 2017 (arXiv 1709.03970) and Chen et al. 2020, evaluated.
LFP_CELL = {
    1.0: 3.598,
    0.99: 3.414,
    0.95: 3.316,
    0.9: 3.314,
    0.8: 3.310,
    0.7: 3.274,
    0.6: 3.269,
    0.5: 3.266,
    0.4: 3.252,
    0.3: 3.206,
    0.2: 3.168,
    0.1: 2.978,
    0.05: 2.785,
    0.0: 2.000,
}
CELL_TO_2_V_AH = 2.3033
RATED_END_V = 2.5
# IEEE 485 Table 1: by how much a lead-acid bank must be larger at a temperature in F, 77 F = 1.
COLD_FACTOR = {40: 1.30, 45: 1.25, 50: 1.19, 55: 1.15, 60: 1.11, 65: 1.08, 68: 1.056, 70: 1.04}
COLD_FACTOR |= {75: 1.011, 77: 1.0}


def lfp_cell_v(drawn_ah):
    """Cell voltage after drawing some charge from full; both half cells by their equations."""
    y = 0.0038 + drawn_ah / 3.292
    x = 0.81 - drawn_ah / 2.907
    positive = 3.4077 - 0.020269 * y + 0.5 * np.exp(-150.0 * y) - 0.9 * np.exp(-30.0 * (1.0 - y))
    negative = (
        1.9793 * np.exp(-39.3631 * x)
        + 0.2482
        - 0.0909 * np.tanh(29.8538 * (x - 0.1234))
        - 0.04478 * np.tanh(14.9159 * (x - 0.2769))
        - 0.0205 * np.tanh(30.4444 * (x - 0.6103))
    )
    return positive - negative


@pytest.mark.parametrize("soc", LFP_CELL)
def test_the_published_equations_themselves(soc):
    drawn_ah = (1.0 - soc) * CELL_TO_2_V_AH
    # The end is steep: there the rounding of the capacity shows.
    assert lfp_cell_v(drawn_ah) == pytest.approx(LFP_CELL[soc], abs=1e-3 if soc > 0.0 else 5e-3)


def test_lfp_voltage_is_four_cells_of_the_published_equations():
    """Empty is 2.5 V a cell, to which cells are rated; the table's straight pieces stay near."""
    lfp = load_chemistry("lfp")
    drawn_ah = np.linspace(0.0, CELL_TO_2_V_AH, 50_001)
    rated_ah = np.interp(-RATED_END_V, -lfp_cell_v(drawn_ah), drawn_ah)
    assert rated_ah == pytest.approx(2.25, rel=0.005)

    def published_v(soc):
        return 4.0 * lfp_cell_v((1.0 - soc) * rated_ah)

    soc = np.linspace(0.0, 1.0, 2001)
    table_v = np.interp(soc, lfp.open_circuit_soc, lfp.open_circuit_v)
    assert np.abs(table_v - published_v(soc)).max() < 4.0 * 0.012
    middle = (soc > 0.1) & (soc < 0.95)
    mean_v = table_v[middle].mean()
    assert mean_v == pytest.approx(published_v(soc[middle]).mean(), abs=0.02)


def test_lfp_is_flat_in_the_middle():
    lfp = load_chemistry("lfp")
    low, high = np.interp([0.2, 0.9], lfp.open_circuit_soc, lfp.open_circuit_v)
    assert (high - low) / 4.0 < 0.16


@pytest.mark.parametrize(
    ("acid_mol_kg", "cell_v"), [(1.0, 1.9220), (3.0, 2.0168), (5.0, 2.0896), (6.0, 2.1226)]
)
def test_lead_acid_cell_is_bode_s_polynomial(acid_mol_kg, cell_v):
    got = float(lead_acid_open_circuit_v(np.array(acid_mol_kg)))
    assert got == pytest.approx(cell_v, abs=1e-3)


@pytest.mark.parametrize(("acid_mol_kg", "bank_v"), [(1.0, 11.53), (3.0, 12.10), (6.0, 12.74)])
def test_six_lead_acid_cells(acid_mol_kg, bank_v):
    got = 6.0 * float(lead_acid_open_circuit_v(np.array(acid_mol_kg)))
    assert got == pytest.approx(bank_v, abs=0.01)


@pytest.mark.parametrize("name", CHEMISTRY_NAMES)
def test_curves_are_in_order(name):
    chemistry = load_chemistry(name)
    for along in ("open_circuit_soc", "coulombic_soc", "capacity_temp_c", "charge_temp_c"):
        assert (np.diff(getattr(chemistry, along)) > 0.0).all(), along
    assert chemistry.open_circuit_soc[[0, -1]].tolist() == [0.0, 1.0]
    assert chemistry.coulombic_soc[[0, -1]].tolist() == [0.0, 1.0]
    assert (np.diff(chemistry.open_circuit_v) > 0.0).all()
    # Stevens & Corey 1996: charge efficiency falls with the state of charge.
    assert (np.diff(chemistry.coulombic_share) <= 0.0).all()
    assert (np.diff(chemistry.capacity_share) > 0.0).all()
    assert chemistry.capacity_share.max() == 1.0
    assert 0.0 < chemistry.cutoff_v < chemistry.open_circuit_v[-1] <= chemistry.absorption_v
    assert 0.0 <= chemistry.floor_soc < chemistry.reconnect_soc < 1.0
    assert 0.0 < chemistry.tank_share < 1.0
    assert len(chemistry.sources) >= 6
    assert all(chemistry.sources)


@pytest.mark.parametrize("name", LEAD)
def test_a_rested_lead_acid_bank_lies_between_11_8_and_13_v(name):
    """12.6 to 12.9 V full: common practice, no source."""
    chemistry = load_chemistry(name)
    empty_v, full_v = chemistry.open_circuit_v[[0, -1]]
    assert 11.5 < empty_v < 12.0
    assert 12.6 <= full_v <= 12.95
    assert 14.1 <= chemistry.absorption_v <= 14.8


@pytest.mark.parametrize("name", LEAD)
@pytest.mark.parametrize("temp_f", COLD_FACTOR)
def test_lead_acid_capacity_in_the_cold_is_ieee_485(name, temp_f):
    share = capacity_share_at(load_chemistry(name), (temp_f - 32.0) / 1.8)
    assert float(share) == pytest.approx(1.0 / COLD_FACTOR[temp_f], abs=2e-3)


@pytest.mark.parametrize("name", LEAD)
@pytest.mark.parametrize(("temp_f", "factor"), [(35, 1.350), (30, 1.430), (25, 1.520)])
def test_lead_acid_capacity_in_frost_is_ieee_485(name, temp_f, factor):
    """The further rows of IEEE 485 Table 1, from memory."""
    share = capacity_share_at(load_chemistry(name), (temp_f - 32.0) / 1.8)
    assert float(share) == pytest.approx(1.0 / factor, abs=2e-3)


@pytest.mark.parametrize("name", LEAD)
def test_lead_acid_capacity_in_hard_frost(name):
    """1.59 at 20 F: battery-sizing worksheets. Half at -18 C, a fifth at -40 C: handbook curves
    (Linden & Reddy), from memory and no closer than five points."""
    chemistry = load_chemistry(name)
    assert float(capacity_share_at(chemistry, -6.67)) == pytest.approx(1.0 / 1.59, abs=2e-3)
    assert float(capacity_share_at(chemistry, -18.0)) == pytest.approx(0.50, abs=0.05)
    assert float(capacity_share_at(chemistry, -40.0)) == pytest.approx(0.20, abs=0.05)
    # The curve goes on without a jump: it neither flattens nor falls off where the rows end.
    slope = np.diff(chemistry.capacity_share) / np.diff(chemistry.capacity_temp_c)
    assert (slope[chemistry.capacity_temp_c[:-1] < 0.0] > 0.008).all()
    assert (slope < 0.017).all()


@pytest.mark.parametrize("name", LEAD)
def test_lead_acid_takes_less_charge_in_frost(name):
    """Acceptance halves about every 12 K: handbooks, from memory; never more than in the warm."""
    share = charge_share_at(load_chemistry(name), np.array([-40.0, -30.0, -20.0, -10.0, 0.0, 25.0]))
    assert (np.diff(share) >= 0.0).all()
    assert share[-2:].tolist() == [1.0, 1.0]
    halvings = np.log2(share[1:5] / share[:4])
    assert halvings == pytest.approx(10.0 / 12.0, abs=0.35)


@pytest.mark.parametrize(("temp_c", "gives"), [(-25.0, False), (-20.5, False), (-20.0, True)])
def test_lfp_gives_nothing_below_20_c_of_frost(temp_c, gives):
    """Discharge -20 or -30 to 60 C: cell sheets."""
    assert (float(capacity_share_at(load_chemistry("lfp"), temp_c)) > 0.0) is gives
    bank = Design("lfp", 100.0, 12.0, 0, 30.0, floor_soc=0.1)
    assert (usable_wh(bank, temp_c) > 0.0) is gives


def test_usable_energy_in_the_cold():
    """By hand: AGM at 10 C gives 0.8403 of half of 100 Ah, at the upper voltages of its curve."""
    bank = Design("agm", 100.0, 12.0, 0, 30.0, floor_soc=0.5)
    agm = load_chemistry("agm")
    upper_v = np.interp(
        np.linspace(1.0 - 0.8403 * 0.5, 1.0, 1001), agm.open_circuit_soc, agm.open_circuit_v
    ).mean()
    assert usable_wh(bank, 10.0) == pytest.approx(50.0 * 0.8403 * upper_v, rel=1e-4)
    assert usable_wh(bank) == usable_wh(bank, 25.0) == usable_wh(bank, 40.0)


def test_lfp_is_not_charged_below_freezing():
    """Lithium plates: Petzl & Danzer 2014."""
    share = charge_share_at(load_chemistry("lfp"), np.array([-20.0, 0.0, 2.5, 5.0, 25.0]))
    assert share.tolist() == [0.0, 0.0, 0.5, 1.0, 1.0]


# --- capacity against rate ---


def discharge(name, current_a, *, off=slice(0, 0), hours=48, rated_ah=100.0):
    """A full bank under a load of about one current, but for the hours of `off`."""
    chemistry = load_chemistry(name)
    mean_v = np.interp(
        np.linspace(0.0, 1.0, 101), chemistry.open_circuit_soc, chemistry.open_circuit_v
    ).mean()
    dc_w = np.full((1, hours), current_a * mean_v)
    dc_w[:, off] = 0.0
    none = np.zeros((1, hours))
    outcome = dispatch(
        panel_w=none,
        dc_w=dc_w,
        ac_w=none,
        inverter_loss_w=none,
        chargers=Chargers(none, none, none),
        bank_temp_c=none + 25.0,
        designs=[Design(name, rated_ah, 12.0, 0, 30.0, floor_soc=0.0)],
        start_soc=1.0,
        ledger_hours=hours,
        soc_designs=1,
    )
    cut_h = outcome.first_cut_h[0, 0]
    given_ah = (1.0 - outcome.soc[0, :, 0]) * tank_total_ah(chemistry, rated_ah)
    return cut_h, given_ah


@pytest.mark.parametrize(
    ("name", "share"),
    # The voltage of a lithium bank falls below its cut-off within the last two percent.
    [("agm", 0.01), ("gel", 0.01), ("flooded", 0.01), ("lfp", 0.025)],
)
def test_twenty_hour_rate_delivers_the_rated_capacity(name, share):
    cut_h, given_ah = discharge(name, 5.0)
    assert given_ah[int(np.ceil(cut_h))] == pytest.approx(100.0, rel=share)
    assert cut_h == pytest.approx(20.0, rel=0.05)


def tank_share_delivered(name, hours):
    """Share of the 20-hour capacity that a constant current gives in `hours` (the closed form)."""
    chemistry = load_chemistry(name)
    c, k = chemistry.tank_share, chemistry.tank_rate_per_h
    emptied = 1.0 - np.exp(-k * hours)
    share = k * c * hours / (emptied + c * (k * hours - emptied))
    return share * tank_total_ah(chemistry, 1.0)


def hours_at(name, rate):
    """How long a current of `rate` times the rated capacity lasts, by bisection."""
    low, high = 1e-3, 100.0
    for _ in range(80):
        middle = 0.5 * (low + high)
        if tank_share_delivered(name, middle) > rate * middle:
            low = middle
        else:
            high = middle
    return low


@pytest.mark.parametrize(
    ("name", "exponent", "points"),
    [("agm", 1.10, 5.0), ("gel", 1.15, 5.0), ("flooded", 1.20, 5.0)],
)
@pytest.mark.parametrize("rate_h", [20.0, 10.0, 5.0, 3.0, 1.0])
def test_delivered_share_follows_peukert(name, exponent, points, rate_h):
    """Peukert in the form for a capacity given at 20 h: share = (20 I / C) ** (1 - n)."""
    rate = 1.0 / rate_h
    delivered = rate * hours_at(name, rate)
    peukert = (20.0 * rate) ** (1.0 - exponent)
    assert 100.0 * delivered == pytest.approx(100.0 * peukert, abs=points)


@pytest.mark.parametrize("rate_h", [10.0, 5.0, 3.0])
def test_simulated_agm_gives_less_at_higher_rates(rate_h):
    """Peukert with n = 1.10: 93 % at C/10, 87 % at C/5, 83 % at C/3; constant power adds some."""
    cut_h, given_ah = discharge("agm", 100.0 / rate_h)
    peukert_ah = 100.0 * (20.0 / rate_h) ** -0.10
    assert given_ah[int(np.ceil(cut_h))] == pytest.approx(peukert_ah, abs=5.0)


@pytest.mark.parametrize("name", LEAD)
def test_a_rest_brings_some_of_it_back(name):
    cut_h, given_ah = discharge(name, 25.0)
    first = int(np.ceil(cut_h))
    _, rested_ah = discharge(name, 25.0, off=slice(first, first + 12))
    # Self-discharge of the rest is 0.1 Ah at most.
    assert rested_ah[first + 12] == pytest.approx(given_ah[first], abs=0.15)
    assert rested_ah[first + 13] > given_ah[first] + 2.0
    assert rested_ah.max() <= tank_total_ah(load_chemistry(name), 100.0) + 1e-6


def test_lfp_hardly_knows_the_rate():
    assert hours_at("lfp", 0.5) * 0.5 > 0.97


@pytest.mark.parametrize("name", CHEMISTRY_NAMES)
def test_tanks_hold_a_little_more_than_the_rated_capacity(name):
    total_ah = tank_total_ah(load_chemistry(name), 100.0)
    assert 100.0 < total_ah < 116.0
    assert tank_total_ah(load_chemistry(name), 200.0) == pytest.approx(2.0 * total_ah)


def test_usable_energy_by_hand():
    """100 Ah of LFP at about 13 V down to 10 %, and half of an AGM at about 12.5 V."""
    lfp = usable_wh(Design("lfp", 100.0, 12.0, 0, 30.0, floor_soc=0.1))
    assert lfp == pytest.approx(0.9 * 100.0 * 13.0, rel=0.02)
    agm = usable_wh(Design("agm", 100.0, 12.0, 0, 30.0, floor_soc=0.5))
    assert agm == pytest.approx(0.5 * 100.0 * 12.5, rel=0.02)
    at_24_v = usable_wh(Design("lfp", 50.0, 24.0, 0, 30.0, floor_soc=0.1))
    assert at_24_v == pytest.approx(lfp)
