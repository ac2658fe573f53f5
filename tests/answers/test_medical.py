"""A device that someone's health depends on: what is safe, and that every answer says it."""

from __future__ import annotations

import dataclasses
import datetime as dt
import io

import numpy as np
import pytest
from matplotlib.figure import Figure
from rich.console import Console

import solarsim
from solarsim.answers.bank import bank
from solarsim.answers.levers import levers
from solarsim.answers.medical import medical_of
from solarsim.answers.question import ask
from solarsim.answers.seasons import seasons
from solarsim.answers.sheet.ways import ways_of_living
from solarsim.answers.simulation.run import simulate
from solarsim.answers.simulation.summary import DaysUnplugged, days_unplugged
from solarsim.answers.stay import stay
from solarsim.answers.trip.trip import trip
from solarsim.errors import InputError
from solarsim.inputs.files.van import read_van
from solarsim.inputs.profile import Profile
from solarsim.inputs.trip import Stop, Trip
from solarsim.power.design import design_of
from solarsim.present.compare.charts import seasons_figure
from solarsim.present.compare.text import levers_headline, print_seasons, seasons_headline
from solarsim.present.stay.charts import draw_bands
from solarsim.present.stay.text import print_stay
from solarsim.present.trip.charts import trip_figure
from solarsim.present.trip.documents import trip_document
from solarsim.present.trip.text import print_trip
from solarsim.present.trip.words import picture_words, trip_headline
from solarsim.present.words import days_text, headline, whole_days_text

DEVICE = "breathing device"


def profile(*more, medical=(DEVICE,)):
    return Profile.build("Sleeper", [DEVICE, "compressor fridge 65 L", *more], medical=medical)


def test_one_in_a_hundred_is_told_from_three_hundred_runs_on():
    # 0.99^300 is 0.049: with fewer, none that fails says nothing of one in a hundred.
    question = ask("weekender", profile=profile(), days=2, runs=300)
    simulation = simulate(question, [design_of(question.van)])
    days = days_unplugged(simulation, 0)
    by_hand = np.percentile(simulation.outcome.first_cut_h[:, 0] / 24.0, 1)
    assert days.p1 == pytest.approx(by_hand)
    assert days.p1 <= days.p10
    few = question.replace(runs=299)
    assert days_unplugged(simulate(few, [design_of(few.van)]), 0).p1 is None


@pytest.mark.parametrize(
    ("p1", "safe"), [(7.0, True), (30.0, True), (6.99, False), (0.0, False), (None, None)]
)
def test_safe_is_what_the_worst_of_a_hundred_reaches(p1, safe):
    days = DaysUnplugged(9.0, 12.0, 20.0, 13.0, 30, p1)
    assert medical_of([DEVICE], days, 7).safe is safe
    assert medical_of([], days, 7) is None


@pytest.mark.parametrize(
    ("days", "runs", "safe", "said"),
    [
        (1, 300, True, "99 times in a hundred"),
        (14, 300, False, "NOT SAFE for those who depend on the breathing device"),
        (1, 20, None, "NOT SHOWN TO BE SAFE"),
    ],
)
def test_a_stay_says_whether_it_is_safe(days, runs, safe, said):
    answer = stay(ask("weekender", profile=profile(), days=days, runs=runs))
    # Before any other figure.
    assert said in headline(answer).partition(". ")[0]
    assert "(9 stays in 10)" not in headline(answer)
    assert any("never rely on this alone" in warning for warning in answer.warnings)
    assert said in repr(answer).replace("\n", " ")
    document = answer.to_dict()["medical"]
    assert list(document["devices"]) == [DEVICE]
    assert document["safe"] is safe


@pytest.mark.slow
def test_each_answer_leads_with_the_worst_of_a_hundred():
    question = ask("weekender", profile=profile(), days=7, runs=300)
    answer = stay(question)
    p1 = answer.to_dict()["days_unplugged"]["p1"]
    assert p1 == pytest.approx(answer.days.p1)
    least = days_text(p1, 30)
    assert headline(answer).startswith("NOT SAFE for those who depend on the breathing device")
    assert f"no longer than {least}. Count on {whole_days_text(p1, 30)} in January (99 stays" in (
        headline(answer)
    )
    assert f"P1 {least}, P10" in printed(print_stay, answer)
    held = [option for option in bank(question).to_dict()["banks"] if option["units"] == 2]
    assert held[0]["p1"] == pytest.approx(p1)
    changes = levers(question.replace(runs=300))
    assert f"count on {whole_days_text(p1, 30)} in January (99 stays" in levers_headline(changes)


def test_a_year_leads_with_the_worst_of_a_hundred():
    answer = seasons(ask("weekender", profile=profile(), days=1, runs=20))
    assert "what 99 runs in 100 reach is not known" in seasons_headline(answer)
    assert "P90" not in printed(print_seasons, answer)
    p1 = answer.months[0].days.p10 / 2
    months = [
        dataclasses.replace(month, days=dataclasses.replace(month.days, p1=p1))
        for month in answer.months
    ]
    told = dataclasses.replace(answer, months=tuple(months))
    assert f"reach is {days_text(p1, 30)}; the van lasts" in seasons_headline(told)
    assert told.to_dict()["months"][0]["p1"] == pytest.approx(p1)


def printed(show, answer):
    console = Console(width=200, record=True, file=io.StringIO())
    show(answer, console)
    return " ".join(console.export_text().split())


def test_nobody_else_hears_of_it():
    answer = stay(ask("weekender", days=1, runs=20))
    assert answer.medical is None
    assert "depend" not in headline(answer)


def test_a_bank_for_them_holds_ninety_nine_times_in_a_hundred():
    question = ask("weekender", profile=profile(), days=3, runs=60)
    assert question.van.stay.target_chance == 0.99
    assert any("target chance 99 %" in note for note in question.notes)
    answer = bank(question)
    assert answer.recommended.chance >= 0.99
    assert "never rely on this alone" in " ".join(answer.to_dict()["warnings"])
    higher = ask("weekender", profile=profile(), settings=["stay.target_chance=0.999"])
    assert higher.van.stay.target_chance == 0.999
    others = question.replace(profile="light")
    assert not any("health" in note for note in others.notes)


@pytest.mark.slow
def test_no_change_takes_the_device_away():
    answer = levers(ask("weekender", profile=profile(), days=3, runs=20))
    (skipped,) = [one for one in answer.levers if one.name == f"without: {DEVICE}"]
    assert skipped.skipped == "someone's health depends on it"


def test_no_sheet_leaves_out_a_device_that_the_van_cannot_run():
    van = read_van("weekender")
    heavy = profile({"part": "kettle", "name": "dialysis", "power_w": 5000.0}, medical=["dialysis"])
    with pytest.raises(InputError, match="'dialysis', which this van cannot run"):
        ways_of_living(van.model_copy(update={"inverter": None}), typical=heavy)


def test_a_profile_says_it_on_its_card():
    assert "never rely on this alone" in repr(profile())
    assert solarsim.Profile.build("x", ["laptop"]).medical == ()


def test_a_sheet_for_them_needs_runs_enough():
    with pytest.raises(InputError, match="how long is safe for them takes 300 runs or more"):
        solarsim.sheet("weekender", typical=profile(), runs=4)


@pytest.mark.slow
def test_whiskers_of_the_months_begin_at_one_in_a_hundred():
    answer = seasons(ask("weekender", profile=profile(), days=2, runs=300))
    figure = seasons_figure(answer)
    whiskers = next(trace for trace in figure.data if trace.type == "scatter")
    begins = np.array(whiskers.y) - np.array(whiskers.error_y.arrayminus)
    assert begins == pytest.approx([month.days.p1 for month in answer.months])
    assert any(month.days.p1 < month.days.p10 for month in answer.months)
    titles = [note.text for note in figure.layout.annotations]
    assert "Days unplugged: P1 to P90, dot at P50" in titles
    few = seasons_figure(seasons(ask("weekender", profile=profile(), days=2, runs=20)))
    # What is not known has no whisker.
    unknown = next(trace for trace in few.data if trace.type == "scatter")
    assert not any(unknown.error_y.arrayminus)


@pytest.fixture(scope="module")
def trips():
    """A trip with the device aboard, and one without."""
    stops = Trip(stops=(Stop(place="Salzburg, AT", arrive=dt.date(2026, 1, 10), nights=7),))
    asked = ask("weekender", profile=profile(), runs=300), ask("weekender", runs=20)
    return [trip(one, stops, with_changes=False) for one in asked]


def test_a_trip_s_picture_reaches_to_what_99_in_100_keep(trips):
    answer, other = trips
    label = "down to what 99 in 100 runs keep"
    figure = trip_figure(answer)
    (band,) = (trace for trace in figure.data if trace.name == label)
    np.testing.assert_array_equal(band.y, 100.0 * answer.soc.p1)
    assert (answer.soc.p1 <= answer.soc.p10).all()
    assert (answer.soc.p1 < answer.soc.p10).any()
    assert trip_document(answer)["soc"]["p1"] == answer.soc.p1.tolist()
    assert "99 in 100 runs keep" in picture_words(answer)
    for one, told in ((answer, True), (other, False)):
        axes = Figure().subplots()
        draw_bands(axes, one.soc, one.soc.times.to_numpy())
        assert (label in axes.get_legend_handles_labels()[1]) is told
    assert label not in [trace.name for trace in trip_figure(other).data]
    assert "p1" not in trip_document(other)["soc"]
    assert "99 in 100" not in picture_words(other)


def test_a_trip_leads_with_the_worst_of_a_hundred(trips):
    answer, other = trips
    assert answer.medical == medical_of([DEVICE], answer.days, 7)
    assert answer.days.p1 < answer.days.p10
    least = days_text(answer.days.p1, answer.days.follow_days)
    said = trip_headline(answer)
    assert said.startswith(f"NOT SAFE for those who depend on the {DEVICE}: one time in a hundred")
    assert least in said.partition("The van")[0]
    (stop,) = answer.stops
    assert stop.soc_lowest.p1 <= stop.soc_lowest.p10
    document = trip_document(answer)["stops"][0]
    assert document["soc_lowest"]["p1"] == stop.soc_lowest.p1
    console = Console(record=True, width=200, file=io.StringIO())
    print_trip(answer, console)
    assert "99 runs in 100" in console.export_text()
    assert other.medical is None
    assert set(trip_document(other)["stops"][0]["soc_lowest"]) == {"p10", "p50", "p90"}
    assert trip_headline(other).startswith("The van")
