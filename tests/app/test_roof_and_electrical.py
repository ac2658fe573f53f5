"""The roof and the electrical check: what is typed there reaches the answers."""

from __future__ import annotations

import dataclasses

import pytest
from streamlit.testing.v1 import AppTest

from solarsim.answers.roof import roof
from solarsim.app.answering import electrical_answer
from solarsim.app.draft import example
from solarsim.app.link import PARAMETER, design_code
from solarsim.app.plain import plain
from solarsim.app.views import roof as roof_view
from solarsim.app.widgets import obstacle_table
from solarsim.errors import InputError
from solarsim.inputs.files.van import read_van
from solarsim.present.check.text import check_headline
from solarsim.present.roof.text import roof_headline
from tests.app.conftest import edited, take

WRONG = ["panels.count=4", "panels.series=4", "controller.max_input_v=75"]
WRONG += ["alternator.dcdc_a=60", "wiring.bank_inverter.wire=16 AWG"]


def with_van(page, *settings):
    """Open a van as a link would."""
    van = read_van("weekender", settings=list(settings))
    opened = AppTest.from_file(str(page._script_path), default_timeout=60)
    opened.query_params[PARAMETER] = design_code(dataclasses.replace(example(), van=van))
    return opened.run()


def cable(page, key):
    check = electrical_answer(page.session_state["design"])
    return next(cable for cable in check.cables if cable.circuit.key == key)


# --- electrical ---


@pytest.mark.slow
def test_findings_are_the_check_s_in_words_and_shapes(app, visit):
    page = visit(with_van(app, *WRONG), "Electrical")
    check = electrical_answer(page.session_state["design"])
    assert page.title[0].value == plain(check_headline(check))
    boxes = {"stop": page.main.error, "warn": page.main.warning, "note": page.main.info}
    marks = {"stop": "⬣ STOP", "warn": "▲ WARN", "note": "● NOTE"}
    for severity, shown in boxes.items():
        found = [each for each in check.findings if each.severity == severity]
        assert len(shown) == len(found)
        for box, finding in zip(shown, found, strict=True):
            assert box.value.startswith(f"**{marks[severity]}**")
            for text in (finding.message, finding.advice, finding.source, finding.compared.unit):
                assert plain(text) in box.value
    assert len(page.error) >= 2


@pytest.mark.slow
def test_a_longer_run_takes_a_thicker_wire(app, visit):
    page = visit(app, "Electrical")
    before = cable(page, "bank_inverter")
    page.text_input(key="in_wiring.bank_inverter.length_m").set_value("6").run()
    assert not page.exception
    after = cable(page, "bank_inverter")
    assert after.circuit.length_m == 6.0
    assert after.wire.area_mm2 > before.wire.area_mm2
    page.text_input(key="in_wiring.bank_inverter.length_m").set_value("").run()
    assert cable(page, "bank_inverter") == before


@pytest.mark.slow
def test_ratings_count_and_a_wrong_one_is_said_below_it(app, visit):
    page = visit(app, "Electrical")
    assert not page.error
    page.text_input(key="in_battery.bms_discharge_a").set_value("20").run()
    assert any("20" in box.value and "BMS" in box.value for box in page.error)
    before = page.session_state["design"]
    page.text_input(key="in_alternator.rating_a").set_value("0").run()
    assert not page.exception
    assert page.session_state["design"] == before
    assert any("Alternator&#44;" in e.value or "Alternator, A" in e.value for e in page.error)
    page.text_input(key="in_alternator.rating_a").set_value("200").run()
    assert page.session_state["design"].van.alternator.rating_a == 200.0
    assert not any("Alternator, A" in e.value for e in page.error)


@pytest.mark.slow
def test_the_rules_are_the_country_s_until_others_are_chosen(app, visit):
    page = visit(app, "Electrical")
    chosen = page.selectbox(key="in_wiring.rules")
    assert chosen.value is None
    assert any("European caravan" in each.value for each in page.main.markdown)
    assert cable(page, "bank_inverter").wire.name == "50 mm2"
    chosen.set_value("us-rv").run()
    assert not page.exception
    assert page.session_state["design"].van.wiring.rules == "us-rv"
    assert any("US road vehicle" in each.value for each in page.main.markdown)
    # 175 A behind lugs of 75 C: 2/0 AWG bears 175 A (NEC table 310.16, from memory).
    assert cable(page, "bank_inverter").wire.name == "2/0 AWG"
    page.selectbox(key="in_wiring.rules").set_value(None).run()
    assert page.session_state["design"].van.wiring.rules is None


@pytest.mark.slow
def test_runs_that_are_not_aboard_are_not_asked_for(app, visit):
    page = visit(app, "Electrical")
    page.toggle(key="in_alternator").set_value(False).run()
    keys = {each.key for each in page.text_input}
    assert "in_wiring.bank_inverter.length_m" in keys
    assert not {"in_wiring.dcdc_in.length_m", "in_alternator.rating_a"} & keys


# --- roof ---


@pytest.mark.slow
def test_the_roof_s_answer_and_a_count_taken(app, visit):
    page = visit(app, "Roof")
    assert page.title[0].value == plain(roof_headline(roof(example().van)))
    count = next(each for each in page.selectbox if each.label == "Panels drawn")
    assert (count.value, count.options) == (2, ["1", "2", "3"])
    count.set_value(3).run()
    page.button(key="roof_take").click().run()
    assert not page.exception
    assert page.session_state["design"].van.panels.count == 3
    assert page.text_input(key="in_panels.count").value == "3"


@pytest.mark.slow
def test_sizes_typed_in_place(app, visit):
    page = visit(app, "Roof")
    page.text_input(key="in_roof.length_m").set_value("2.5").run()
    assert "holds 2 x 200 W" in page.title[0].value
    before = page.session_state["design"]
    page.text_input(key="in_roof.length_m").set_value("0.3").run()
    assert not page.exception
    assert any("stands beside the roof" in error.value for error in page.error)
    assert page.session_state["design"] == before


@pytest.mark.slow
def test_a_class_of_roof_and_none_at_all(app, visit):
    design = app.session_state["design"]
    bare = design.van.model_copy(update={"roof": None})
    app.session_state["design"] = dataclasses.replace(design, van=bare)
    page = visit(app, "Roof")
    assert "no roof yet" in page.title[0].value
    page.selectbox(key="in_roof_template_0").set_value("short bus").run()
    assert not page.exception
    found = page.session_state["design"].van.roof
    assert (found.length_m, found.width_m, found.obstacles) == (6.5, 2.1, ())
    assert page.text_input(key="in_roof.length_m").value == "6.50"


@pytest.mark.slow
def test_things_are_put_on_the_roof_moved_and_taken_off(app, visit):
    page = visit(app, "Roof")
    # Chosen and clicked in one go, before the page is drawn again between them.
    page.selectbox(key="obstacle_kind").set_value("roof fan")
    page.button(key="obstacle_add").click().run()
    assert not page.exception
    names = [each.name for each in page.session_state["design"].van.roof.obstacles]
    assert names == ["roof fan", "roof fan 2"]
    key = f"obstacles_{page.session_state['version']}"
    page.session_state[key] = edited({1: {"x": "2,9", "h": "0.3", "what": "hatch"}})
    page.run()
    take(page, roof_view._take_cells, key)
    page.run()
    moved = page.session_state["design"].van.roof.obstacles[1]
    assert (moved.name, moved.x_m, moved.height_m) == ("hatch", 2.9, 0.3)
    page.session_state[key] = edited({1: {"x": "9.0", "h": "0.3", "what": "hatch"}})
    page.run()
    take(page, roof_view._take_cells, key)
    page.run()
    assert any("stands beside the roof" in error.value for error in page.error)
    assert page.session_state["design"].van.roof.obstacles[1] == moved
    page.selectbox(key="obstacle_off_2").set_value(1)
    page.button(key="obstacle_remove").click().run()
    assert [o.name for o in page.session_state["design"].van.roof.obstacles] == ["roof fan"]


def test_an_emptied_cell_names_its_thing():
    with pytest.raises(InputError, match="x is empty") as caught:
        obstacle_table.with_edits(example().van.roof, {0: {"x": None}})
    assert caught.value.field == "roof fan"


@pytest.mark.parametrize("kind", list(obstacle_table.KINDS))
def test_every_kind_stands_on_the_smallest_roof(kind):
    small = example().van.roof.model_copy(update={"length_m": 0.5, "width_m": 0.5, "obstacles": ()})
    rows = obstacle_table.with_obstacle(small, kind)
    type(small).model_validate({"length_m": 0.5, "width_m": 0.5, "obstacles": rows})


@pytest.mark.slow
@pytest.mark.parametrize(
    "view", ["Answer", *(pytest.param(v, marks=pytest.mark.slow) for v in ("Electrical", "Sheet"))]
)
def test_panels_without_room_are_stopped_in_every_view(app, visit, view):
    page = visit(with_van(app, "panels.count=7"), view)
    assert any("no room for 7 panels" in error.value for error in page.main.error)
    assert any("no room for 7 panels" in said.value for said in page.main.markdown[:3])
