import numpy as np
import pytest

from solarsim.weather.sky.season import (
    at_days,
    declination_rad,
    equation_of_time_h,
    keep_month_means,
    sunset_angle_rad,
)

DAYS = np.arange(1, 366)
MONTH_OF_DAY = np.repeat(np.arange(12), [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
UNEVEN = np.array([2.0, 5.0, 3.0, 8.0, 9.0, 4.0, 4.0, 7.0, 1.0, 2.0, 6.0, 3.0])


def month_means(daily, weights):
    return np.array(
        [
            np.average(daily[m == MONTH_OF_DAY], weights=weights[m == MONTH_OF_DAY])
            for m in range(12)
        ]
    )


def test_lines_keep_the_means_of_the_months():
    daily = at_days(keep_month_means(UNEVEN), DAYS)
    assert month_means(daily, np.ones(365)) == pytest.approx(UNEVEN, abs=1e-12)


def test_lines_keep_weighted_means_of_the_months():
    weights = 2.0 + np.sin(DAYS / 30.0)
    daily = at_days(keep_month_means(UNEVEN, weights), DAYS)
    assert month_means(daily, weights) == pytest.approx(UNEVEN, abs=1e-12)
    assert month_means(daily, np.ones(365)) != pytest.approx(UNEVEN, abs=1e-3)


def test_days_run_straight_between_the_middles_and_over_the_new_year():
    daily = at_days(UNEVEN, DAYS)
    assert daily.min() >= UNEVEN.min()
    assert daily.max() <= UNEVEN.max()
    # No day departs from its neighbour by more than the steepest line allows.
    around = np.append(daily, daily[0])
    assert np.abs(np.diff(around)).max() <= 6.0 / 29.5 + 1e-12
    # 31 December and 1 January lie half-way between the middles of December and January.
    assert daily[-1] == pytest.approx(2.5, abs=0.02)


def test_leap_day_does_not_break_the_year():
    assert at_days(UNEVEN, np.array([366]))[0] == pytest.approx(at_days(UNEVEN, np.array([1]))[0])


def test_rows_of_quantiles_are_interpolated_alike():
    table = np.stack([UNEVEN, 2.0 * UNEVEN], axis=1)
    both = at_days(table, DAYS)
    assert both[:, 0] == pytest.approx(at_days(UNEVEN, DAYS))
    assert both[:, 1] == pytest.approx(2.0 * both[:, 0])


@pytest.mark.parametrize(
    ("day", "degrees"),
    # The solstices, the March equinox, and NREL's solar position report for 17 October 2003.
    [(172, 23.44), (355, -23.44), (79, 0.0), (290, -9.314)],
)
def test_declination_of_known_days(day, degrees):
    # The leap cycle moves a date by up to 0.16 degrees.
    assert np.degrees(declination_rad(np.array([day])))[0] == pytest.approx(degrees, abs=0.16)


@pytest.mark.parametrize(
    ("day", "minutes"),
    # NREL's report for 17 October 2003; the year's extremes in mid-February and early November and
    # the zero of mid-April, from memory.
    [(290, 14.64), (42, -14.2), (307, 16.4), (105, 0.0)],
)
def test_equation_of_time_of_known_days(day, minutes):
    assert 60.0 * equation_of_time_h(np.array([day]))[0] == pytest.approx(minutes, abs=0.3)


def test_sunset_of_the_worked_examples():
    # Rabl: 31 N at a declination of -13.46.
    sunset = sunset_angle_rad(31.0, np.radians(np.array([-13.46])))
    assert np.degrees(sunset)[0] == pytest.approx(81.7, abs=0.05)
    # Duffie and Beckman, example 1.6.3: 87.74.
    sunset = sunset_angle_rad(43.0, np.radians(np.array([-2.42])))
    assert np.degrees(sunset)[0] == pytest.approx(87.74, abs=0.01)


def test_polar_night_and_day_have_an_end_value():
    decl = declination_rad(np.array([1, 182]))
    assert sunset_angle_rad(70.0, decl).tolist() == [0.0, np.pi]
    assert sunset_angle_rad(-70.0, decl).tolist() == [np.pi, 0.0]
