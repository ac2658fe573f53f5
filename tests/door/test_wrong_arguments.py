"""Whatever a function of the door is given that it cannot use is one `InputError`."""

from __future__ import annotations

import numpy as np
import pytest

import solarsim
from solarsim import InputError

ASKING = (
    *("stay", "bank", "tune", "levers", "seasons", "roof", "check", "history", "sheet"),
    *("wiring", "buy", "search"),
)
WRONG = [
    *((name, {"question": wrong}, "van") for name in ASKING for wrong in (3, None, [1], b"x")),
    *((name, {"mnth": 3}, "mnth") for name in ASKING),
    *((name, {"place": 3.5}, "place") for name in ASKING),
    *((name, {"runs": "7"}, "runs") for name in ASKING),
    *((name, {"progress": 3, "runs": 1}, "progress") for name in ("stay", "levers", "history")),
    *(("tune", {"panels": wrong}, "panels") for wrong in ("1-3", 3, [], [1.5], [61], [True])),
    *(("tune", {"strings": wrong}, "strings") for wrong in ([0], [97], {"a": 1}, [None])),
    ("tune", {"chemistries": ["lfb"]}, "chemistries"),
    ("tune", {"chemistries": "lfp"}, "chemistries"),
    *(("tune", {"dcdc_a": wrong}, "dcdc_a") for wrong in (["x"], [-1.0], [float("nan")], 30.0)),
    *(("tune", {"tilts_deg": wrong}, "tilts_deg") for wrong in ([91.0], [True], [[1.0]])),
    *(("search", {"panels": wrong}, "panels") for wrong in ("1-3", [], [61], [True])),
    *(("search", {"months": wrong}, "months") for wrong in ([0], [13], "7", [1.5])),
    *(("search", {"kinds": wrong}, "kinds") for wrong in ("own", 3, [3], [])),
    ("search", {"kinds": ["200 W rigd"]}, "kinds"),
    *(("search", {"batteries": wrong}, "batteries") for wrong in ("own", [3], [])),
    ("search", {"batteries": ["100 Ah LPF"]}, "batteries"),
    *(("search", {"strings": wrong}, "strings") for wrong in ([0], [97])),
    *(("search", {"tilts_deg": wrong}, "tilts_deg") for wrong in ([91.0], [-1.0], 20.0)),
    *(("search", {"dcdc_a": wrong}, "dcdc_a") for wrong in ([401.0], [float("nan")])),
    *(("search", {"controllers_a": wrong}, "controllers_a") for wrong in ([0.0], [501.0])),
    *(
        ("search", {limit: wrong}, limit)
        for limit in ("target_days", "max_price", "max_parts_kg", "max_rise_m")
        for wrong in (-1.0, float("nan"), float("inf"), "7", True)
    ),
    ("search", {"target_days": 0.0}, "target_days"),
    ("search", {"max_price": 500.0, "kinds": ["own"], "runs": 1}, "max_price"),
    *(("roof", {"parts": wrong}, "parts") for wrong in ("200 W rigid", 3, [3], ["200 W rigd"])),
    *(("history", {"years": wrong}, "years") for wrong in ("x", 3, [2005, 2007], [], None, 1.5)),
    *(("read_log", {"path": wrong}, "path") for wrong in (3, None, b"x")),
    ("read_log", {"path": "x.csv", "question": 3}, "van"),
    *(("read_log", {"path": "x.csv", "columns": wrong}, "columns") for wrong in (3, {"x": "y"})),
    ("read_log", {"path": "x.csv", "columns": {"soc": 3}}, "columns"),
    ("read_log", {"path": "x.csv", "timezone": 3}, "timezone"),
    ("read_log", {"path": "x.csv", "positive": "up"}, "positive"),
    *(("trip", {"stops": wrong}, "trip") for wrong in (3, None, b"x")),
    *(("trip", {name: 3}, name) for name in ("place", "month", "days", "weather", "with_changes")),
    *(("trip", {"question": wrong}, "van") for wrong in (3, None)),
    *(("read_trip", {"name": wrong}, "trip") for wrong in (3, None)),
    *(("calibrate", {"question": "weekender", "log": wrong}, "log") for wrong in (3, None)),
    ("calibrate", {"question": 3, "log": "x.csv"}, "van"),
    *(("sheet", {"regions": wrong}, "regions") for wrong in ("Bergen, NO", 3)),
    ("sheet", {"regions": [3]}, "place"),
    *(("sheet", {way: 3}, way) for way in ("light", "typical", "heavy")),
    ("sheet", {"annex": "yes"}, "annex"),
    ("sheet", {"trip": 3}, "trip"),
    ("sheet", {"month": 3}, "month"),
    ("sheet", {"profile": "heavy"}, "profile"),
    ("sheet", {"settings": ["cabin.people=3"]}, "settings"),
    *(("offer", {"vans": wrong}, "vans") for wrong in (3, None, "weekender", [])),
    ("offer", {"vans": [3]}, "van"),
    ("offer", {"vans": ["weekender", 3]}, "van"),
    ("offer", {"vans": ["weekender"] * 5, "runs": 1}, "designs"),
    *(
        ("offer", {"vans": ["weekender"], **wrong}, field)
        for wrong, field in (
            ({"labour": "x"}, "labour"),
            ({"labour": [-1.0]}, "labour"),
            ({"labour": float("nan")}, "labour"),
            ({"labour": [1.0, 2.0], "prices": "example"}, "labour"),
            ({"labour": 1.0}, "labour"),
            ({"tax_pct": 101}, "tax_pct"),
            ({"tax_pct": True}, "tax_pct"),
            ({"tax_pct": 7}, "tax"),
            ({"prices": 3}, "prices"),
            ({"date": "today"}, "date"),
            ({"valid_until": "2026-01-01"}, "valid_until"),
            ({"progress": 3}, "progress"),
        )
    ),
    *(("climate", {"place": wrong}, "place") for wrong in (3, None, [1.0, 2.0], ("a", "b"))),
    *(("find_place", {"place": wrong}, "place") for wrong in (3, None, (float("nan"), 1.0))),
    ("find_place", {"place": "Salzburg, AT", "elevation_m": "x"}, "elevation_m"),
    ("find_place", {"place": "Salzburg, AT", "elevation_m": 99999}, "elevation_m"),
    ("find_place", {"place": "Salzburg, AT", "timezone": 3}, "timezone"),
    *(("read_van", {"name_or_path": wrong}, "van") for wrong in (3, None, [])),
    ("read_van", {"settings": "battery.units=3"}, "settings"),
    *(("read_profile", {"name_or_path": wrong}, "profile") for wrong in (3, None)),
    ("read_profile", {"name_or_path": "heavy", "settings": [3]}, "settings"),
]


@pytest.mark.parametrize(("name", "given", "field"), WRONG)
def test_it_is_named(name, given, field):
    with pytest.raises(InputError) as caught:
        getattr(solarsim, name)(**given)
    assert caught.value.field == field


def test_a_missing_file_is_named():
    for call in (
        lambda: solarsim.read_log("/nowhere/log.csv"),
        lambda: solarsim.calibrate("weekender", "/nowhere/log.csv"),
        lambda: solarsim.read_van("/nowhere/van.toml"),
    ):
        with pytest.raises(InputError, match="/nowhere/"):
            call()


def test_a_log_that_is_read_already_takes_no_headings(question, log_file):
    log = solarsim.read_log(log_file, question)
    with pytest.raises(InputError, match="read already"):
        solarsim.calibrate(question, log, timezone="UTC")


def test_a_log_and_its_file_calibrate_alike(question, log_file, answers):
    log = solarsim.read_log(str(log_file), question, positive="in")
    assert len(repr(log).splitlines()) <= 12
    answer = solarsim.calibrate(question, log)
    assert answer.estimates == answers["calibrate"].estimates


def test_a_van_and_keywords_ask_what_a_question_asks(question, answers):
    asked = {"month": 3, "days": 4, "runs": question.runs}
    assert solarsim.stay("weekender", **asked) == answers["stay"]
    assert solarsim.stay(solarsim.read_van("weekender"), **asked).days == answers["stay"].days
    july = solarsim.ask("weekender", month=7, days=4, runs=question.runs)
    assert solarsim.stay(july, month=3) == answers["stay"]


def test_ac_loads_need_an_inverter_but_for_the_roof():
    van = solarsim.Van.build(
        "Bare",
        panels="200 W rigid",
        battery="100 Ah LFP",
        profile="heavy",
        roof={"length_m": 3.4, "width_m": 1.6},
    )
    for name in ("stay", "check"):
        with pytest.raises(InputError, match="AC loads need an"):
            getattr(solarsim, name)(van, runs=2)
    answer = solarsim.roof(van, runs=2)
    assert any("AC loads need" in warning for warning in answer.warnings)
    assert "warning" in repr(answer)


def test_numpy_lists_and_ranges_are_welcome(question):
    answer = solarsim.tune(question, panels=np.array([1, 2]), strings=range(2, 4))
    assert {design.panels for design in answer.designs} == {1, 2}
    assert {design.units for design in answer.designs} == {2, 3}


def test_a_climate_is_that_of_a_question_s_place_as_well():
    question = solarsim.ask(place="Bergen, NO", runs=1)
    assert solarsim.climate(question) == solarsim.climate("Bergen, NO")
    with pytest.raises(InputError, match="place"):
        solarsim.climate(question.van)
