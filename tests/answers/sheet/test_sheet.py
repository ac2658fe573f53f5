"""What a buyer's sheet says, held against the answers that it asks and against sums by hand."""

from __future__ import annotations

import dataclasses
import datetime as dt

import pytest

from solarsim.answers.many_places import at_place
from solarsim.answers.question import ask
from solarsim.answers.sheet import living as living_module
from solarsim.answers.sheet.bank import ALONE_HOURS, alone_hours, filled_shares
from solarsim.answers.sheet.living import SEASONS, season_months
from solarsim.answers.sheet.sheet import sheet
from solarsim.answers.sheet.ways import WAYS, ways_of_living
from solarsim.answers.simulation.run import simulate
from solarsim.answers.simulation.summary import days_unplugged, ledger_wh_per_day
from solarsim.errors import InputError
from solarsim.inputs.files.van import read_van
from solarsim.inputs.profile import Profile, read_profile
from solarsim.power.design import design_of, usable_wh
from solarsim.present.sheet.glyphs import Cleaner
from solarsim.present.sheet.page import sheet_page
from solarsim.present.sheet.texts import load_texts
from solarsim.weather.places import find_place

RUNS = 8
ELSEWHERE = "Hobart, AU"


@pytest.fixture(scope="module")
def asked():
    return ask("weekender", runs=RUNS, month=7, profile="ski-trip")


@pytest.fixture(scope="module")
def answer(asked):
    return sheet(asked, regions=[ELSEWHERE])


def own_days(question, profile, month):
    """The same cell asked by itself, without sharing anything."""
    alone = dataclasses.replace(question.replace(month=month), profile=profile)
    return days_unplugged(simulate(alone, [design_of(alone.van)]), 0)


@pytest.mark.slow
@pytest.mark.parametrize(("way", "season"), [("light", 0), ("typical", 0), ("heavy", 3)])
def test_days_are_those_of_each_question_by_itself(asked, answer, way, season):
    for region, place in zip(answer.regions, (None, ELSEWHERE), strict=True):
        question = asked if place is None else at_place(asked, place)
        cell = region.days[way][season]
        # The kettle of these people is too large for the inverter, and stays at home.
        profile = ways_of_living(asked.van, typical=asked.profile)[WAYS.index(way)].profile
        assert cell.days == own_days(question, profile, cell.month)


def test_seasons_lie_half_a_year_apart_south_of_the_line(answer):
    north, south = answer.regions
    assert [one.month for one in north.days["typical"]] == [1, 4, 7, 10]
    assert [one.month for one in south.days["typical"]] == [7, 10, 1, 4]
    assert [one.season for one in south.days["heavy"]] == list(SEASONS)
    assert season_months(find_place("Quito, EC"))["winter"] == 7


@pytest.mark.slow
def test_the_questions_own_month_plays_no_part_and_its_people_are_the_typical_use(asked, answer):
    other = ask("weekender", runs=RUNS, month=12, profile="ski-trip")
    assert sheet(other, regions=[ELSEWHERE]).regions == answer.regions
    assert answer.question.profile.profile.name == "Ski trip"
    assert answer.own_people is None
    started = asked.van.model_copy(
        update={"stay": asked.van.stay.model_copy(update={"start": dt.date(2026, 2, 1)})}
    )
    assert sheet(dataclasses.replace(asked, van=started)).regions[0] == answer.regions[0]


@pytest.mark.slow
def test_another_typical_use_takes_the_peoples_place_and_is_told(asked):
    found = sheet(asked, typical=read_profile("typical"))
    assert found.question.profile == read_profile("typical")
    assert found.own_people == "Ski trip"
    winter = found.regions[0].days["typical"][0]
    assert winter.days == own_days(asked, read_profile("typical"), winter.month)
    assert winter.days != own_days(asked, asked.profile, winter.month)


def people(power_w):
    """Someone with one thing that is always on."""
    return Profile.model_validate(
        {
            "profile": {"name": "One thing"},
            "appliances": [{"name": "thing", "power_w": power_w, "hours_per_day": 24}],
        }
    )


@pytest.mark.slow
@pytest.mark.parametrize(("power_w", "left"), [(2.0, "light"), (150.0, "heavy")])
def test_a_shipped_use_that_does_not_fit_beside_the_people_is_left_out(power_w, left):
    found = sheet(ask("weekender", runs=RUNS, profile=people(power_w)))
    assert found.ways_left_out == (left,)
    assert {living.way.name for living in found.livings} == set(WAYS) - {left}
    assert set(found.regions[0].days) == set(WAYS) - {left}
    page = sheet_page(found.to_dict(), load_texts(), units="metric", clean=Cleaner(limited=True))
    assert f"Our {left} use would need" in page["days"]["intro"]


@pytest.mark.slow
@pytest.mark.parametrize("own", ["light", "heavy"])
def test_people_who_live_as_a_shipped_use_have_one_row(own):
    found = sheet(ask("weekender", runs=RUNS, profile=own))
    assert found.ways_left_out == (own,)
    assert set(found.regions[0].days) == set(WAYS) - {own}


def test_what_the_people_cannot_run_is_named_beside_the_days(answer):
    assert [one.name for one in answer.livings[1].way.left_out] == ["kettle"]
    page = sheet_page(answer.to_dict(), load_texts(), units="metric", clean=Cleaner(limited=True))
    assert "Typical use is without what this van cannot run: kettle." in page["days"]["intro"]


@pytest.mark.slow
def test_people_with_everything_off_or_idle_are_not_praised():
    off = read_profile("weekend-couple")
    idle = tuple(a.model_copy(update={"enabled": False}) for a in off.appliances)
    with pytest.raises(InputError, match="has no load: everything in it is switched off"):
        ask("weekender", runs=RUNS, profile=off.model_copy(update={"appliances": idle}))
    fan = {"name": "fan", "power_w": 30.0, "response": "fan"}
    summer = Profile.model_validate({"profile": {"name": "Summer"}, "appliances": [fan]})
    found = sheet(ask("weekender", runs=RUNS, profile=summer))
    typical = next(one for one in found.livings if one.way.name == "typical")
    assert typical.winter_wh_per_day == 0.0
    assert "tell nothing of a van that is lived in" in " ".join(typical.warnings)


def test_panels_that_do_not_fit_are_not_sold():
    asked = ask("weekender", runs=RUNS, settings=["panels.count=9"])
    with pytest.raises(InputError, match=r"9 panels do not fit on the roof.*which holds 3"):
        sheet(asked)


def test_what_runs_without_a_pause_is_by_power_and_not_by_climate():
    """631 Wh usable over 60 W are 10.5 h, less what the bank's resistance takes."""
    cooler = {"name": "cooler", "power_w": 60.0, "response": "evaporative cooler"}
    cooler |= {"start_above_c": 26.0, "full_at_c": 32.0}
    lamp = {"name": "lamp", "power_w": 20.0, "hours_per_day": 4}
    fresh = Profile.model_validate({"profile": {"name": "Fresh"}, "appliances": [cooler, lamp]})
    asked = ask("weekender", runs=RUNS, profile=fresh)
    way = ways_of_living(asked.van, typical=fresh)[1]
    uses = {use.appliance.name: use for use in living_module.living(asked, way).uses}
    usable = usable_wh(design_of(asked.van))
    assert uses["cooler"].alone_h == pytest.approx(usable / 60.0, rel=0.04)
    assert uses["cooler"].summer_wh_per_day < 0.5 * 24.0 * 60.0


def test_ways_need_more_from_light_to_heavy(answer):
    needs = [living.winter_wh_per_day for living in answer.livings]
    assert [living.way.name for living in answer.livings] == list(WAYS)
    assert needs == sorted(needs)
    for living in answer.livings:
        assert living.winter_wh_per_day == pytest.approx(
            sum(use.winter_wh_per_day for use in living.uses)
        )
    # The diesel heater follows the winter, the fridge the summer.
    uses = {use.appliance.response: use for use in answer.livings[1].uses}
    assert uses["heater"].winter_wh_per_day > 5.0 * uses["heater"].summer_wh_per_day
    assert uses["fridge"].summer_wh_per_day > uses["fridge"].winter_wh_per_day


def test_sun_is_the_ledgers(asked, answer):
    june = dataclasses.replace(answer.question.replace(month=6), follow_days=7)
    found = ledger_wh_per_day(simulate(june, [design_of(june.van)]), 0)["solar_available"]
    assert answer.sun.june_wh_per_day == pytest.approx(found, rel=1e-12)
    assert answer.sun.june_wh_per_day > answer.sun.december_wh_per_day


def test_levers_are_about_the_hardest_season(answer):
    typical = answer.regions[0].days["typical"]
    assert answer.lever_way == "typical"
    assert answer.lever_season == min(typical, key=lambda one: one.days.p50)
    assert answer.levers.question.van.stay.month == answer.lever_season.month


@pytest.mark.slow
def test_heavy_use_has_the_levers_where_typical_never_ends():
    found = sheet(ask("long-stayer", runs=RUNS, profile="typical"))
    assert all(one.days.p50 >= one.days.follow_days for one in found.regions[0].days["typical"])
    assert found.lever_way == "heavy"
    assert found.levers.question.profile == read_profile("heavy")


def test_a_full_bank_alone_carries_what_a_sum_by_hand_says():
    van = read_van("weekender")
    uses = {a.name: a for a in read_profile("heavy").appliances}
    laptop, microwave = uses["laptop"], uses["microwave, 700 W of heat"]
    got = alone_hours(van, {"l": (laptop, 45.0), "m": (microwave, 1150.0), "n": (laptop, 0.5)})
    # Usable energy over power; what the bank's resistance takes is below 3 % at C/50.
    assert got["l"] == pytest.approx(usable_wh(design_of(van)) / 45.0, rel=0.03)
    # The inverter takes 10 to 15 % at nearly full load (its datasheet: 88 %), the bank some more.
    assert 0.75 < got["m"] / (usable_wh(design_of(van)) / 1150.0) < 0.90
    assert got["n"] == ALONE_HOURS
    assert alone_hours(van, {}) == {}


def test_driving_and_shore_fill_what_a_sum_by_hand_says():
    van = read_van("weekender")
    got = filled_shares(van)
    # 30 A at 85 % into 90 % of 200 Ah; an empty bank draws some more at its lower voltage.
    assert got.drive_hour_share == pytest.approx(30.0 * 0.85 / 180.0, rel=0.06)
    assert got.shore_night_share == pytest.approx(20.0 * 8.0 / 180.0, rel=0.06)
    weak = van.model_copy(update={"shore": van.shore.model_copy(update={"charger_a": 400.0})})
    assert filled_shares(weak).shore_night_share <= 1.0
    none = van.model_copy(update={"shore": None, "alternator": None})
    assert dataclasses.astuple(filled_shares(none)) == (None, None)


def test_a_post_with_a_small_breaker_gives_no_more_than_it_can():
    van = read_van("weekender")
    small = van.shore.model_copy(update={"breaker_a": 1.0, "charger_a": 100.0})
    got = filled_shares(van.model_copy(update={"shore": small})).shore_night_share
    # 1 A at 230 V, 90 % of it reaches a bank of 180 Ah above its floor, at some 13.2 V.
    assert got == pytest.approx(230.0 * 0.9 / 13.2 * 8.0 / 180.0, rel=0.02)


def test_what_the_van_cannot_run_stays_at_home():
    van = read_van("weekender")
    without = van.model_copy(update={"inverter": None})
    heavy = ways_of_living(without)[2]
    assert {(one.name, one.reason) for one in heavy.left_out} == {
        ("coffee machine", "no inverter"),
        ("microwave, 700 W of heat", "no inverter"),
    }
    assert not any(a.enabled and a.current == "ac" for a in heavy.profile.appliances)
    small = van.inverter.model_copy(update={"power_w": 1100.0})
    left = ways_of_living(van.model_copy(update={"inverter": small}))[2].left_out
    assert [(one.name, one.reason) for one in left] == [("microwave, 700 W of heat", "too large")]
    assert all(not way.left_out for way in ways_of_living(van))


@pytest.mark.slow
def test_a_van_without_panels_roof_and_inverter_has_a_sheet():
    van = read_van("weekender", settings=["panels.count=0"])
    bare = van.model_copy(update={"roof": None, "inverter": None})
    found = sheet(ask(bare, place="Salzburg, AT", profile="weekend-couple", runs=RUNS))
    assert found.roof is None
    assert found.sun.june_wh_per_day == 0.0


@pytest.mark.slow
def test_what_would_trip_or_may_not_be_built_is_said(answer):
    assert [living.warnings for living in answer.livings] == [(), (), ()]
    both = read_profile("heavy")
    both = both.model_copy(
        update={
            "appliances": tuple(
                a.model_copy(update={"windows": ((12.0, 12.2),)}) if a.current == "ac" else a
                for a in both.appliances
            )
        }
    )
    found = sheet(ask("weekender", runs=RUNS), heavy=both)
    assert "overload the inverter" in " ".join(found.livings[2].warnings)


@pytest.mark.slow
def test_the_annex_answers_for_the_typical_way_and_steps_are_counted_to_the_end(asked):
    seen = []
    found = sheet(asked, annex=True, progress=lambda done, steps: seen.append((done, steps)))
    assert [done for done, _ in seen] == list(range(1, seen[-1][1] + 1))
    assert found.annex.stay.question.profile == found.question.profile
    assert len(found.annex.seasons.months) == 12
    assert found.annex.check.cables


@pytest.mark.slow
def test_the_annex_checks_the_use_that_the_check_finds_most_against():
    """Hob and kettle at once are the heavy use's alone, and more than the inverter's."""
    hob = {"name": "hob", "current": "ac", "power_w": 1100.0, "hours_per_day": 1}
    windows = {"windows": [[12, 13]]}
    rest = {"name": "radio", "power_w": 90.0, "hours_per_day": 24}
    two = Profile.model_validate(
        {
            "profile": {"name": "Two at once"},
            "appliances": [hob | windows, hob | windows | {"name": "kettle"}, rest],
        }
    )
    found = sheet(ask("weekender", runs=RUNS), heavy=two, annex=True)
    assert found.annex.check_way == "heavy"
    assert found.annex.check.profile.profile.name == "Two at once"
    ids = {finding.id for finding in found.annex.check.findings}
    assert "inverter-together" in ids
    assert found.annex.stay.question.profile == found.question.profile


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"regions": ["Oslo, NO"] * 4}, ["4 beside", "at most 3"]),
        ({"regions": ["Salzburg, AT"]}, ["Salzburg", "twice"]),
        ({"regions": ["Nowhere at all"]}, ["Nowhere at all"]),
        ({"light": "heavy"}, ["'Heavy' needs", "light: ", "from light to heavy"]),
    ],
)
def test_refused(asked, more, words):
    if "light" in more:
        more = {"light": read_profile(more["light"])}
    with pytest.raises(InputError) as refused:
        sheet(asked, **more)
    for word in words:
        assert word in str(refused.value)
