"""From a question to outcomes: the ledger, the chunks, files, odd dates and odd places."""

from __future__ import annotations

import dataclasses
import pathlib

import numpy as np
import pvlib
import pytest

import solarsim.answers.simulation.run as simulate_module
from solarsim.answers.bank import bank
from solarsim.answers.question import MAX_RUNS, ask
from solarsim.answers.simulation.run import simulate
from solarsim.answers.simulation.scene import build_scene, question_times
from solarsim.answers.simulation.summary import chance_lasts, days_unplugged, ledger_wh_per_day
from solarsim.answers.stay import stay
from solarsim.errors import InputError
from solarsim.power.design import design_of
from solarsim.power.ledger import Term, ledger_residual

TMY3 = pathlib.Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"
EVERY_SOURCE = (
    *("alternator.drive_h=1.5", "shore.plugged_h=3", "shore.every_days=3"),
    *("generator.power_w=1000", "generator.windows=[[9, 11], [17, 19]]"),
)


@pytest.mark.parametrize(
    ("van", "asked"),
    [
        ("weekender", {}),
        ("weekender", {"month": 7, "profile": "ski-trip"}),
        ("weekender", {"settings": EVERY_SOURCE, "profile": "remote-workers"}),
        ("weekender", {"settings": ["battery.chemistry=flooded"], "month": 4}),
        ("weekender", {"settings": ["battery.location=outside", "battery.self_heating=true"]}),
        ("weekender", {"settings": ["controller.max_output_a=4"], "month": 6}),
        ("long-stayer", {"month": 12}),
    ],
)
def test_ledger_closes_for_every_run_and_design(run, van, asked):
    _, simulation = run(van, units=(1, 2, 8) if van == "weekender" else (1, 8), **asked)
    assert ledger_residual(simulation.outcome.ledger_wh).max() < 1e-9
    assert np.isfinite(simulation.outcome.ledger_wh).all()


def test_every_source_and_every_loss_shows_in_the_ledger(run):
    settings = [*EVERY_SOURCE, "controller.max_output_a=8", "battery.location=outside"]
    _, simulation = run(settings=settings, month=3, profile="remote-workers")
    ledger = ledger_wh_per_day(simulation, 0, generator=True)
    assert set(ledger) == {term.name.lower() for term in Term}
    silent = [
        name
        for name, wh in ledger.items()
        if abs(wh) < 1.0 and not name.startswith("solar_refused")
    ]
    assert silent == []


def test_asked_energy_is_served_or_missed(run):
    """Loads served and not served add up to what the people ask for, whatever the bank does."""
    question, simulation = run(units=(1, 6), profile="ski-trip")
    scene = build_scene(question, simulation.times, first_run=0, runs=question.runs)
    hours = simulation.stay_hours
    for design in range(3):
        ledger = simulation.outcome.ledger_wh[:, :, design]
        met = ledger[:, Term.LOAD_DC] + ledger[:, Term.LOAD_AC] + ledger[:, Term.UNSERVED]
        asked = (scene.demand.dc_w + scene.demand.ac_w)[:, :hours].sum(axis=1)
        np.testing.assert_allclose(met, asked, rtol=1e-9)


@pytest.mark.one_plain
@pytest.mark.parametrize("answer", [stay, bank])
@pytest.mark.parametrize(
    "asked", [{}, {"profile": "remote-workers", "month": 9}, {"place": "Fairbanks"}]
)
def test_chunks_change_nothing_at_all(monkeypatch, flat, answer, asked):
    question = ask(runs=30, **asked)
    whole = flat(answer(question))
    monkeypatch.setattr(simulate_module, "CHUNK_RUNS", 7)
    parts = flat(answer(question))
    assert parts.keys() == whole.keys()
    for path, value in whole.items():
        # Means over all runs, and what is worked out from them, are added up in another order.
        if isinstance(value, float) and path.startswith((".conditions.", ".by_hand.")):
            assert parts[path] == pytest.approx(value, rel=1e-12), path
        else:
            assert parts[path] == value, path


def test_first_runs_are_the_same_in_a_longer_question(run):
    _, few = run(runs=10)
    _, many = run(runs=25)
    for field in dataclasses.fields(few.outcome):
        np.testing.assert_array_equal(
            getattr(few.outcome, field.name), getattr(many.outcome, field.name)[:10]
        )


def test_a_design_does_not_depend_on_its_neighbours(run):
    _, alone = run()
    _, among = run(units=(1, 3, 5))
    np.testing.assert_array_equal(alone.outcome.first_cut_h[:, 0], among.outcome.first_cut_h[:, 0])
    np.testing.assert_array_equal(alone.outcome.soc[..., 0], among.outcome.soc[..., 0])


@pytest.mark.parametrize("observed", [0, 1, 2])
def test_the_observed_design_is_told_as_if_it_were_alone(run, monkeypatch, observed):
    question, _ = run()
    designs = [design_of(question.van, units=units) for units in (1, 3, 5)]
    monkeypatch.setattr(simulate_module, "CHUNK_RUNS", 7)
    alone = simulate(question, [designs[observed]])
    among = simulate(question, designs, observed=observed)
    np.testing.assert_array_equal(among.outcome.soc, alone.outcome.soc)
    np.testing.assert_array_equal(among.lowest_soc, alone.lowest_soc)
    assert among.conditions.peaks == alone.conditions.peaks
    assert among.observed == observed
    own, others = alone.outcome, simulate(question, designs).outcome
    for name in ("ledger_wh", "first_cut_h", "depletion_days"):
        found = getattr(among.outcome, name)
        np.testing.assert_array_equal(found, getattr(others, name))
        np.testing.assert_array_equal(found[..., observed], getattr(own, name)[..., 0])


def test_progress_reaches_all_runs(monkeypatch):
    monkeypatch.setattr(simulate_module, "CHUNK_RUNS", 7)
    seen = []
    question = ask(runs=20)
    simulate(question, [design_of(question.van)], progress=lambda *step: seen.append(step))
    assert [total for _, total in seen] == [20, 20, 20]
    assert [done for done, _ in seen] == [6, 13, 20]


# --- weather files ---


def test_file_gives_its_windows_as_runs(run):
    question, simulation = run(weather=TMY3, runs=None, month=2)
    assert question.runs == MAX_RUNS
    assert simulation.conditions.runs == 28
    assert simulation.outcome.first_cut_h.shape == (28, 1)
    assert question.place.timezone == "America/New_York"
    assert "723170" in simulation.conditions.source or "GREENSBORO" in simulation.conditions.source


@pytest.mark.slow
def test_file_gives_at_most_the_runs_asked_for(run):
    assert run(weather=TMY3, runs=5)[1].conditions.runs == 5
    assert run(weather=TMY3, runs=400)[1].conditions.runs == 31


@pytest.mark.slow
def test_file_and_climate_agree_about_the_same_place(run):
    """One typical year against the climate: light within 25 % in winter and 12 % in summer."""
    question, file = run(weather=TMY3, runs=None, month=1)
    where = question.place
    for month, share in ((1, 0.25), (7, 0.12)):
        _, file = run(weather=TMY3, runs=None, month=month)
        _, climate = run(place=where, runs=60, month=month)
        of_file, of_climate = (x.conditions.ghi_kwh_m2_day for x in (file, climate))
        assert of_climate == pytest.approx(of_file, rel=share)


def test_file_from_elsewhere_is_said():
    question = ask(weather=TMY3, runs=5, place="Oslo, NO")
    assert question.place.latitude_deg == pytest.approx(36.1, abs=0.1)
    assert any("not Oslo" in note for note in stay(question).notes)


# --- dates ---


def test_sixty_days_have_a_horizon_of_sixty(run):
    _, simulation = run(days=60, month=6)
    assert len(simulation.times) == 60 * 24
    assert simulation.stay_hours == 60 * 24
    days = days_unplugged(simulation, 0)
    assert days.follow_days == 60
    assert days.p90 == 60.0
    assert chance_lasts(simulation, 0) > 0.9


def test_a_short_stay_looks_on_to_thirty_days(run):
    _, short = run(days=2, month=12)
    assert len(short.times) == 30 * 24
    assert short.stay_hours == 48
    assert days_unplugged(short, 0).p50 > 2.0
    assert chance_lasts(short, 0) == 1.0


def test_ledger_covers_the_stay_alone(run):
    """A bank that is empty on the fourth day misses nothing in a stay of two."""
    _, short = run(days=2, month=12)
    _, long = run(days=20, month=12)
    assert ledger_wh_per_day(short, 0)["unserved"] == pytest.approx(0.0, abs=1e-6)
    assert ledger_wh_per_day(long, 0)["unserved"] > 100.0


@pytest.mark.parametrize("start", ["2026-03-27", "2026-10-23"])
def test_clock_change_keeps_the_hours_and_the_energy(run, start):
    question, simulation = run(settings=[f"stay.start={start}"])
    steps = np.diff(simulation.times.asi8)
    assert (steps == steps[0]).all()
    arrival = simulation.times[0].tz_convert(question.place.timezone)
    assert (arrival.hour, arrival.date().isoformat()) == (17, start)
    assert ledger_residual(simulation.outcome.ledger_wh).max() < 1e-9
    # Five days on either side of the change ask for like energy.
    scene = build_scene(question, simulation.times, first_run=0, runs=20)
    lights = scene.demand.wh_per_day["LED lights, dimmable"]
    assert lights == pytest.approx(
        build_scene(
            ask(runs=20, settings=["stay.start=2026-05-01"]),
            question_times(ask(runs=20, settings=["stay.start=2026-05-01"])),
            first_run=0,
            runs=20,
        ).demand.wh_per_day["LED lights, dimmable"],
        rel=0.1,
    )


def test_leap_day_is_lived_through(run):
    settings = ["stay.year=2028", "stay.month=2", "stay.days=29"]
    _, simulation = run(settings=settings)
    days = {(stamp.month, stamp.day) for stamp in simulation.times[: simulation.stay_hours]}
    assert (2, 29) in days
    assert np.isfinite(simulation.outcome.ledger_wh).all()
    common = run(settings=["stay.year=2027", "stay.month=2", "stay.days=28"])[1]
    leap, other = (x.conditions.ghi_kwh_m2_day for x in (simulation, common))
    assert leap == pytest.approx(other, rel=0.1)


@pytest.mark.parametrize("month", [1, 6, 12])
def test_a_year_long_stay(run, month):
    _, simulation = run(days=365, month=month, runs=3)
    assert len(simulation.times) == 365 * 24
    assert ledger_residual(simulation.outcome.ledger_wh).max() < 1e-9
    # A whole year of Salzburg: about 1,100 kWh/m2.
    assert 2.5 < simulation.conditions.ghi_kwh_m2_day < 3.6


# --- places ---


def test_seasons_turn_around_in_the_south(run):
    light = {
        (place, month): run(place=place, month=month)[1].conditions.ghi_kwh_m2_day
        for place in ("Santa Fe, NM, US", "Cape Town")
        for month in (1, 7)
    }
    assert light["Cape Town", 1] > 2.0 * light["Cape Town", 7]
    assert light["Santa Fe, NM, US", 7] > 1.4 * light["Santa Fe, NM, US", 1]


def test_a_tilt_to_the_sun_s_side_gains_in_both_hemispheres(run):
    for place, month, sunward, away in (("Cape Town", 7, 0, 180), ("Salzburg", 1, 180, 0)):
        suns = {
            azimuth: ledger_wh_per_day(
                run(
                    place=place,
                    month=month,
                    settings=["panels.tilt_deg=40", f"panels.azimuth_deg={azimuth}"],
                )[1],
                0,
            )["solar_available"]
            for azimuth in (sunward, away)
        }
        flat_wh = ledger_wh_per_day(run(place=place, month=month)[1], 0)["solar_available"]
        assert suns[sunward] > 1.15 * flat_wh
        assert suns[away] < 0.85 * flat_wh


def test_polar_night_has_next_to_no_sun_and_no_gaps(run):
    question, simulation = run(place="Tromso", month=12)
    ledger = ledger_wh_per_day(simulation, 0)
    assert 0.0 <= ledger["solar_available"] < 15.0
    for field in dataclasses.fields(simulation.outcome):
        assert np.isfinite(getattr(simulation.outcome, field.name)).all()
    answer = stay(question)
    assert answer.night.mean() > 0.9
    assert answer.chance_lasts == 0.0


def test_midnight_sun(run):
    _, simulation = run(place="Tromso", month=6)
    assert not simulation.conditions.night[: simulation.stay_hours].any()
    assert chance_lasts(simulation, 0) == 1.0


# --- what changes the days ---


def p50(run, **asked):
    return days_unplugged(run(**asked)[1], 0).p50


def test_an_inverter_that_is_always_on_costs_days(run):
    off = p50(run, month=11)
    on = p50(run, month=11, settings=["inverter.always_on=true"])
    assert on < off - 0.5
    # Its idle draw, 8 W all day, is in the ledger.
    ledger = ledger_wh_per_day(run(settings=["inverter.always_on=true"], month=6)[1], 0)
    assert ledger["inverter_loss"] == pytest.approx(8.0 * 24.0, rel=0.01)


def test_an_empty_arrival_lasts_no_night(run):
    _, simulation = run(settings=["stay.start_soc=0"], month=1)
    assert days_unplugged(simulation, 0).p90 < 0.1
    assert chance_lasts(simulation, 0) == 0.0
    assert (simulation.outcome.soc[:, 0, 0] == 0.0).all()


@pytest.mark.parametrize(
    "better",
    [
        "panels.count=4",
        "battery.units=3",
        "alternator.drive_h=1",
        "shore.plugged_h=2",
        "stay.start_soc=1.0",
        "controller.efficiency=0.99",
        "panels.soiling_share=0.0",
    ],
)
def test_what_helps_never_shortens_any_run(run, better):
    settings = ["stay.start_soc=0.9"] if "start_soc" in better else []
    _, before = run(settings=settings, month=2)
    _, after = run(settings=[*settings, better], month=2)
    gained = after.outcome.first_cut_h - before.outcome.first_cut_h
    assert gained.min() >= -1e-9
    assert gained.mean() > 0.1


@pytest.mark.parametrize(
    "worse",
    [
        "stay.parking=street canyon",
        "stay.brush_snow=never",
        "panels.age_years=15",
        "battery.location=outside",
        "controller.kind=pwm",
    ],
)
def test_what_hurts_never_lengthens_the_stay(run, worse):
    _, before = run(month=1, runs=40)
    _, after = run(month=1, runs=40, settings=[worse])
    assert (after.outcome.first_cut_h.mean() - before.outcome.first_cut_h.mean()) < -0.5


def test_no_alternator_and_no_shore_tables(tmp_path, run):
    from solarsim.inputs.files.toml import shipped_folder

    text = (shipped_folder("vans") / "weekender.toml").read_text(encoding="utf-8")
    start, end = text.index("[alternator]"), text.index("[stay]")
    (tmp_path / "bare.toml").write_text(text[:start] + text[end:], encoding="utf-8")
    question, bare = run(str(tmp_path / "bare.toml"))
    assert question.van.alternator is None
    assert question.van.shore is None
    _, parked = run()
    # The shipped van does not move and is not plugged in either.
    np.testing.assert_array_equal(bare.outcome.first_cut_h, parked.outcome.first_cut_h)
    ledger = ledger_wh_per_day(bare, 0)
    assert ledger["alternator"] == ledger["shore"] == 0.0


# --- questions ---


@pytest.mark.parametrize(
    ("asked", "field"),
    [({"runs": 0}, "runs"), ({"runs": MAX_RUNS + 1}, "runs"), ({"seed": -1}, "seed")],
)
def test_questions_out_of_range(asked, field):
    with pytest.raises(InputError) as caught:
        ask(**asked)
    assert caught.value.field == field


def test_site_uncertainty_widens_the_light(run):
    def means(uncertain):
        question = ask(runs=60, month=6, site_uncertainty=uncertain)
        scene = build_scene(question, question_times(question), first_run=0, runs=60)
        return scene.weather.ghi_w_m2.mean(axis=1)

    # The same days on both sides; 4 % where the satellite tells the month's mean.
    assert (means(True) / means(False)).std() == pytest.approx(0.04, abs=0.01)
