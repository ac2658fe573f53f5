"""Every view, and what a visitor does with it."""

from __future__ import annotations

import pytest

from solarsim.answers.question import ask
from solarsim.answers.stay import stay
from solarsim.app.draft import shipped_profile, shipped_profiles
from solarsim.app.plain import plain
from solarsim.app.views import VIEWS, appliances
from solarsim.present.words import CAUTIONS, bank_text, circumstances_text, counted_text, headline
from tests.app.conftest import FEW_RUNS, edited, take


def shown(page):
    """All Markdown of a page, headings and captions among it."""
    kinds = (
        page.markdown,
        page.title,
        page.header,
        page.caption,
        page.error,
        page.warning,
        page.info,
    )
    return "\n".join(element.value for kind in kinds for element in kind)


def figures(page):
    return {metric.label: metric.value for metric in page.metric}


def test_it_opens_on_the_shipped_example_with_the_command_line_s_answer(app):
    answer = stay(ask(runs=FEW_RUNS))
    words = (counted_text(answer), circumstances_text(answer))
    assert app.title[0].value == "{} :small[{}]".format(*map(plain, words))
    assert " ".join(words) == headline(answer)
    assert figures(app)["Days, middle"] == f"{answer.days.p50:.1f}"
    assert figures(app)["7 days"] == f"{100 * answer.chance_lasts:.0f} %"
    assert f"Bank now: {bank_text(answer)}." in [said.value for said in app.markdown]
    assert "What to change first" in [heading.value for heading in app.header]


@pytest.mark.one_plain
@pytest.mark.parametrize("view", list(VIEWS))
def test_every_view_opens_and_warns(app, visit, view):
    page = visit(app, view)
    assert CAUTIONS in [caption.value for caption in page.caption]
    assert not page.error
    assert len(page.title) == 1


def test_one_input_changes_the_answer_at_once(app):
    before = figures(app)["Days, middle"]
    app.text_input(key="in_battery.units").set_value("4").run()
    assert not app.exception
    assert float(figures(app)["Days, middle"]) > float(before)


def test_a_mistake_is_said_where_it_is_made_and_the_answer_stays(app):
    before = app.title[0].value
    app.selectbox(key="in_van.system_voltage_v").set_value(24).run()
    assert not app.exception
    assert app.title[0].value == before
    assert len(app.sidebar.error) == 1
    assert "more panels in series" in app.sidebar.error[0].value
    assert any(error.value.startswith("Roof and panels") for error in app.error)
    app.text_input(key="in_panels.series").set_value("2").run()
    assert not any("in series" in error.value for error in app.error)
    assert app.session_state["design"].van.van.system_voltage_v == 24


def test_an_unknown_place_and_an_ambiguous_one(app):
    app.text_input(key="in_stay.place").set_value("Xyzzyville").run()
    assert "no town of that name" in app.sidebar.error[0].value
    app.text_input(key="in_stay.place").set_value("Springfield").run()
    assert "which is" in app.sidebar.error[0].value
    box = next(box for box in app.selectbox if box.label == "Which one?")
    towns = box.options
    assert len(towns) > 3
    box.set_value(towns[0]).run()
    assert not app.error
    assert "Springfield" in app.title[0].value


@pytest.mark.slow
def test_coordinates_are_a_place(app):
    app.text_input(key="in_stay.place").set_value("-33.9, 18.4").run()
    assert not app.error
    assert "33&#46;900 S" in app.title[0].value


@pytest.mark.slow
def test_a_month_and_days(app):
    app.selectbox(key="in_stay.month").set_value(7).run()
    app.text_input(key="in_stay.days").set_value("3").run()
    assert "in July" in app.title[0].value
    assert figures(app)["3 days"] == "100 %"


@pytest.mark.slow
def test_what_is_typed_stays_text(app):
    name = "![x](http://203.0.113.1/p.png) <script>alert(1)</script> **b** $x$"
    app.text_input(key="in_van.name").set_value(name).run()
    assert not app.exception
    text = shown(app)
    assert "<script>" not in text
    assert "![x]" not in text
    assert "**b**" not in text
    assert plain(name) in app.title[0].value


@pytest.mark.slow
def test_another_crew_comes_aboard(app):
    crew = app.selectbox(key="in_crew_0")
    assert set(crew.options) == set(shipped_profiles())
    crew.set_value(shipped_profile("ski-trip").profile.name).run()
    assert not app.exception
    assert app.session_state["design"].profile == shipped_profile("ski-trip")
    people = shipped_profile("ski-trip").cabin.people
    assert app.text_input(key="in_cabin.people").value == str(people)


def test_a_crew_that_needs_an_inverter_does_not_come_aboard_without_one(app):
    app.toggle(key="in_inverter").set_value(False).run()
    before = app.session_state["design"]
    app.selectbox(key="in_crew_0").set_value(shipped_profile("remote-workers").profile.name).run()
    assert app.session_state["design"] == before
    assert app.selectbox(key="in_crew_0").value is None
    (refusal,) = app.error
    assert refusal.value.startswith("AC loads need an inverter")
    assert "kettle" in refusal.value


@pytest.mark.slow
def test_tables_are_switched_off_and_on(app):
    app.toggle(key="in_inverter").set_value(False).run()
    assert app.session_state["design"].van.inverter is None
    app.toggle(key="in_inverter").set_value(True).run()
    assert app.session_state["design"].van.inverter is not None
    assert not app.exception


# --- views ---


@pytest.mark.slow
def test_a_cell_of_the_map_becomes_the_design(app, visit):
    page = visit(app, "Tune")
    page.selectbox(key="tune_panels").set_value(3).run()
    page.selectbox(key="tune_units").set_value(5).run()
    page.button(key="tune_take").click().run()
    assert not page.exception
    van = page.session_state["design"].van
    assert (van.panels.count, van.battery.units) == (3, 5)
    # Three panels of 200 W need more than the 30 A that the van's controller gives.
    assert van.controller.max_output_a > 40.0
    assert page.text_input(key="in_panels.count").value == "3"
    assert page.text_input(key="in_battery.units").value == "5"
    assert "3 panels and 5 units now" in page.info[0].value


@pytest.mark.slow
def test_designs_are_kept_compared_and_dropped(app, visit):
    page = visit(app, "Compare")
    page.button(key="keep").click().run()
    page.text_input(key="in_battery.units").set_value("3").run()
    page.button(key="keep").click().run()
    page.selectbox(key="in_panels.part").set_value("100 W rigid").run()
    page.button(key="keep").click().run()
    page.text_input(key="in_battery.units").set_value("5").run()
    assert not page.exception
    assert page.button(key="keep").disabled
    middle = [metric.value for metric in page.metric if metric.label == "Days, middle"]
    assert len(middle) == 4
    assert len(set(middle)) == 4
    text = shown(page)
    assert "Batteries&#58; 5 → 2" in text
    assert "Panel&#58; 100 W rigid → 200 W rigid" in text
    page.button(key="open_1").click().run()
    assert page.session_state["design"].van.battery.units == 2
    assert page.text_input(key="in_battery.units").value == "2"
    page.button(key="drop_1").click().run()
    assert len(page.session_state["kept"]) == 2


def test_appliances_are_typed_over(app, visit):
    page = visit(app, "Appliances")
    before = float(figures(page)["Wh a day"].replace(",", ""))
    on, more = "appliances_on_0_0", "appliances_appliance_0_0"
    profile = page.session_state["design"].profile
    row = [each.name for each in profile.appliances].index("laptop")
    page.session_state[on] = edited({row: {"W": "200", "h a day": "3,0"}})
    page.session_state[more] = edited({row: {"pieces": "2"}})
    page.run()
    take(page, appliances._take)
    page.run()
    assert not page.exception
    after = float(figures(page)["Wh a day"].replace(",", ""))
    assert after > before + 1000.0


@pytest.mark.slow
def test_an_appliance_is_added_and_refused(app, visit):
    page = visit(app, "Appliances")
    page.selectbox(key="add_part").set_value("laptop")
    next(one for one in page.button if one.label == "Add").click().run()
    assert not page.exception
    names = [each.name for each in page.session_state["design"].profile.appliances]
    assert names[-1] == "laptop 2"
    page.toggle(key="in_inverter").set_value(False).run()
    page.selectbox(key="add_part").set_value("kettle")
    next(one for one in page.button if one.label == "Add").click().run()
    assert "AC loads need" in page.error[0].value
    assert len(page.session_state["design"].profile.appliances) == len(names)


# --- save, open, share ---
