"""AC energy within the hour as pulses: one load is met exactly, several in mean and mean square."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solarsim.inputs.inverter import Inverter
from solarsim.power.demand_record import Demand
from solarsim.power.inverter import inverter_loss_w, loss_coefficients, pulses_of


def demand(mean_w, square_w2, on_share):
    one = np.ones((1, 1))
    return Demand(
        dc_w=one,
        ac_w=one * mean_w,
        ac_square_w2=one * square_w2,
        ac_on_share=one * on_share,
        dc_peak_w=one,
        ac_peak_w=one,
        wh_per_day={},
        cabin_temp_c=one,
    )


@pytest.mark.parametrize("always_on", [False, True])
def test_a_hob_of_1800_w_for_20_minutes(always_on):
    inverter = Inverter(power_w=2000.0, idle_w=8.0, always_on=always_on)
    hob = demand(600.0, 1800.0**2 / 3.0, 1.0 / 3.0)
    pulses = pulses_of(inverter, hob, np.zeros(1))
    a, b, c = loss_coefficients(inverter)
    idle_w = 0.0 if always_on else a
    assert pulses.share[0, 0] == pytest.approx(1.0 / 3.0)
    assert pulses.power_w[0, 0] == pytest.approx(1800.0 + idle_w + b * 1800.0 + c * 1800.0**2)
    # On the post for half of the hour, the bank sees half of it.
    assert pulses_of(inverter, hob, np.array([0.5])).share[0, 0] == pytest.approx(1.0 / 6.0)


def test_without_ac_there_are_no_pulses():
    pulses = pulses_of(Inverter(power_w=2000.0), demand(0.0, 0.0, 0.0), np.zeros(1))
    assert pulses.power_w[0, 0] == 0.0
    assert pulses.share[0, 0] == 0.0


@given(
    powers_w=st.lists(st.floats(0.0, 3000.0), min_size=1, max_size=60),
    always_on=st.booleans(),
)
@settings(deadline=None)
def test_pulses_stay_within_the_hours_demand(powers_w, always_on):
    """Whatever the minutes are, the pulses take no more than AC load and loss together."""
    inverter = Inverter(power_w=2000.0, idle_w=8.0, always_on=always_on)
    minutes = np.array(powers_w)
    hour = demand(minutes.mean(), (minutes**2).mean(), (minutes > 0.0).mean())
    pulses = pulses_of(inverter, hour, np.zeros(1))
    loss_w = inverter_loss_w(inverter, hour, np.zeros(1))
    taken_w = pulses.power_w[0, 0] * pulses.share[0, 0]
    assert taken_w <= (hour.ac_w + loss_w)[0, 0] * (1.0 + 1e-9)
    assert 0.0 <= pulses.share[0, 0] <= 1.0 + 1e-12
