"""A trip beside the stay that it is made of."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pandas as pd
import pytest

from solarsim.answers.question import ask
from solarsim.answers.stay import stay
from solarsim.answers.trip.itinerary import lay_out
from solarsim.answers.trip.run import simulate_trip
from solarsim.answers.trip.trip import trip
from solarsim.inputs.trip import Stop, Trip
from solarsim.power.ledger import ledger_residual

# Across the change to summer time of the European Union, 29 March 2026.
START = dt.date(2026, 3, 26)
TOUR = Trip(
    stops=(
        Stop(place="Lulea, SE", arrive=START, nights=2),
        Stop(place="Tornio, FI", nights=2, drive_h=1.5, plugged_nights=1),
        Stop(place="Kalix, SE", nights=1, drive_h=1.0, parking="forest edge"),
    )
)


def at_one_place(*nights, **stop):
    first, *others = (Stop(place="Salzburg, AT", nights=number, **stop) for number in nights)
    return Trip(stops=(first.model_copy(update={"arrive": START}), *others))


@pytest.fixture(scope="module")
def tour():
    return trip(ask(runs=30, settings=["stay.start_soc=0.5"]), TOUR)


@pytest.mark.parametrize(
    ("van", "settings"),
    [
        ("weekender", ["stay.start_soc=0.4", "stay.parking=forest edge"]),
        (
            "weekender",
            [
                *("stay.start_soc=0.5", "generator.power_w=800", "generator.windows=[[7, 20]]"),
                *("fuel.heat=diesel", "fuel.cooking=propane", "fuel.diesel_tank_l=20"),
            ],
        ),
        # With plans of driving and plugging in, and an inverter that stays on.
        pytest.param(
            "long-stayer",
            ["shore.plugged_h=5", "shore.every_days=2", "stay.place=Salzburg, AT"],
            marks=pytest.mark.slow,
        ),
    ],
)
def test_a_trip_of_one_stop_is_the_stay(flat, van, settings):
    of_stay = [f"stay.start={START}", "stay.days=6", *settings]
    stayed = stay(ask(van, runs=20, settings=of_stay))
    driven = trip(ask(van, runs=20, settings=settings), at_one_place(6), with_changes=False)
    pairs = {
        "dates": "dates",
        "days": "days",
        "chance_lasts": "chance_lasts",
        "standard_errors": "standard_errors",
        "depletion_days": "lost_days",
        "ledger_wh_per_day": "ledger_wh_per_day",
        "soc": "soc",
        "night": "night",
        "usable_wh": "usable_wh",
        "conditions": "conditions",
        "warnings": "warnings",
        "notes": "notes",
        "fuel": "fuel",
    }
    for of_stay, of_trip in pairs.items():
        one, other = flat(getattr(stayed, of_stay)), flat(getattr(driven, of_trip))
        assert one == other, of_stay
    only = driven.stops[0]
    assert only.fail_chance == pytest.approx(1.0 - stayed.chance_lasts)
    assert only.ledger_wh["load_dc"] == pytest.approx(6 * stayed.ledger_wh_per_day["load_dc"])


def test_two_stops_at_one_place_are_one(flat):
    # In May: snow that lies on a parked van's panels would be shed by moving it.
    question = ask(runs=20, settings=["stay.start_soc=0.4", "alternator.drive_h=0"])
    start = dt.date(2026, 5, 3)
    one, two = (
        trip(
            question,
            Trip(
                stops=(
                    Stop(place="Salzburg, AT", arrive=start, nights=nights[0]),
                    *(Stop(place="Salzburg, AT", nights=more) for more in nights[1:]),
                )
            ),
            with_changes=False,
        )
        for nights in ((6,), (2, 4))
    )
    for name in ("days", "chance_lasts", "lost_days", "ledger_wh", "soc"):
        assert flat(getattr(one, name)) == flat(getattr(two, name)), name
    assert two.stops[1].soc_arrival.p50 == two.soc.p50[48]


def test_the_stops_add_up_to_the_trip(tour):
    for term, whole in tour.ledger_wh.items():
        parts = sum(stop.ledger_wh[term] for stop in tour.stops)
        assert parts == pytest.approx(whole, rel=1e-9, abs=1e-6), term
    assert sum(stop.lost_days for stop in tour.stops) == pytest.approx(tour.lost_days)
    fails = sum(stop.fail_chance for stop in tour.stops)
    assert fails + tour.chance_lasts == pytest.approx(1.0)
    assert [stop.reached_chance for stop in tour.stops] == pytest.approx(
        [1.0 - sum(s.fail_chance for s in tour.stops[:index]) for index in range(3)]
    )


def test_each_stops_ledger_closes_in_every_run():
    itinerary = lay_out(ask(runs=10, settings=["stay.start_soc=0.3"]), TOUR)
    ledger_wh = simulate_trip(itinerary).ledger_wh
    assert ledger_residual(ledger_wh).max() < 1e-9
    assert (ledger_wh[:, 5] > 0.0).any(), "nothing was driven"


def test_hours_follow_one_another_in_true_time():
    itinerary = lay_out(ask(runs=1), TOUR)
    legs = itinerary.legs
    stamps = (
        legs[0].times.tz_convert("UTC").append([leg.times.tz_convert("UTC") for leg in legs[1:]])
    )
    assert (np.diff(stamps.as_unit("s").asi8) == 3600).all()
    # By standard times: 17:00 in Finland is 16:00 in Sweden; one day has 23 hours.
    assert [leg.hours for leg in legs[:2]] == [47, 48]
    assert itinerary.counted_h == 47 + 48 + 24
    for leg in legs:
        local = leg.times[0].tz_convert(leg.place.timezone)
        assert (local.date(), local.hour) == (leg.arrive, 17)
    wall = itinerary.wall_times
    assert (wall[[0, 47, 95]].hour == 17).all()
    # 3 to 4 o'clock does not exist in Finland in the night to the 29th.
    night = wall[wall.normalize() == pd.Timestamp("2026-03-29", tz="UTC")]
    assert night.hour.tolist() == [hour for hour in range(24) if hour != 3]


def test_drives_and_nights_plugged_in_stand_where_they_belong():
    itinerary = lay_out(ask(runs=1), TOUR)
    driving, plugged = itinerary.charging()
    assert np.flatnonzero(driving).tolist() == [45, 46, 94]
    assert driving[[45, 46, 94]].tolist() == [0.5, 1.0, 1.0]
    # From 17:00 on 28 March to 9:00 on the 29th, 15 hours later.
    assert np.flatnonzero(plugged).tolist() == list(range(47, 47 + 15))


def test_what_a_stop_says_of_itself(tour):
    assert [stop.arrives for stop in tour.stops] == [
        "2026-03-26T17:00+01:00",
        "2026-03-28T17:00+02:00",
        "2026-03-30T17:00+02:00",
    ]
    assert [stop.leaves for stop in tour.stops] == [
        "2026-03-28T14:30+01:00",
        "2026-03-30T17:00+03:00",
        "2026-03-31T17:00+02:00",
    ]
    assert [stop.parking for stop in tour.stops] == ["open field", "open field", "forest edge"]
    assert len(tour.soc.times) == 47 + 48 + 24 + 1
    driven = tour.stops[1]
    assert driven.ledger_wh["alternator"] > 0.0
    assert driven.ledger_wh["shore"] > 0.0


@pytest.mark.slow
def test_a_change_is_worth_what_the_changed_trip_is():
    question = ask(runs=25, settings=["stay.start_soc=0.6", "battery.units=1"])
    answer = trip(question, TOUR)
    by_name = {change.name: change for change in answer.changes}
    stops = TOUR.stops
    tried = {
        "a night plugged in at stop 1": {"plugged_nights": 1},
        "an hour's drive more before stop 3": {"drive_h": 2.0},
    }
    for name, changed in tried.items():
        number = int(name[-1])
        moved = stops[number - 1].model_copy(update=changed)
        other = TOUR.model_copy(update={"stops": (*stops[: number - 1], moved, *stops[number:])})
        alone = trip(question, other, with_changes=False)
        change = by_name[name]
        assert change.chance_gained == alone.chance_lasts - answer.chance_lasts, name
        assert change.gained_days == pytest.approx(answer.lost_days - alone.lost_days), name
    more = trip(question.replace(settings=["battery.units=2"]), TOUR, with_changes=False)
    change = by_name["one more battery"]
    assert change.chance_gained == more.chance_lasts - answer.chance_lasts
    assert change.chance_gained > 0.0
    assert by_name["an hour's drive more before stop 1"].skipped
    assert [one.skipped is None for one in answer.changes] == sorted(
        (one.skipped is None for one in answer.changes), reverse=True
    )


def test_only_what_passes_the_checks_is_advised(monkeypatch):
    # One stop's check is enough to stop it; drives and nights plugged in build nothing.
    def stopped(before, changes):
        return [("too much",) if before.place.name.startswith("Tornio") else () for _ in changes]

    settings = ["stay.start_soc=0.6", "battery.units=1"]
    free = trip(ask(runs=5, settings=settings), TOUR)
    assert any(one.stop is None for one in free.most_helpful)
    monkeypatch.setattr("solarsim.answers.trip.changes.change_warnings", stopped)
    held = trip(ask(runs=5, settings=settings), TOUR)
    assert all(one.helps and one.stop is not None for one in held.most_helpful)
    built = [one for one in held.changes if one.stop is None and one.skipped is None]
    assert built
    assert all(one.warnings == ("too much",) for one in built)
    tried = [bool(one.warnings) for one in held.changes if one.skipped is None]
    assert tried == sorted(tried)


@pytest.mark.slow
def test_the_answer_does_not_depend_on_chunks(monkeypatch, flat, tour):
    monkeypatch.setattr("solarsim.answers.simulation.run.CHUNK_RUNS", 7)
    cut = trip(ask(runs=30, settings=["stay.start_soc=0.5"]), TOUR)
    for name in ("stops", "days", "changes", "notes", "warnings", "soc"):
        one, other = flat(getattr(tour, name)), flat(getattr(cut, name))
        assert one.keys() == other.keys()
        for key, value in one.items():
            if isinstance(value, float):
                assert value == pytest.approx(other[key], rel=1e-9, abs=1e-9), key
            else:
                assert value == other[key], key


@pytest.mark.parametrize(("drive_h", "stowed"), [(0.0, False), (23.0, True)])
@pytest.mark.slow
def test_ground_panels_stay_behind_on_the_road(drive_h, stowed):
    mat = '[{name="mat",kind="ground",part="100 W rigid",count=2,controller={max_output_a=20}}]'
    settings = ["panels.count=0", f"arrays={mat}", "stay.start_soc=0.5"]
    stops = (
        Stop(place="Lulea, SE", arrive=START, nights=1),
        Stop(place="Kalix, SE", nights=1, drive_h=drive_h),
    )
    answer = trip(ask(runs=5, settings=settings), Trip(stops=stops), with_changes=False)
    assert (answer.stops[0].ledger_wh["solar_available"] == 0.0) == stowed


def test_more_people_use_more_and_only_where_they_are_aboard():
    def asked(*people):
        stops = (
            stop.model_copy(update={"people": count})
            for stop, count in zip(TOUR.stops, people, strict=True)
        )
        settings = ["stay.start_soc=0.9", "battery.units=4"]
        return trip(
            ask(runs=5, profile="remote-workers", settings=settings),
            Trip(stops=tuple(stops)),
            with_changes=False,
        )

    two, four, mixed = asked(None, None, None), asked(4, 4, 4), asked(None, 4, None)
    assert asked(2, 2, 2).ledger_wh == two.ledger_wh
    for index, like in enumerate((two, four, two)):
        of_stop = mixed.stops[index].demand_wh_per_day
        assert of_stop == pytest.approx(like.stops[index].demand_wh_per_day, rel=1e-12)
    assert four.stops[1].demand_wh_per_day > 1.3 * two.stops[1].demand_wh_per_day
    hours = [stop.ends_h - stop.begins_h for stop in mixed.stops]
    by_stop = [stop.demand_wh_per_day for stop in mixed.stops]
    mean = sum(h * wh for h, wh in zip(hours, by_stop, strict=True)) / sum(hours)
    assert sum(mixed.conditions.demand_wh_per_day.values()) == pytest.approx(mean, rel=1e-9)
    assert [stop.people for stop in mixed.stops] == [2, 4, 2]
    assert any("how many are aboard" in note for note in mixed.notes)
