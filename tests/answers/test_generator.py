"""A van with a generator: longer stays, its fuel, its cautions, and what is said of it."""

from __future__ import annotations

import io

import pytest
from rich.console import Console

from solarsim.answers.generator import GENERATOR_CAUTION, generator_notes, generator_warnings
from solarsim.answers.question import ask
from solarsim.answers.stay import stay
from solarsim.errors import InputError
from solarsim.inputs.files.van import read_van
from solarsim.inputs.van import Battery
from solarsim.power.chemistry import CHEMISTRY_NAMES, load_chemistry
from solarsim.present.stay.documents import stay_document
from solarsim.present.stay.text import print_stay
from solarsim.present.words import charging_text

ONE = ["generator.power_w=1000"]


@pytest.fixture(scope="module")
def answers():
    return [stay(ask("weekender", month=12, runs=60, settings=one)) for one in ([], ONE)]


def test_it_lasts_longer_and_its_energy_is_in_the_ledger(answers):
    without, beside = answers
    assert beside.days.p50 > without.days.p50
    assert beside.ledger_wh_per_day["generator"] > 0.0
    assert "generator" not in without.ledger_wh_per_day
    assert "generator" not in stay_document(without)["ledger_wh_per_day"]
    assert "generator" in stay_document(beside)["ledger_wh_per_day"]


def test_its_fuel_is_what_its_socket_gave(answers):
    (petrol,) = answers[1].fuel.fuels
    socket_kwh = answers[1].ledger_wh_per_day["generator"] / 0.9 / 1000.0
    assert petrol.kind == "petrol"
    assert petrol.uses_per_day["generator"] == pytest.approx(0.6 * socket_kwh)
    assert answers[1].fuel.not_counted == ("heat", "hot_water", "cooking")


def test_a_generator_and_a_heater_share_one_tank():
    settings = [*ONE, "generator.fuel=diesel", "fuel.heat=diesel", "fuel.diesel_tank_l=20"]
    (diesel,) = stay(ask("weekender", month=12, runs=20, settings=settings)).fuel.fuels
    assert set(diesel.uses_per_day) == {"heat", "generator"}
    assert diesel.lasts_days is not None


def test_it_is_said_wherever_charging_is_and_its_exhaust_is_warned_of(answers):
    out = io.StringIO()
    print_stay(answers[1], Console(file=out, width=400))
    text = out.getvalue()
    assert "with a generator from 9 to 11 and 17 to 19" in text
    assert "on its own" not in text
    assert GENERATOR_CAUTION in answers[1].warnings
    assert GENERATOR_CAUTION not in answers[0].warnings
    assert charging_text(read_van("weekender")) == "on its own"
    assert generator_notes(read_van("weekender")) == ()
    assert any("stops it at 90 %" in note for note in answers[1].notes)


@pytest.mark.parametrize(
    ("windows", "quiet"),
    [("[[9, 11]]", True), ("[[21, 23]]", False), ("[[5, 8]]", False), ("[[23, 1]]", False)],
)
def test_quiet_hours_are_told(windows, quiet):
    van = read_van("weekender", settings=[*ONE, f"generator.windows={windows}"])
    assert (len(generator_warnings(van)) == 1) is quiet


@pytest.mark.parametrize(
    ("settings", "said"),
    [
        (["generator.power_w=10"], "generator.power_w"),
        ([*ONE, "generator.start_soc=0.05"], "above the bank's floor"),
        ([*ONE, "generator.start_soc=0.95"], "below generator.stop_soc"),
        ([*ONE, "generator.windows=[[9, 9]]"], "is empty"),
        ([*ONE, "shore.charger_a=0"], "generator.charger_a is needed"),
        ([*ONE, "generator.fuel=wood"], "generator.fuel"),
    ],
)
def test_what_cannot_be_is_refused(settings, said):
    with pytest.raises(InputError, match=said):
        read_van("weekender", settings=settings)


def test_usual_floors_are_those_of_the_chemistries():
    for name in CHEMISTRY_NAMES:
        bank = Battery(chemistry=name, unit_capacity_ah=100.0)
        assert bank.cut_soc == load_chemistry(name).floor_soc


def test_a_small_generator_gives_its_watts_and_one_of_its_own_charger_its_amperes():
    small = stay(ask("weekender", month=12, runs=10, settings=["generator.power_w=150"]))
    large = stay(ask("weekender", month=12, runs=10, settings=[*ONE, "generator.charger_a=60"]))
    assert 0.0 < small.ledger_wh_per_day["generator"] < 4.0 * 150.0 * 0.9
    assert large.days.p50 >= small.days.p50
