"""Driving and plugging in by plan, and what the post carries itself."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solarsim.inputs.calendar import standard_offset_h, stay_times
from solarsim.inputs.chargers import Alternator, Shore
from solarsim.inputs.files.van import read_van
from solarsim.inputs.stay import Stay
from solarsim.power.demand_record import Demand
from solarsim.power.sources import chargers_at, generator_offer, plan_share, plans

UTC = "Etc/UTC"


def chargers_of(alternator, shore, demand, times, timezone, *, absorption_v):
    driving, plugged = plans(alternator, shore, times, timezone)
    chargers = chargers_at(
        alternator, shore, demand, driving=driving, plugged=plugged, absorption_v=absorption_v
    )
    return chargers, plugged


def stamps(start="2026-06-01T17:00", hours=24 * 8, offset_h=0):
    zone = "UTC" if offset_h == 0 else f"Etc/GMT{-offset_h:+d}"
    return pd.date_range(pd.Timestamp(start, tz=zone), periods=hours, freq="h", unit="us")


def covered(times, timezone=UTC, **plan):
    """The hours that a plan covers, by local date and hour."""
    share = plan_share(times, timezone, **plan)
    local = times.tz_convert(timezone)
    return {
        (f"{stamp:%m-%d %H}"): float(part)
        for stamp, part in zip(local, share, strict=True)
        if part > 0.0
    }


def demand(ac_w, hours=24 * 8):
    none = np.zeros((1, hours))
    ac = np.broadcast_to(np.asarray(ac_w, dtype=float), (1, hours)).copy()
    return Demand(
        dc_w=none + 50.0,
        ac_w=ac,
        ac_square_w2=ac**2,
        ac_on_share=(ac > 0.0).astype(float),
        dc_peak_w=none + 50.0,
        ac_peak_w=ac,
        wh_per_day={},
        cabin_temp_c=none + 20.0,
    )


def test_ninety_minutes_from_ten_every_second_day():
    assert covered(stamps(), start_hour=10.0, duration_h=1.5, every_days=2) == {
        "06-03 10": 1.0,
        "06-03 11": 0.5,
        "06-05 10": 1.0,
        "06-05 11": 0.5,
        "06-07 10": 1.0,
        "06-07 11": 0.5,
        "06-09 10": 1.0,
        "06-09 11": 0.5,
    }


def test_a_start_within_an_hour_splits_it():
    got = covered(stamps(), start_hour=9.75, duration_h=1.5, every_days=7)
    assert got == {"06-08 09": 0.25, "06-08 10": 1.0, "06-08 11": 0.25}


def test_a_minute_within_one_hour():
    got = covered(stamps(), start_hour=9.5, duration_h=0.25, every_days=7)
    assert got == {"06-08 09": 0.25}


def test_past_midnight():
    got = covered(stamps(), start_hour=22.5, duration_h=3.0, every_days=3)
    one = {"06-04 22": 0.5, "06-04 23": 1.0, "06-05 00": 1.0, "06-05 01": 0.5}
    other = {"06-07 22": 0.5, "06-07 23": 1.0, "06-08 00": 1.0, "06-08 01": 0.5}
    assert got == one | other


def test_none_on_the_day_of_arrival():
    got = covered(stamps(), start_hour=20.0, duration_h=1.0, every_days=1)
    assert min(got) == "06-02 20"


def test_the_whole_day_every_day_is_all_but_the_first_night():
    share = plan_share(stamps(), UTC, start_hour=0.0, duration_h=24.0, every_days=1)
    assert share[:7].tolist() == [0.0] * 7
    assert share[7:].tolist() == [1.0] * (len(share) - 7)


def test_a_plan_follows_the_clock_across_a_change():
    """29 March 2026, 2:00 becomes 3:00 in Vienna: ten o'clock is nine by the stamps."""
    times = stamps("2026-03-27T17:00", hours=24 * 4, offset_h=1)
    share = plan_share(times, "Europe/Vienna", start_hour=10.0, duration_h=2.0, every_days=1)
    hours = [f"{stamp:%d %H}" for stamp, part in zip(times, share, strict=True) if part]
    assert hours == ["28 10", "28 11", "29 09", "29 10", "30 09", "30 10", "31 09", "31 10"]


@pytest.mark.parametrize(
    ("start", "lived_h"), [("2026-03-27T17:00", 3.0), ("2026-10-23T17:00", 5.0)]
)
def test_a_night_drive_loses_or_gains_the_hour_of_the_change(start, lived_h):
    """From 0:00 to 4:00 by the clock is three hours in spring and five in autumn."""
    times = stamps(start, hours=24 * 3, offset_h=1)
    share = plan_share(times, "Europe/Vienna", start_hour=0.0, duration_h=4.0, every_days=2)
    assert share.sum() == pytest.approx(lived_h)


@settings(max_examples=60, deadline=None)
@given(
    start_hour=st.floats(0.0, 23.99),
    duration_h=st.floats(0.0, 24.0),
    every_days=st.integers(1, 20),
    zone=st.sampled_from(["Etc/UTC", "Asia/Kathmandu", "America/Phoenix", "Australia/Adelaide"]),
)
def test_hours_add_up_wherever_the_clock_stays(start_hour, duration_h, every_days, zone):
    offset_h = standard_offset_h(zone, 2026)
    times = stay_times(Stay(month=7, days=30), zone, offset_h)
    share = plan_share(
        times, zone, start_hour=start_hour, duration_h=duration_h, every_days=every_days
    )
    assert share.min() >= 0.0
    assert share.max() <= 1.0
    local = times.tz_convert(zone)
    first = local[0].normalize()
    whole = [
        day
        for day in range(every_days, 31, every_days)
        if first + pd.Timedelta(days=day) + pd.Timedelta(hours=start_hour + duration_h) <= local[-1]
    ]
    least = duration_h * len(whole)
    assert least - 1e-6 <= share.sum() <= least + duration_h + 1e-6


def test_no_chargers_give_nothing():
    times = stamps()
    for shore in (None, Shore(charger_a=20.0)):
        chargers, share = chargers_of(None, shore, demand(100.0), times, UTC, absorption_v=14.2)
        assert chargers.alternator_a.sum() == chargers.shore_a.sum() == 0.0
        assert chargers.shore_ac_w.sum() == share.sum() == 0.0


def test_dc_dc_charger_is_derated_while_driving():
    alternator = Alternator(dcdc_a=40.0, drive_h=1.5, every_days=7, output_share=0.75)
    chargers, _ = chargers_of(alternator, None, demand(0.0), stamps(), UTC, absorption_v=14.2)
    given_a = chargers.alternator_a[0]
    assert given_a[given_a > 0.0].tolist() == [30.0, 15.0]


def test_shore_power_carries_the_ac_loads_and_charges_with_the_rest():
    """A post of 10 A at 230 V: 2,300 W less the loads, at 90 %, but never above the charger."""
    times = stamps()
    plan = {"plugged_h": 2.0, "every_days": 7, "start_hour": 18.0}
    shore = Shore(charger_a=100.0, breaker_a=10.0, mains_voltage_v=230.0, **plan)
    ac_w = np.zeros(len(times))
    plugged_at = np.flatnonzero(
        plan_share(times, UTC, start_hour=18.0, duration_h=2.0, every_days=7)
    )
    ac_w[plugged_at[0]] = 1500.0
    ac_w[plugged_at[0] - 3] = 700.0
    chargers, share = chargers_of(None, shore, demand(ac_w), times, UTC, absorption_v=14.2)
    assert np.flatnonzero(share).tolist() == plugged_at.tolist()
    assert chargers.shore_ac_w[0, plugged_at].tolist() == [1500.0, 0.0]
    assert chargers.shore_ac_w.sum() == 1500.0
    # What the post leaves is watts; the charger's own limit is amperes.
    assert chargers.shore_w[0, plugged_at].tolist() == pytest.approx([800.0 * 0.9, 0.0])
    assert chargers.shore_a[0, plugged_at].tolist() == [0.0, 100.0]
    assert chargers.shore_a.sum() == 100.0


def test_a_load_above_the_breaker_leaves_nothing_to_charge():
    shore = Shore(charger_a=20.0, breaker_a=6.0, plugged_h=24.0, mains_voltage_v=120.0)
    chargers, share = chargers_of(None, shore, demand(900.0), stamps(), UTC, absorption_v=14.2)
    assert chargers.shore_a.sum() == 0.0
    assert share.sum() > 0.0


def test_a_post_gives_no_more_than_its_breaker():
    """Loads carried and charging together stay within the breaker's rating."""
    shore = Shore(charger_a=200.0, breaker_a=6.0, plugged_h=24.0, mains_voltage_v=120.0)
    for ac_w in (0.0, 300.0, 720.0, 900.0):
        chargers, share = chargers_of(None, shore, demand(ac_w), stamps(), UTC, absorption_v=14.2)
        bank_w = chargers.shore_a * 14.2 + chargers.shore_w
        drawn_w = chargers.shore_ac_w + bank_w / shore.charger_efficiency
        assert drawn_w.max() <= 720.0 * share.max() + 1e-9


def test_half_an_hour_at_the_post_carries_half_of_the_load():
    shore = Shore(charger_a=20.0, plugged_h=0.5, every_days=7)
    chargers, share = chargers_of(None, shore, demand(100.0), stamps(), UTC, absorption_v=14.2)
    assert share.sum() == 0.5
    assert chargers.shore_ac_w.sum() == 50.0
    assert chargers.shore_a.sum() == 10.0


def test_a_breaker_s_limit_holds_at_the_socket():
    """15 A at 120 V are 1,800 W there, and 1,620 W at the bank through a charger of 90 %."""
    shore = Shore(charger_a=200.0, breaker_a=15.0, plugged_h=24.0, charger_efficiency=0.9)
    chargers, _ = chargers_of(None, shore, demand(0.0), stamps(), UTC, absorption_v=14.4)
    assert chargers.shore_w.max() == pytest.approx(1620.0)
    assert chargers.shore_a.max() == 0.0


def test_nobody_runs_a_generator_on_the_road_or_plugged_in():
    van = read_van("weekender", settings=["generator.power_w=1000", "generator.windows=[[0, 24]]"])
    times = stamps(hours=4)
    busy = np.array([0.0, 0.25, 1.0, 0.0])
    offer = generator_offer(van, times, UTC, busy=busy, absorption_v=14.2)
    np.testing.assert_allclose(offer.charging_a / offer.charging_a[0], 1.0 - busy)
    # Where its watts come near the charger's rating, they never pass its amperes.
    few = van.generator.model_copy(update={"power_w": 500.0, "charger_a": 40.0})
    offer = generator_offer(
        van.model_copy(update={"generator": few}), times, UTC, busy=busy, absorption_v=14.2
    )
    np.testing.assert_allclose(offer.charging_w, 450.0 * (1.0 - busy))
    np.testing.assert_allclose(offer.rated_a, 40.0 * (1.0 - busy))
    assert not offer.charging_a.any()


def test_a_post_near_the_charger_s_rating_is_held_to_it():
    """3.8 A at 120 V leave 410 W, 31 A at 13.2 V of a charger of 30."""
    shore = Shore(charger_a=30.0, breaker_a=3.8, mains_voltage_v=120.0, plugged_h=2.5, every_days=1)
    chargers, share = chargers_of(None, shore, demand(0.0), stamps(), UTC, absorption_v=14.2)
    np.testing.assert_allclose(chargers.shore_w[0], 410.4 * share)
    np.testing.assert_array_equal(chargers.shore_rated_a, 30.0 * share)
    strong = shore.model_copy(update={"breaker_a": 16.0})
    chargers, _ = chargers_of(None, strong, demand(0.0), stamps(), UTC, absorption_v=14.2)
    assert chargers.shore_rated_a is None
