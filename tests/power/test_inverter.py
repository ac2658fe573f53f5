"""The inverter's loss curve goes through its datasheet, found by search, and its idle draw."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from solarsim.inputs.inverter import Inverter
from solarsim.power.demand_record import Demand
from solarsim.power.inverter import inverter_loss_w, loss_coefficients


def efficiency(inverter, power_w):
    a, b, c = loss_coefficients(inverter)
    return power_w / (power_w + a + b * power_w + c * power_w**2)


def peak(inverter):
    power_w = np.linspace(1.0, 3.0 * inverter.power_w, 200_001)
    curve = efficiency(inverter, power_w)
    at = int(np.argmax(curve))
    return power_w[at], curve[at]


def demand(ac_w, square_w2=None, on_share=1.0, hours=4):
    ac = np.full((1, hours), float(ac_w))
    none = np.zeros((1, hours))
    return Demand(
        dc_w=none,
        ac_w=ac,
        ac_square_w2=ac**2 if square_w2 is None else none + square_w2,
        ac_on_share=none + on_share,
        dc_peak_w=none,
        ac_peak_w=ac,
        wh_per_day={},
        cabin_temp_c=none,
    )


TYPICAL = [
    Inverter(power_w=2000.0, idle_w=12.0, peak_efficiency=0.94, full_load_efficiency=0.88),
    Inverter(power_w=3000.0, idle_w=20.0, peak_efficiency=0.93, full_load_efficiency=0.85),
    Inverter(power_w=1200.0, idle_w=8.0),
    Inverter(power_w=300.0, idle_w=1.0, peak_efficiency=0.92, full_load_efficiency=0.88),
    Inverter(power_w=1000.0, idle_w=0.0, peak_efficiency=0.95, full_load_efficiency=0.90),
]


@pytest.mark.parametrize("inverter", TYPICAL)
def test_curve_meets_peak_and_full_load_efficiency(inverter):
    _, b, _ = loss_coefficients(inverter)
    assert b > 0.0
    at_w, highest = peak(inverter)
    assert highest == pytest.approx(inverter.peak_efficiency, abs=2e-4)
    assert at_w < inverter.power_w
    full = efficiency(inverter, inverter.power_w)
    assert full == pytest.approx(inverter.full_load_efficiency, abs=1e-12)


@pytest.mark.parametrize(
    ("share", "lowest", "highest"), [(0.05, 0.60, 0.90), (0.1, 0.80, 0.94), (0.3, 0.88, 0.945)]
)
def test_part_load_lies_where_the_trade_sees_it(share, lowest, highest):
    """60 to 80 % at a twentieth of the load, 80 to 88 % at a tenth: common practice, no source.

    A datasheet with a good peak leads to somewhat more than that.
    """
    inverter = TYPICAL[0]
    assert lowest < efficiency(inverter, share * inverter.power_w) < highest


@given(
    power_w=st.floats(100.0, 5000.0),
    idle_share=st.floats(0.0, 0.05),
    peak_efficiency=st.floats(0.8, 0.99),
    drop=st.floats(0.0, 0.15),
)
def test_no_inverter_gives_more_than_it_takes(power_w, idle_share, peak_efficiency, drop):
    inverter = Inverter(
        power_w=power_w,
        idle_w=min(idle_share * power_w, 200.0),
        peak_efficiency=peak_efficiency,
        full_load_efficiency=peak_efficiency - drop,
    )
    at_full_w = power_w * (1.0 / inverter.full_load_efficiency - 1.0)
    assume(inverter.idle_w <= at_full_w)
    a, b, c = loss_coefficients(inverter)
    assert min(a, b, c) >= 0.0
    assert a + b * power_w + c * power_w**2 == pytest.approx(at_full_w, rel=1e-9)
    loads_w = np.linspace(1.0, power_w, 400)
    assert efficiency(inverter, loads_w).max() <= inverter.peak_efficiency + 1e-9


def test_large_idle_draw_keeps_the_full_load_figure():
    """15 W of 500 W: with a peak of 95 % the square root leaves nothing for the linear term."""
    inverter = Inverter(power_w=500.0, idle_w=15.0, peak_efficiency=0.95, full_load_efficiency=0.93)
    a, b, c = loss_coefficients(inverter)
    assert (a, b) == (15.0, 0.0)
    assert c > 0.0
    assert efficiency(inverter, 500.0) == pytest.approx(0.93)
    assert peak(inverter)[1] < 0.95


def test_idle_draw_above_all_loss_is_refused():
    inverter = Inverter(
        power_w=1200.0, idle_w=200.0, peak_efficiency=0.94, full_load_efficiency=0.88
    )
    with pytest.raises(ValueError, match=r"idle_w.*200.*163\.6"):
        loss_coefficients(inverter)


def test_always_on_draws_idle_all_day_and_else_while_something_runs():
    unplugged = np.zeros(4)
    for share in (0.0, 0.25, 1.0):
        off = Inverter(power_w=1000.0, idle_w=10.0, always_on=False)
        on = Inverter(power_w=1000.0, idle_w=10.0, always_on=True)
        quiet = demand(0.0, on_share=share)
        assert inverter_loss_w(off, quiet, unplugged).tolist() == [[10.0 * share] * 4]
        assert (inverter_loss_w(on, quiet, unplugged) == 10.0).all()


def test_a_short_heavy_load_loses_more_than_a_long_light_one():
    """1,800 W for 20 minutes against 600 W for the hour: the same energy."""
    inverter = TYPICAL[0]
    _, _, c = loss_coefficients(inverter)
    short = inverter_loss_w(inverter, demand(600.0, 1800.0**2 / 3.0, 1.0), np.zeros(4))
    long = inverter_loss_w(inverter, demand(600.0), np.zeros(4))
    assert (short - long)[0, 0] == pytest.approx(c * (1800.0**2 / 3.0 - 600.0**2))
    assert (short > long).all()


def test_loss_of_a_steady_load_is_that_of_the_curve():
    inverter = TYPICAL[2]
    loss = inverter_loss_w(inverter, demand(700.0), np.zeros(4))
    assert 700.0 / (700.0 + loss[0, 0]) == pytest.approx(efficiency(inverter, 700.0))


def test_nothing_is_lost_while_the_post_carries_the_loads():
    loss = inverter_loss_w(TYPICAL[2], demand(700.0), np.array([0.0, 0.5, 1.0, 1.0]))
    assert loss[0, 1] == pytest.approx(loss[0, 0] / 2.0)
    assert loss[0, 2:].tolist() == [0.0, 0.0]
