"""The bank that lasts: monotone in its size, the smallest that does, and honest when none does."""

from __future__ import annotations

import itertools

import pytest

from solarsim.answers.bank import bank, recommend
from solarsim.answers.bank_sizes import (
    FIRST_STRINGS,
    MAX_STRINGS,
    candidate_units,
    discharge_limit_w,
)
from solarsim.answers.by_hand import autonomy
from solarsim.answers.cautions import bank_stops
from solarsim.answers.question import ask
from solarsim.answers.stay import stay
from solarsim.errors import InputError
from solarsim.inputs.percent import percent
from solarsim.inputs.profile import profile_from_data
from solarsim.power.design import design_of, usable_wh

RUNS = 40


def lamp(**fields):
    return profile_from_data(
        {"profile": {"name": "lamp"}, "appliances": [{"name": "lamp"} | fields]}, source="x"
    )


@pytest.mark.parametrize(
    ("van", "asked"),
    [
        ("weekender", {}),
        ("weekender", {"month": 11, "settings": ["battery.chemistry=agm"]}),
        ("weekender", {"month": 12, "days": 30}),
        ("long-stayer", {"month": 1}),
        ("weekender", {"month": 2, "settings": ["stay.start_soc=0.6"], "profile": "ski-trip"}),
    ],
)
def test_more_bank_never_lasts_shorter_and_the_smallest_is_taken(van, asked):
    question = ask(van, runs=RUNS, **asked)
    answer = bank(question)
    for smaller, larger in itertools.pairwise(answer.options):
        assert larger.units > smaller.units
        assert larger.capacity_ah > smaller.capacity_ah
        assert larger.usable_wh > smaller.usable_wh
        assert larger.chance_lasts >= smaller.chance_lasts
        for name in ("p10", "p50", "p90", "mean"):
            assert getattr(larger.days, name) >= getattr(smaller.days, name) - 1e-9
    enough = [o for o in answer.options if o.chance_lasts >= question.van.stay.target_chance]
    assert answer.recommended.units == enough[0].units
    assert answer.recommended.chance == enough[0].chance_lasts
    assert answer.recommended.capacity_ah == enough[0].capacity_ah
    assert answer.remedies == ()


@pytest.mark.parametrize("target", [0.05, 0.5, 0.9, 0.99])
def test_a_higher_target_takes_no_smaller_bank(target):
    answers = [
        bank(ask(runs=RUNS, settings=[f"stay.target_chance={share}"]))
        for share in (target, min(target + 0.009, 0.999))
    ]
    assert answers[0].recommended.units <= answers[1].recommended.units
    assert answers[0].recommended.chance >= target


def test_the_recommended_bank_lasts_when_it_is_fitted():
    advised = bank(ask(runs=RUNS)).recommended
    fitted = stay(ask(runs=RUNS, settings=[f"battery.units={advised.units}"]))
    assert fitted.chance_lasts == advised.chance
    smaller = stay(ask(runs=RUNS, settings=[f"battery.units={advised.units - 1}"]))
    assert smaller.chance_lasts < 0.9


def test_the_van_s_own_units_play_no_part():
    one, many = (bank(ask(runs=20, settings=[f"battery.units={n}"])) for n in (1, 12))
    assert one.recommended == many.recommended
    assert one.options == many.options


def test_units_come_in_whole_strings():
    van = ask(settings=["battery.unit_voltage_v=6", "battery.units=4"]).van
    assert candidate_units(van, 1, 4) == [2, 4, 6, 8]
    assert all(
        option.units % 2 == 0
        for option in bank(
            ask(runs=20, settings=["battery.unit_voltage_v=6", "battery.units=4"])
        ).options
    )


def test_larger_banks_are_looked_at_only_where_the_first_do_not_do():
    usual = bank(ask(runs=20))
    assert len(usual.options) == FIRST_STRINGS
    long = bank(ask(runs=20, month=12, days=60))
    assert len(long.options) == MAX_STRINGS
    assert long.recommended.units > FIRST_STRINGS


# --- no bank does ---


@pytest.fixture(scope="module")
def hopeless():
    return bank(ask(runs=RUNS, month=12, settings=["stay.start_soc=0"]))


def test_an_unreachable_target_says_so(hopeless):
    advised = hopeless.recommended
    assert advised.units is None
    assert advised.capacity_ah is None
    assert advised.chance < 0.9
    assert f"no bank up to {MAX_STRINGS} units" in advised.reason
    assert "90 %" in advised.reason
    assert hopeless.remedies
    of_stay = stay(ask(runs=RUNS, month=12, settings=["stay.start_soc=0"])).recommended
    assert of_stay == advised


@pytest.mark.slow
def test_remedies_do_what_they_say():
    settings = ["panels.count=1"]
    answer = bank(ask(runs=RUNS, month=11, days=120, settings=settings))
    assert answer.recommended.units is None
    panels = [line for line in answer.remedies if "panels instead of 1" in line]
    driving = [line for line in answer.remedies if "more driving" in line]
    assert panels or driving
    if panels:
        count, units = int(panels[0].split()[0]), int(panels[0].split(" and ")[1].split()[0])
        fitted = [f"panels.count={count}", f"battery.units={units}"]
        fitted.append(f"controller.max_output_a={30 * count}")
        assert stay(ask(runs=RUNS, month=11, days=120, settings=fitted)).chance_lasts >= 0.9
    if driving:
        hours, units = float(driving[0].split()[0]), int(driving[0].split(" and ")[1].split()[0])
        driven = [*settings, f"alternator.drive_h={hours}", f"battery.units={units}"]
        assert stay(ask(runs=RUNS, month=11, days=120, settings=driven)).chance_lasts >= 0.9


def test_a_load_beyond_any_bank_is_refused():
    for fields, words in (
        ({"power_w": 20000.0, "count": 10, "hours_per_day": 24.0}, "Wh a day"),
        ({"power_w": 20000.0, "count": 10, "minutes_per_day": 1.0}, "at once"),
    ):
        for answer in (bank, stay):
            with pytest.raises(InputError, match="no bank can carry it") as caught:
                answer(ask(runs=5, profile=lamp(**fields)))
            assert words in caught.value.message


def test_a_heavy_load_that_a_large_bank_carries_is_only_warned_about():
    heavy = lamp(power_w=4000.0, minutes_per_day=5.0)
    answer = stay(ask(runs=10, month=7, profile=heavy))
    assert any("'lamp'" in line and "4,000 W" in line for line in answer.warnings)
    assert discharge_limit_w(design_of(ask().van)) == 2400.0


# --- by hand ---


def test_by_hand_capacity_is_the_standard_s_chain():
    """100 Ah a day, 5 days, depth and end of life 0.8, 10 C, margin 1.1: 818 Ah.

    IEEE 1013-2007 clause 6 (formula from memory) with KT 1.19 at 50 F of IEEE 485 Table 1.
    """
    hand = autonomy(
        load_wh_per_day=1200.0,
        system_voltage_v=12.0,
        capacity_ah=400.0,
        chemistry="agm",
        floor_soc=0.2,
        bank_temp_c=10.0,
        days=5,
    )
    assert hand.required_ah == pytest.approx(500.0 / 0.8 * 1.19 * 1.1, rel=1e-3)
    assert hand.days == pytest.approx(400.0 * 0.8 / 1.19 / 100.0, rel=1e-3)


def test_by_hand_agrees_with_a_simulation_without_sun():
    """Without panels the simulated days are the by-hand days, within a tenth."""
    answer = bank(ask(runs=20, settings=["panels.count=0"], days=14))
    chosen = next(o for o in answer.options if o.units == answer.recommended.units)
    assert chosen.days.p50 == pytest.approx(answer.by_hand.days, rel=0.1)


def test_by_hand_without_load_has_no_end():
    hand = autonomy(
        load_wh_per_day=0.0,
        system_voltage_v=12.0,
        capacity_ah=100.0,
        chemistry="lfp",
        floor_soc=0.1,
        bank_temp_c=25.0,
        days=5,
    )
    assert hand.days == float("inf")
    assert hand.required_ah == 0.0


def test_usable_energy_scales_with_the_bank():
    van = ask().van
    one, four = (usable_wh(design_of(van, units=count)) for count in (1, 4))
    assert four == pytest.approx(4.0 * one)


def test_the_reason_names_the_next_smaller_bank():
    question = ask(runs=RUNS)
    answer = bank(question)
    advised = recommend(question, answer.options)
    assert advised == answer.recommended
    assert f"lasts 7 days in {percent(advised.chance)} of runs (target 90 %)" in advised.reason
    before = answer.options[[o.units for o in answer.options].index(advised.units) - 1]
    assert f"in {percent(before.chance_lasts)}" in advised.reason


def test_a_bank_of_many_strings_is_said_to_be_one():
    many = bank(ask(place="Tromso", month=12, days=9, runs=3))
    assert many.recommended.units > 4
    assert "more than 4 strings in parallel" in many.recommended.reason
    few = bank(ask(month=7, runs=3))
    assert "strings in parallel" not in few.recommended.reason


def test_a_bank_with_energy_enough_that_may_not_be_built_is_passed_over():
    """One unit holds the summer week, but not the inverter's current."""
    asked = ask("long-stayer", month=6, days=3, runs=3, profile="weekend-couple")
    found = bank(asked).recommended
    assert found.units > 1
    assert "; 1 unit would last as well; the electrical check stops it" in found.reason
    assert "the inverter at its full 3,000 W" in found.reason
    stops = {count: bank_stops(asked, count) for count in range(1, found.units + 1)}
    assert [count for count, said in stops.items() if not said] == [found.units]
    enough = bank(ask(month=1, days=5, runs=3))
    assert enough.recommended.units > 1
    assert "electrical check" not in enough.recommended.reason


def test_a_bank_that_arrives_empty_is_the_cause_and_not_the_panels():
    empty = bank(ask(month=1, runs=10, settings=["stay.start_soc=0.05"]))
    assert empty.recommended.units is None
    assert "arrives with the bank at 5 %, where it is cut off (10 %)" in empty.recommended.reason
    assert "more panel" not in empty.recommended.reason
    (remedy,) = empty.remedies
    full = bank(ask(month=1, runs=10))
    assert remedy.startswith(f"arriving with a full bank, of {full.recommended.units} units")
    some = bank(ask(month=12, place="Tromso", days=25, runs=3, settings=["stay.start_soc=0.2"]))
    assert some.recommended.units is None
    assert "more panel" in some.recommended.reason


def test_cold_is_named_where_it_keeps_the_sun_out():
    """Lithium outside in a continental winter takes no charge, however many panels there are."""
    settings = ["battery.location=outside", "battery.units=1"]
    asked = ask(place="Fairbanks, AK, US", month=3, days=30, runs=5, settings=settings)
    reason = bank(asked).recommended.reason
    assert "too cold to take" in reason
    assert "a bank in the heated space or one that heats itself comes first" in reason
    warm = bank(ask(month=12, days=90, runs=5, settings=["panels.count=0"])).recommended
    assert warm.units is None
    assert "cold" not in warm.reason


def test_a_bank_s_stops_are_those_of_the_whole_check():
    """A fuse that cannot break a larger bank's short circuit is a fault of these units."""
    weak = ["battery.short_circuit_a=3000", "wiring.bank_inverter={fuse_interrupts_a=6000}"]
    for units in (2, 4):
        question = ask(runs=2, settings=[*weak, f"battery.units={units}"])
        assert bank_stops(question, 2) == ()
        assert [said[:22] for said in bank_stops(question, 4)] == ["the fuse breaks 6,000 "]
    # Panels that do not fit are no fault of any bank.
    assert bank_stops(ask(runs=2, settings=["panels.count=9"]), 2) == ()
