"""Undo and redo over all inputs."""

from __future__ import annotations

import dataclasses

import pytest

from solarsim.app import history, state
from solarsim.app.draft import WeatherFile, example
from solarsim.app.history import MAX_STEPS, History
from solarsim.app.plain import plain
from solarsim.app.starts import start_from
from tests.app.conftest import take

EXAMPLE = example()


def design(page):
    return page.session_state["design"]


def press(page, key):
    page.button(key=key).click().run()
    assert not page.exception
    return page


def named(name):
    van = EXAMPLE.van
    called = van.van.model_copy(update={"name": name})
    return dataclasses.replace(EXAMPLE, van=van.model_copy(update={"van": called}))


def test_steps_are_bounded_and_a_new_change_forgets_what_was_undone():
    held = History()
    designs = [named(f"van {number}") for number in range(2 * MAX_STEPS)]
    for design in designs:
        held = held.with_design(design)
        assert held.with_design(design) is held
    assert len(held.steps) == MAX_STEPS + 1
    assert held.moved(-500).at == 0
    assert held.moved(500) == held
    back = held.moved(-2).with_design(named("another"))
    assert [one.van.van.name for one in back.steps[-2:]] == ["van 97", "another"]
    assert back.moved(1) == back


@pytest.mark.slow
def test_changes_are_taken_back_one_by_one_and_done_again_in_every_view(app, visit):
    assert app.button(key="undo").disabled
    assert app.button(key="redo").disabled
    app.text_input(key="in_battery.units").set_value("4").run()
    page = visit(app, "Save")
    page.text_input(key="in_stay.days").set_value("9").run()
    page = visit(page, "Electrical")
    press(page, "undo")
    assert page.info[0].value == plain("Undone: Days without moving: 9 → 7.")
    found = design(page).van
    assert (found.battery.units, found.stay.days) == (4, 7)
    press(page, "undo")
    assert design(page) == EXAMPLE
    assert page.text_input(key="in_battery.units").value == "2"
    assert page.button(key="undo").disabled
    press(press(page, "redo"), "redo")
    found = design(page).van
    assert (found.battery.units, found.stay.days) == (4, 9)
    assert page.button(key="redo").disabled
    press(page, "undo")
    page.text_input(key="in_van.name").set_value("Another way").run()
    assert page.button(key="redo").disabled


@pytest.mark.slow
def test_a_class_of_van_is_begun_with_and_taken_back(app):
    before = design(app)
    press(app, "start_Coach-built")
    assert design(app) == start_from("Coach-built", before)
    assert app.text_input(key="in_van.name").value == "Coach-built"
    assert not app.error
    press(app, "undo")
    assert design(app) == before


def test_a_weather_file_comes_back_with_the_change_that_dropped_it(app):
    file = WeatherFile("mine.epw", b"")
    with_file = dataclasses.replace(EXAMPLE, weather=file)
    app.session_state["design"] = with_file
    app.session_state["history"] = History().with_design(EXAMPLE).with_design(with_file)
    take(app, history.undo)
    assert design(app).weather is None
    assert app.session_state["weather_held"] is None
    take(app, history.redo)
    assert design(app).weather == file
    assert app.session_state["weather_held"] == file
    take(app, state.adopt, with_file)
    assert app.session_state["weather_held"] == file
