"""The kernel against its readable twin, by-hand sums, and what a bank must do."""

from __future__ import annotations

import os
import subprocess
import sys

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solarsim.power.chemistry import (
    CHEMISTRY_NAMES,
    charging_voltage_v,
    load_chemistry,
)
from solarsim.power.design import Design, reconnect_at, usable_wh
from solarsim.power.dispatch import Chargers, dispatch
from solarsim.power.inverter import Pulses
from solarsim.power.ledger import Term, ledger_residual
from tests.power.against_twin import held_to_twin

HOURS = 96
NO_COMPILER = {"NUMBA_DISABLE_JIT": "1"}


def scenario(seed, runs=3, hours=HOURS, cold=False, power=1.0):
    rng = np.random.default_rng(seed)
    clock = np.arange(hours) % 24
    sun = np.clip(np.sin((clock - 6) / 12 * np.pi), 0, None)
    zero = np.zeros((1, hours))
    ac_on = rng.random((runs, hours)) < 0.1
    return {
        "panel_w": 180 * sun * rng.random((runs, hours)),
        "dc_w": power * 80 * rng.random((runs, hours)),
        "ac_w": power * 400 * ac_on,
        "inverter_loss_w": 8 * rng.random((1, hours)),
        "pulses": Pulses(power * 400 * ac_on, 0.9 * ac_on),
        "other_solar_w": 60 * sun * rng.random((runs, hours)),
        "other_solar_a": 3.0 * sun * rng.random((1, hours)),
        "other_clipped_w": np.full((1, hours), 5.0),
        "chargers": Chargers(
            25.0 * (rng.random((1, hours)) < 0.08), 20.0 * (rng.random((runs, hours)) < 0.05), zero
        ),
        "bank_temp_c": np.full((1, hours), -3.0) + 12 * rng.random((runs, hours))
        if cold
        else np.full((1, hours), 22.0),
    }


def design(chemistry="lfp", **changes):
    values = {
        "chemistry": chemistry,
        "capacity_ah": 100.0,
        "system_voltage_v": 12.0,
        "panel_count": 2,
        "controller_max_a": 15.0,
        "floor_soc": load_chemistry(chemistry).floor_soc,
    }
    return Design(**values | changes)


def compare_with_twin(chemistry, *, cold, hours, ledger_hours, every=1):
    """Compare kernel and twin, and return how many banks were cut off, of how many."""
    designs = [
        design(
            chemistry,
            capacity_ah=80.0 * (1 + 4 * (i % 4)),
            panel_count=i % 3,
            heater_w=20.0 * (i % 2),
            pwm=i % 5 == 2,
            # From never clipped to clipped on every bright hour.
            controller_max_a=5.0 * (1 + i % 7),
        )
        for i in range(17)
    ] + [design(chemistry, system_voltage_v=24.0, floor_soc=0.3)]
    designs = designs[::every]
    case = scenario(7, hours=hours, cold=cold, power=0.8)
    got = held_to_twin(case, designs, start_soc=0.8, ledger_hours=ledger_hours)
    cut = int((got.first_cut_h < hours).sum())
    return cut, 3 * len(designs)


@pytest.mark.one_plain
@pytest.mark.parametrize("chemistry", CHEMISTRY_NAMES)
@pytest.mark.parametrize("cold", [False, True])
def test_kernel_equals_its_readable_twin(chemistry, cold):
    cut, banks = compare_with_twin(chemistry, cold=cold, hours=HOURS, ledger_hours=72)
    # The comparison is worth something only if cut-offs, and banks that last, both occur.
    assert 0 < cut < banks


@pytest.mark.slow
def test_kernel_equals_its_twin_also_without_the_compiler():
    code = (
        "import sys\n"
        "from tests.power.test_dispatch import compare_with_twin\n"
        "cut, banks = compare_with_twin('agm', cold=True, hours=30, ledger_hours=26, every=5)\n"
        "assert 0 < cut < banks\n"
        "assert not {'numba', 'llvmlite'} & {*sys.modules}\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True, env=os.environ | NO_COMPILER)


@given(
    seed=st.integers(0, 10_000),
    chemistry=st.sampled_from(CHEMISTRY_NAMES),
    capacity_ah=st.floats(20, 2000),
    panels=st.integers(0, 12),
    floor=st.floats(0, 0.9),
    start=st.floats(0, 1),
    power=st.floats(0, 8),
    cold=st.booleans(),
)
@settings(max_examples=120, deadline=None)
def test_ledger_closes_and_soc_stays_in_bounds(
    seed, chemistry, capacity_ah, panels, floor, start, power, cold
):
    one = design(
        chemistry, capacity_ah=capacity_ah, panel_count=panels, floor_soc=floor, heater_w=15.0
    )
    got = dispatch(
        **scenario(seed, cold=cold, power=power),
        designs=[one],
        start_soc=start,
        ledger_hours=HOURS,
        soc_designs=1,
    )
    assert ledger_residual(got.ledger_wh).max() < 1e-9
    assert got.soc.min() >= 0.0
    assert got.soc.max() <= 1.0
    # Every term but the change in store is energy of one direction.
    one_way = np.delete(got.ledger_wh, Term.STORED_CHANGE, axis=1)
    assert one_way.min() >= -1e-6
    assert (got.first_cut_h >= 0).all()
    assert (got.first_cut_h <= HOURS).all()


@given(seed=st.integers(0, 10_000), chemistry=st.sampled_from(CHEMISTRY_NAMES))
@settings(max_examples=60, deadline=None)
def test_more_panel_never_means_fewer_days(seed, chemistry):
    designs = [design(chemistry, panel_count=n, controller_max_a=200.0) for n in range(7)]
    got = dispatch(**scenario(seed, power=2.0), designs=designs, start_soc=1.0, ledger_hours=HOURS)
    assert (np.diff(got.first_cut_h, axis=1) >= -1e-9).all()


@given(seed=st.integers(0, 10_000), chemistry=st.sampled_from(CHEMISTRY_NAMES))
@settings(max_examples=60, deadline=None)
def test_a_larger_bank_never_means_fewer_days(seed, chemistry):
    designs = [design(chemistry, capacity_ah=100.0 * n) for n in range(1, 7)]
    got = dispatch(**scenario(seed, power=2.0), designs=designs, start_soc=1.0, ledger_hours=HOURS)
    assert (np.diff(got.first_cut_h, axis=1) >= -1e-9).all()


def flat(hours, **changes):
    zero = np.zeros((1, hours))
    values = {
        "panel_w": zero,
        "dc_w": zero,
        "ac_w": zero,
        "inverter_loss_w": zero,
        "chargers": Chargers(zero, zero, zero),
        "bank_temp_c": np.full((1, hours), 25.0),
    }
    return values | changes


def test_without_losses_the_answer_is_a_sum_by_hand(monkeypatch):
    """A bank of 12.8 V with nothing lost: 1,280 Wh at 64 W last 20 hours exactly."""
    import dataclasses

    from solarsim.power import design as design_module

    ideal = dataclasses.replace(
        load_chemistry("lfp"),
        open_circuit_soc=np.array([0.0, 1.0]),
        open_circuit_v=np.array([12.8, 12.8]),
        discharge_ohm_ah=1e-9,
        charge_ohm_ah=1e-9,
        coulombic_soc=np.array([0.0, 1.0]),
        coulombic_share=np.array([1.0, 1.0]),
        tank_share=1.0 - 1e-12,
        self_discharge_share_per_month=0.0,
        floor_soc=0.0,
        charge_c_rate=10.0,
    )
    monkeypatch.setattr(design_module, "load_chemistry", lambda _name: ideal)
    hours = 48
    sun = np.zeros((1, hours))
    sun[0, 4:6] = 164.0
    got = dispatch(
        **flat(hours, panel_w=sun, dc_w=np.full((1, hours), 64.0)),
        designs=[design(floor_soc=0.0, panel_count=1, controller_max_a=100.0)],
        start_soc=1.0,
        ledger_hours=hours,
    )
    # 1,280 Wh in the bank and 2 x 164 Wh of sun, at 64 W.
    assert got.first_cut_h[0, 0] == pytest.approx((1280 + 328) / 64, abs=1e-6)
    ledger = got.ledger_wh[0, :, 0]
    assert ledger[Term.SOLAR_USED] == pytest.approx(328, abs=1e-6)
    assert ledger[Term.LOAD_DC] == pytest.approx(1608, abs=1e-4)
    assert ledger[Term.UNSERVED] == pytest.approx(64 * hours - 1608, abs=1e-4)
    assert ledger[Term.BATTERY_LOSS] == pytest.approx(0, abs=1e-6)


def test_usable_energy_agrees_with_a_slow_discharge():
    one = design()
    hours = 100
    got = dispatch(
        **flat(hours, dc_w=np.full((1, hours), 20.0)),
        designs=[one],
        start_soc=1.0,
        ledger_hours=hours,
    )
    assert got.ledger_wh[0, Term.LOAD_DC, 0] == pytest.approx(usable_wh(one), rel=0.02)


def test_frozen_lithium_refuses_charge_and_a_heated_one_takes_it():
    hours = 6
    case = flat(hours, panel_w=np.full((1, hours), 50.0), bank_temp_c=np.full((1, hours), -5.0))
    got = dispatch(
        **case,
        designs=[design(panel_count=1), design(panel_count=1, heater_w=20.0)],
        start_soc=0.5,
        ledger_hours=hours,
        soc_designs=2,
    )
    assert got.ledger_wh[0, Term.SOLAR_REFUSED_COLD, 0] == pytest.approx(300)
    assert got.soc[0, -1, 0] <= 0.5
    assert got.soc[0, -1, 1] > 0.6
    assert got.ledger_wh[0, Term.BATTERY_LOSS, 1] > 20.0 * hours


@pytest.mark.parametrize(("temp_c", "warms"), [(4.9, True), (5.1, False)])
def test_a_bank_warms_itself_below_five_degrees(temp_c, warms):
    """Common practice, no source."""
    loss_wh = [
        dispatch(
            **flat(6, panel_w=np.full((1, 6), 50.0), bank_temp_c=np.full((1, 6), temp_c)),
            designs=[design(panel_count=1, heater_w=heater_w)],
            start_soc=0.5,
            ledger_hours=6,
        ).ledger_wh[0, Term.BATTERY_LOSS, 0]
        for heater_w in (0.0, 20.0)
    ]
    assert (loss_wh[1] - loss_wh[0] > 100.0) == warms


def test_a_floor_set_by_hand_reconnects_a_tenth_above_it():
    """Common practice, no source; a chemistry's own floor has a level of its own."""
    assert reconnect_at(design(floor_soc=0.5), 25.0) == pytest.approx(0.6)
    assert reconnect_at(design(floor_soc=0.95), 25.0) == pytest.approx(1.0)
    own = load_chemistry("lfp")
    assert reconnect_at(design(), 25.0) == pytest.approx(own.reconnect_soc)


def test_the_controller_clips_and_a_full_bank_refuses():
    hours = 5
    got = dispatch(
        **flat(hours, panel_w=np.full((1, hours), 400.0)),
        designs=[design(panel_count=1, controller_max_a=10.0)],
        start_soc=0.9,
        ledger_hours=hours,
    )
    ledger = got.ledger_wh[0, :, 0]
    assert ledger[Term.SOLAR_CLIPPED] == pytest.approx(hours * (400 - 10 * 13.9), rel=0.03)
    assert ledger[Term.SOLAR_REFUSED_FULL] > 400


@pytest.mark.parametrize("limit_a", [6.0, 200.0])
def test_two_halves_of_an_array_on_controllers_of_their_own_equal_the_whole(limit_a):
    """At its limit a controller beside hands on amperes, as the van's own does."""
    case = scenario(3) | dict.fromkeys(("other_solar_w", "other_solar_a", "other_clipped_w"))
    common = {"start_soc": 0.6, "ledger_hours": HOURS, "soc_designs": 1}
    whole = dispatch(
        **case, designs=[design(panel_count=2, controller_max_a=2.0 * limit_a)], **common
    )
    half_w = case["panel_w"]
    most_w = limit_a * charging_voltage_v(load_chemistry("lfp"), 12.0)
    at_limit = half_w > most_w
    beside = {
        "other_solar_w": np.where(at_limit, 0.0, half_w),
        "other_solar_a": np.where(at_limit, limit_a, 0.0),
        "other_clipped_w": np.where(at_limit, half_w - most_w, 0.0),
    }
    halves = dispatch(
        **case | beside,
        designs=[design(panel_count=1, controller_max_a=limit_a)],
        **common,
    )
    clips = bool(at_limit.any())
    assert clips == (limit_a == 6.0)
    # Which hours are at the limit is told at one voltage, and their clipped watts with it.
    demand_wh = whole.ledger_wh[:, [Term.LOAD_DC, Term.LOAD_AC, Term.UNSERVED]].sum(axis=1)
    off = np.abs(halves.ledger_wh - whole.ledger_wh) / demand_wh[:, np.newaxis]
    assert off.max() < (0.01 if clips else 1e-9)
    np.testing.assert_allclose(halves.soc, whole.soc, atol=0.01 if clips else 1e-9)
    np.testing.assert_allclose(halves.first_cut_h, whole.first_cut_h, rtol=0.005 if clips else 1e-9)


def test_a_run_does_not_depend_on_the_runs_beside_it():
    """Alone, in any company and beside other designs, a run gives the very same numbers."""
    case = scenario(5, runs=37, cold=True)
    designs = [design(capacity_ah=60.0 * n, heater_w=20.0 * (n % 2)) for n in range(1, 6)]
    common = {"start_soc": 0.7, "ledger_hours": 72, "soc_designs": 5}
    together = dispatch(**case, designs=designs, **common)

    def part(value, runs):
        if isinstance(value, Chargers | Pulses):
            given = (array for array in vars(value).values() if array is not None)
            return type(value)(*(part(array, runs) for array in given))
        return value if len(value) == 1 else value[runs]

    for runs in (slice(0, 1), slice(16, 33), slice(20, 37)):
        some = {name: part(value, runs) for name, value in case.items()}
        for chosen in (slice(0, 5), slice(2, 3)):
            got = dispatch(**some, designs=designs[chosen], **common | {"soc_designs": 1})
            np.testing.assert_array_equal(got.ledger_wh, together.ledger_wh[runs, :, chosen])
            np.testing.assert_array_equal(got.first_cut_h, together.first_cut_h[runs, chosen])
            np.testing.assert_array_equal(got.depletion_days, together.depletion_days[runs, chosen])
            np.testing.assert_array_equal(got.soc[:, :, 0], together.soc[runs, :, chosen.start])


def test_the_bank_reconnects_at_its_level_and_not_before():
    hours = 24
    sun = np.zeros((1, hours))
    sun[0, 2:] = 60.0
    got = dispatch(
        **flat(hours, panel_w=sun, dc_w=np.full((1, hours), 30.0)),
        designs=[design(panel_count=1)],
        start_soc=0.105,
        ledger_hours=hours,
        soc_designs=1,
    )
    assert got.first_cut_h[0, 0] < 1.0
    soc = got.soc[0, :, 0]
    # 60 W refill 100 Ah by about 4.6 % an hour while cut off, by half of it once reconnected.
    rise = np.diff(soc)
    assert rise[3] == pytest.approx(0.047, abs=0.003)
    assert rise[8] == pytest.approx(0.0235, abs=0.003)
    assert soc[np.flatnonzero(rise < 0.03)[2] :].min() > 0.2


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"dc_w": np.full((1, 4), np.nan)}, "not finite"),
        ({"dc_w": np.full((1, 4), -1.0)}, "negative"),
        ({"ac_w": np.zeros((1, 5))}, "shape"),
    ],
)
def test_bad_arrays_are_refused(changes, message):
    with pytest.raises(ValueError, match=message):
        dispatch(**flat(4, **changes), designs=[design()], start_soc=1.0, ledger_hours=4)


@pytest.mark.parametrize("variant", [-1, 1])
def test_a_design_without_a_panel_series_is_refused(variant):
    """The machine code would read beside the array."""
    with pytest.raises(ValueError, match=r"panel_variant -?1 must lie in 0..0"):
        dispatch(**flat(4), designs=[design(panel_variant=variant)], start_soc=1.0, ledger_hours=4)


def test_hours_of_another_number_than_the_kernel_s_are_refused(monkeypatch):
    monkeypatch.setattr("solarsim.power.dispatch.SERIES", 14)
    with pytest.raises(ValueError, match="takes 14 series of hours; got 13"):
        dispatch(**flat(4), designs=[design()], start_soc=1.0, ledger_hours=4)
