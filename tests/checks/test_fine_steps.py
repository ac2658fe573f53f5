"""The hourly model against the same days at one-minute steps, with loads as pulses and clouds.

Where in its hour a pulse falls is drawn, so that a single run differs from the hourly model to
either side; what is asked for is the mean of a few runs, and bounds on each.
"""

from __future__ import annotations

import numpy as np
import pytest

from solarsim.answers.question import ask
from solarsim.answers.simulation.run import simulate
from solarsim.data.accuracy.fine_steps import COMPARISONS
from solarsim.inputs.profile import profile_from_data
from solarsim.power.design import design_of
from solarsim.power.ledger import Term
from tests.checks.agree import assert_agrees, name_of
from tests.checks.minute_steps import compare

RUNS = 4
DAYS = 7
BANKS = {"LFP": ("100 Ah LFP", 3), "AGM": ("100 Ah AGM", 6)}
MONTHS = {"winter": 1, "summer": 7}

# Shares of the demand by which the mean of the runs may differ, and a run's largest difference of
# the state of charge.
STEADY_ENERGY = {"LFP": 0.005, "AGM": 0.01}
PULSED_ENERGY = {"LFP": 0.01, "AGM": 0.01}
PULSED_SOC_MEAN = 0.005
PULSED_SOC_WORST = 0.04
PULSED_CUT_SHARE = 0.01


@pytest.mark.parametrize("comparison", COMPARISONS, ids=name_of)
def test_without_sun(comparison):
    assert_agrees(comparison)


def cooking(**hob):
    """A hob of 1,800 W for 20 minutes, microwave, kettle and the van's steady loads."""
    hob = {"part": "induction hob", "power_w": 1800.0, "minutes_per_day": 20.0} | hob
    appliances = [
        {"part": "compressor fridge 90 L"},
        {"windows": [[18, 19]]} | hob,
        {"part": "microwave, 700 W of heat", "windows": [[12, 13]]},
        {"part": "kettle", "windows": [[7, 8], [15, 16]]},
        {"part": "water pump"},
        {"part": "laptop"},
        {"part": "LED lights, dimmable"},
        {"part": "roof fan"},
        {"part": "diesel heater 2 kW"},
    ]
    cabin = {"people": 2, "heater_set_point_c": 19.0, "night_set_point_c": 14.0}
    data = {"profile": {"name": "cooking"}, "cabin": cabin, "appliances": appliances}
    return profile_from_data(data, source="cooking.toml")


def question(bank, season, profile, *, units=None, runs=20):
    part, usual = BANKS[bank]
    return ask(
        "weekender",
        profile=profile,
        month=MONTHS[season],
        days=DAYS,
        runs=runs,
        seed=3,
        settings=[
            f'battery.part="{part}"',
            f"battery.units={units or usual}",
            "panels.count=4",
            "controller.max_output_a=60",
            "inverter.power_w=2000",
            "inverter.surge_w=4000",
        ],
    )


def report(capsys, label, compared):
    energy = np.mean([one.differences for one in compared], axis=0)
    worst = int(np.argmax(np.abs(energy)))
    soc = np.concatenate([one.soc_differences for one in compared])
    cut_h = [one.hourly_cut_h - one.fine_cut_h for one in compared]
    with capsys.disabled():
        print(
            f"\n{label}: {Term(worst).name.lower()} {energy[worst]:+.2%} of the demand, SOC "
            f"{soc.mean():+.2%} in the mean, {soc[np.argmax(np.abs(soc))]:+.2%} at most, "
            f"cut-off {np.mean(cut_h):+.2f} h in the mean, {max(cut_h, key=abs):+.2f} h at most"
        )
    return energy, soc, np.array(cut_h)


@pytest.mark.one_plain
@pytest.mark.parametrize("season", MONTHS)
@pytest.mark.parametrize(
    "bank",
    [pytest.param(b, marks=[pytest.mark.slow] if b != "AGM" else []) for b in BANKS],
)
def test_steady_hours_differ_by_the_step_alone(capsys, bank, season):
    """Without AC pulses, and steady within the hour."""
    asked = question(bank, season, "weekend-couple", units=2 if bank == "LFP" else 4)
    compared = compare(asked, runs=2, within_hour=False)
    energy, soc, cut_h = report(capsys, f"steady {bank} {season}", compared)
    assert np.abs(energy).max() < STEADY_ENERGY[bank]
    assert np.abs(soc).max() < 0.005
    assert np.abs(cut_h).max() < 0.2


@pytest.mark.slow
@pytest.mark.parametrize("season", MONTHS)
@pytest.mark.parametrize("bank", BANKS)
def test_pulses_and_clouds(capsys, bank, season):
    compared = compare(question(bank, season, cooking()), runs=RUNS)
    energy, soc, cut_h = report(capsys, f"pulses {bank} {season}", compared)
    assert np.abs(energy).max() < PULSED_ENERGY[bank]
    assert abs(soc.mean()) < PULSED_SOC_MEAN
    assert np.abs(soc).max() < PULSED_SOC_WORST
    if season == "winter":
        # All are cut off within the week: the comparison of the hours means something.
        assert max(one.fine_cut_h for one in compared) < 24.0 * DAYS
        hours = np.mean([one.fine_cut_h for one in compared])
        assert abs(cut_h.mean()) < PULSED_CUT_SHARE * hours
    else:
        assert np.abs(cut_h).max() == 0.0


@pytest.mark.slow
def test_a_pulse_that_trips_the_bank_is_found_where_the_hourly_model_sails_on():
    """100 Ah of LFP give 100 A; the hob takes 160 A for 20 minutes, a mean of 55 A."""
    asked = question("LFP", "summer", cooking(), units=1)
    simulation = simulate(asked, [design_of(asked.van)])
    peaks = simulation.conditions.peaks.alone
    compared = compare(asked, runs=3)
    for run, one in enumerate(compared):
        # The first evening: arrival at 17:00, the hob from 18:00 on.
        assert one.fine_cut_h < 2.0 < one.hourly_cut_h
        assert peaks.first_h[run] == np.floor(one.fine_cut_h)
