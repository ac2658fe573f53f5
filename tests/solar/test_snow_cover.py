import datetime as dt

import numpy as np
import pandas as pd
import pytest
from pvlib import snow

from solarsim.errors import InputError
from solarsim.solar.snow_cover import BRUSH_HOUR, COVER_MM, THAW_HOURS, snow_cover


def covered(snowfall_mm, temp_air_c, *, poa_w_m2=0.0, tilt_deg=0.0, brush_snow="never", start=0):
    fall = np.atleast_2d(np.asarray(snowfall_mm, dtype=float))
    zone = dt.timezone(dt.timedelta(hours=1))
    first = dt.datetime(2026, 1, 10, start, tzinfo=zone)
    return snow_cover(
        snowfall_mm=fall,
        temp_air_c=np.broadcast_to(np.asarray(temp_air_c, dtype=float), fall.shape),
        poa_w_m2=np.broadcast_to(np.asarray(poa_w_m2, dtype=float), fall.shape),
        times=pd.date_range(first, periods=fall.shape[1], freq="h"),
        tilt_deg=tilt_deg,
        brush_snow=brush_snow,
    )


def snow_at(hours, at, amount_mm):
    fall = np.zeros(hours)
    fall[at] = amount_mm
    return fall


def test_flat_panel_never_sheds_in_frost():
    share = covered(snow_at(400, 5, 2.0), -1.0, poa_w_m2=300.0)
    assert (share[0, :5] == 0.0).all()
    assert (share[0, 5:] == 1.0).all()


def test_flurries_gather_to_a_cover():
    share = covered(np.full(6, COVER_MM / 4), -5.0)[0]
    np.testing.assert_array_equal(share, [0.0, 0.0, 0.0, 1.0, 1.0, 1.0])


def test_thaw_clears_after_some_warm_hours_on_end():
    air = np.full(30, -3.0)
    # Three are too few, and four are enough: common practice, no source.
    air[10:13] = 5.0
    air[20:] = 5.0
    share = covered(snow_at(30, 2, 3.0), air)[0]
    assert (share[2:23] == 1.0).all()
    assert (share[23:] == 0.0).all()


# Common practice, no source: at 1 C what melts by day freezes again, at 3 C snow goes.
@pytest.mark.parametrize(("temp_air_c", "left"), [(1.0, 1.0), (3.0, 0.0)])
def test_a_thaw_is_warmer_than_two_degrees(temp_air_c, left):
    share = covered(snow_at(24, 2, 3.0), np.where(np.arange(24) < 6, -3.0, temp_air_c))[0]
    assert (share[2:6] == 1.0).all()
    assert share[-1] == left


def test_brushing_in_the_morning_until_it_snows_again():
    fall = snow_at(72, 20, 2.0) + snow_at(72, 24 + 14, 2.0)
    never = covered(fall, -5.0)[0]
    share = covered(fall, -5.0, brush_snow="morning")[0]
    assert (never[20:] == 1.0).all()
    expected = np.zeros(72)
    expected[20 : 24 + BRUSH_HOUR] = 1.0
    expected[24 + 14 : 48 + BRUSH_HOUR] = 1.0
    np.testing.assert_array_equal(share, expected)


def test_snow_of_the_brushing_hour_itself_stays():
    share = covered(snow_at(24, BRUSH_HOUR, 2.0), -5.0, brush_snow="morning")[0]
    assert share[BRUSH_HOUR] == 1.0


@pytest.mark.parametrize("tilt_deg", [10.0, 45.0, 70.0])
def test_slides_hour_by_hour(tilt_deg):
    # Marion et al. (2013): 0.197 sin(tilt) of the slant height an hour.
    share = covered(snow_at(12, 1, 5.0), -1.0, poa_w_m2=400.0, tilt_deg=tilt_deg)[0]
    hours = np.arange(11)
    slid = 1.0 - 0.197 * np.sin(np.radians(tilt_deg)) * hours
    np.testing.assert_allclose(share[1:], np.maximum(slid, 0.0), atol=1e-9)


def test_too_cold_for_the_light_does_not_slide():
    share = covered(snow_at(12, 1, 5.0), -6.0, poa_w_m2=400.0, tilt_deg=45.0)[0]
    assert (share[1:] == 1.0).all()


# pvlib 0.16 asks pandas 3.1 for a frequency in the old way.
@pytest.mark.filterwarnings("ignore:A future version of pandas will return a BaseOffset")
def test_sliding_equals_pvlib_through_two_winter_weeks():
    generator = np.random.default_rng(2)
    hours = 14 * 24
    # All below the thaw, and each fall covers at once, so that only sliding is left to differ.
    air = generator.uniform(-8.0, 1.5, hours)
    poa = np.maximum(generator.uniform(-300.0, 600.0, hours), 0.0)
    fall_mm = np.where(generator.random(hours) < 0.03, 2.0, 0.0)
    fall_mm[0] = 0.0
    times = pd.date_range("2026-01-10", periods=hours, freq="h", tz="Etc/GMT-1")
    expected = snow.coverage_nrel(
        pd.Series(fall_mm, index=times),
        pd.Series(poa, index=times),
        pd.Series(air, index=times),
        35.0,
        threshold_snowfall=1.0,
    )
    share = covered(fall_mm, air, poa_w_m2=poa, tilt_deg=35.0)[0]
    assert (share > 0.0).mean() > 0.2
    np.testing.assert_allclose(share, expected.to_numpy(), atol=1e-9)


def test_runs_do_not_touch_each_other():
    falls = np.stack([snow_at(48, 30, 2.0), np.zeros(48), snow_at(48, 3, 2.0)])
    together = covered(falls, -3.0)
    for row in range(3):
        np.testing.assert_array_equal(together[row], covered(falls[row], -3.0)[0])
    assert (together[1] == 0.0).all()


def test_unknown_habit_is_refused():
    with pytest.raises(InputError, match="'morning' and 'never'"):
        covered(np.zeros(4), 0.0, brush_snow="evening")


def test_the_compiled_loop_equals_a_loop_over_arrays():
    """The same rules hour by hour over all runs at once."""
    random = np.random.default_rng(2)
    shape = (12, 300)
    fall = np.where(random.random(shape) < 0.06, random.exponential(0.6, shape), 0.0)
    fall[3] = 0.0
    air = np.cumsum(random.normal(0.0, 0.7, shape), axis=1) % 14.0 - 9.0
    poa = np.maximum(random.normal(60.0, 200.0, shape), 0.0)
    got = covered(fall, air, poa_w_m2=poa, tilt_deg=25.0, brush_snow="morning", start=3)
    slide_share = 0.197 * np.sin(np.radians(25.0))
    share, gathered_mm, warm_h = np.zeros((3, shape[0]))
    kinds = np.zeros(4)
    for hour in range(shape[1]):
        warm_h = np.where(air[:, hour] > 2.0, warm_h + 1, 0)
        clear = (warm_h >= THAW_HOURS) | ((hour + 3) % 24 == BRUSH_HOUR)
        share, gathered_mm = (np.where(clear, 0.0, each) for each in (share, gathered_mm))
        slides = air[:, hour] > -poa[:, hour] / 80.0
        share = np.where(slides, np.maximum(share - slide_share, 0.0), share)
        gathered_mm = gathered_mm + fall[:, hour]
        fresh = gathered_mm >= COVER_MM
        share, gathered_mm = np.where(fresh, 1.0, share), np.where(fresh, 0.0, gathered_mm)
        np.testing.assert_allclose(got[:, hour], share, rtol=0.0, atol=1e-12)
        kinds += [fresh.sum(), clear.sum(), slides.sum(), ((share > 0.0) & (share < 1.0)).sum()]
    # The comparison is worth something only if all of it occurs.
    assert (kinds > 20).all()
