"""When a file's light is worth a word: spoilt hours on either side of the stated limits."""

from __future__ import annotations

import numpy as np
import pytest

from tests.weather.readers.tables_by_hand import csv_text, frame


@pytest.fixture(scope="module")
def june(greensboro):
    return frame(greensboro, "06-01", "06-20")


def some_of(table, share):
    """Rows of the sunny hours, so large a share of them and spread evenly."""
    sunny = np.flatnonzero(table["ghi"] > 50.0)
    count = np.floor(np.arange(len(sunny) + 1) * share)
    return sunny[np.diff(count) > 0.0]


# Typical years as published have 1 to 6 % of such hours, an hour's error of the clock gives 15 %
# and more (said beside the limit): 4 % is no finding, 20 % is one.
@pytest.mark.parametrize(("share", "told"), [(0.04, False), (0.2, True)])
def test_light_above_the_clear_sky_is_told_from_a_tenth_of_the_hours(read, june, share, told):
    # No clear sky of 36 degrees north brings 1,083 W/m2, of which 1,300 W/m2 are 1.2 times.
    bright = june.copy()
    bright.loc[some_of(june, share), "ghi"] = 1300.0
    series = read(csv_text(bright), "log.csv")
    found = [finding for finding in series.quality.findings if "above the clear sky" in finding]
    assert bool(found) is told, series.quality.above_clear_share


# Long and Dutton's 8 % (BSRN, 2002) is missed here by half of the GHI; the share of such hours that
# is worth a word, a fifth, is the house's own.
@pytest.mark.parametrize(("share", "told"), [(0.1, False), (0.4, True)])
def test_parts_that_do_not_add_up_are_told_from_a_fifth_of_the_hours(read, june, share, told):
    open_ = june.copy()
    open_.loc[some_of(june, share), ["dni", "dhi"]] *= 0.5
    series = read(csv_text(open_), "log.csv")
    found = [finding for finding in series.quality.findings if "DHI + DNI" in finding]
    assert 1.0 - series.quality.closure_share == pytest.approx(share, abs=0.05)
    assert bool(found) is told
