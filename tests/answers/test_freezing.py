"""Where the bank's acid freezes: the hours looked at, the share of runs, the words."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from solarsim.answers.bank import bank as bank_answer
from solarsim.answers.freezing import (
    find_freezing,
    freezing_warnings,
    join_freezing,
    too_cold_share,
    too_cold_warnings,
)
from solarsim.answers.question import ask
from solarsim.answers.simulation.run import simulate
from solarsim.answers.stay import stay
from solarsim.inputs.percent import percent
from solarsim.power.design import Design, design_of
from solarsim.power.freezing import freezing_point_c

TIMES = pd.date_range("2026-01-12", periods=48, freq="h", tz="Etc/GMT-1")
COLD = {
    "place": (64.0, 129.0),
    "month": 1,
    "days": 5,
    "runs": 40,
}
FROZEN = ['battery.part="100 Ah AGM"', "battery.location=outside", "stay.start_soc=0.15"]


def bank(chemistry="agm"):
    return Design(chemistry, 100.0, 12.0, 1, 30.0, floor_soc=0.0)


def two_runs(second_c=-30.0):
    """Half full, which freezes at -25.2 C: one run at -10 C, one as cold as `second_c` once."""
    temp_c = np.full((2, 48), -10.0)
    temp_c[1, 30] = second_c
    return find_freezing(bank(), np.full((2, 49), 0.5), temp_c)


def test_the_coldest_hour_of_each_run_is_found():
    found = two_runs()
    assert found.hour[1] == 30
    assert found.temp_c.tolist() == [-10.0, -30.0]
    assert found.margin_k == pytest.approx(found.temp_c - float(freezing_point_c(0.5)))
    assert found.share == 0.5


@pytest.mark.parametrize(("second_c", "share"), [(-23.1, 0.0), (-23.3, 0.5)])
def test_two_kelvin_above_the_freezing_point_count(second_c, share):
    """-25.2 C by hand: 1.1925 lies 0.85 of the way from 1.150 (-15 C) to 1.200 (-27 C)."""
    assert float(freezing_point_c(0.5)) == pytest.approx(-15.0 - 0.85 * 12.0)
    assert two_runs(second_c).share == share


def test_an_emptier_end_of_the_hour_counts():
    soc = np.full((1, 49), 0.9)
    soc[0, 10] = 0.1
    found = find_freezing(bank(), soc, np.full((1, 48), -10.0))
    assert found.hour[0] in (9, 10)
    assert found.soc[0] == 0.1


def test_lithium_has_no_acid():
    found = find_freezing(bank("lfp"), np.zeros((2, 49)), np.full((1, 48), -50.0))
    assert found.share == 0.0
    assert freezing_warnings(found, TIMES, "Etc/GMT-1") == ()


def test_the_warning_names_hour_charge_and_share():
    (line,) = freezing_warnings(two_runs(), TIMES, "Etc/GMT-1")
    assert "50 % of runs, nearest on 13 January at 06:00" in line
    assert "the bank is at -30 C and 50 % full, and such acid freezes at -25 C" in line
    assert "from memory" in line


def test_fewer_than_one_run_in_a_hundred_are_not_said():
    calm = two_runs(-10.0)
    rare = join_freezing([two_runs(), *[calm] * 100])
    assert 0.0 < rare.share < 0.01
    assert freezing_warnings(rare, TIMES, "Etc/GMT-1") == ()
    assert freezing_warnings(join_freezing([two_runs(), *[calm] * 40]), TIMES, "Etc/GMT-1")


def test_stay_warns_of_a_bank_that_freezes():
    """A siberian January, a bank outside that arrives all but empty."""
    question = ask("weekender", settings=FROZEN, **COLD)
    answer = stay(question)
    (line,) = (said for said in answer.warnings if "acid freezes or comes" in said)
    assert "100 % of runs" in line
    simulation = simulate(question, [design_of(question.van)])
    found = simulation.conditions.freezing
    assert found.margin_k.shape == (40,)
    assert (found.margin_k < 0.0).all()
    assert any("bank" in said and "bursts its cells" in said for said in answer.warnings)


@pytest.mark.parametrize(
    "settings", [["battery.location=outside"], ['battery.part="100 Ah AGM"']], ids=str
)
def test_lithium_and_a_heated_bank_get_no_such_warning(settings):
    answer = stay(ask("weekender", settings=settings, **COLD))
    assert not any("acid" in said for said in answer.warnings)


def test_lithium_outside_below_20_c_of_frost_is_cut_off_at_once():
    answer = stay(ask("weekender", settings=["battery.location=outside"], **COLD))
    assert answer.conditions.bank_temp_c < -21.0
    assert answer.days.p90 < 1.0
    assert answer.cold_usable_wh == 0.0 < answer.usable_wh
    (line,) = (said for said in answer.warnings if "lithium gives nothing so cold" in said)
    assert f"below -20 C in {percent(answer.conditions.too_cold_share)} of the hours" in line


def test_bank_says_that_lithium_is_too_cold_before_it_looks_for_more():
    question = ask("weekender", settings=["battery.location=outside"], **COLD)
    answer = bank_answer(question)
    assert answer.recommended.units is None
    assert "keep it inside the heated space" in answer.remedies[0]
    assert answer.by_hand.days == 0.0


def test_hours_too_cold_are_counted():
    """Two hours of four below -20 C; a lead-acid bank still gives a little."""
    temp_c = np.array([[-19.0, -20.0, -21.0, -30.0]])
    assert too_cold_share(bank("lfp"), temp_c) == 0.5
    assert too_cold_share(bank("agm"), temp_c) == 0.0
    assert too_cold_warnings(0.009) == ()
