"""Every view, and what a visitor does with it."""

from __future__ import annotations

import dataclasses
import pathlib
from urllib.parse import parse_qs

import pvlib
import pytest
from streamlit.testing.v1 import AppTest

from solarsim.answers.question import ask
from solarsim.answers.stay import stay
from solarsim.app.draft import shipped_profile, shipped_profiles
from solarsim.app.link import KEPT, PARAMETER, VIEW, address_query, design_code, design_from_code
from solarsim.app.plain import plain
from solarsim.app.state import MAX_KEPT
from solarsim.app.views import VIEWS, appliances
from solarsim.app.widgets.appliance_table import with_edits
from solarsim.inputs.files.toml import shipped_folder
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


def test_coordinates_are_a_place(app):
    app.text_input(key="in_stay.place").set_value("-33.9, 18.4").run()
    assert not app.error
    assert "33&#46;900 S" in app.title[0].value


def test_a_month_and_days(app):
    app.selectbox(key="in_stay.month").set_value(7).run()
    app.text_input(key="in_stay.days").set_value("3").run()
    assert "in July" in app.title[0].value
    assert figures(app)["3 days"] == "100 %"


def test_what_is_typed_stays_text(app):
    name = "![x](http://203.0.113.1/p.png) <script>alert(1)</script> **b** $x$"
    app.text_input(key="in_van.name").set_value(name).run()
    assert not app.exception
    text = shown(app)
    assert "<script>" not in text
    assert "![x]" not in text
    assert "**b**" not in text
    assert plain(name) in app.title[0].value


def test_another_crew_comes_aboard(app):
    crew = app.selectbox(key="in_crew_0")
    assert set(crew.options) == set(shipped_profiles())
    crew.set_value(shipped_profile("ski-trip").profile.name).run()
    assert not app.exception
    assert app.session_state["design"].profile == shipped_profile("ski-trip")
    people = shipped_profile("ski-trip").cabin.people
    assert app.text_input(key="in_cabin.people").value == str(people)


@pytest.mark.slow
def test_tables_are_switched_off_and_on(app):
    app.toggle(key="in_inverter").set_value(False).run()
    assert app.session_state["design"].van.inverter is None
    app.toggle(key="in_inverter").set_value(True).run()
    assert app.session_state["design"].van.inverter is not None
    assert not app.exception


# --- views ---


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


@pytest.mark.slow
def test_a_link_opens_the_design_and_a_bad_one_the_example(app):
    app.text_input(key="in_battery.units").set_value("6").run()
    app.text_input(key="in_van.name").set_value("Sent along").run()
    code = design_code(app.session_state["design"])
    other = AppTest.from_file(str(app._script_path), default_timeout=60)
    other.query_params[PARAMETER] = code
    other.run()
    assert not other.exception
    assert "Sent along" in other.title[0].value
    assert other.text_input(key="in_battery.units").value == "6"

    for bad in ("nonsense", code[:-9], "1." + "A" * 9000):
        page = AppTest.from_file(str(app._script_path), default_timeout=60)
        page.query_params[PARAMETER] = bad
        page.run()
        assert not page.exception
        assert "shipped example instead" in page.error[0].value
        assert "Weekender" in page.title[0].value


def test_a_link_is_pasted(app, visit):
    app.text_input(key="in_battery.units").set_value("6").run()
    code = design_code(app.session_state["design"])
    app.text_input(key="in_battery.units").set_value("2").run()
    page = visit(app, "Save")
    assert code != page.code[0].value.partition(f"{PARAMETER}=")[2]
    page.text_input(key="link_text").set_value(f"http://192.0.2.7/?{PARAMETER}={code}").run()
    assert page.session_state["design"].van.battery.units == 6
    assert page.code[0].value.endswith(code)
    page.text_input(key="link_text").set_value("http://192.0.2.7/").run()
    assert page.error
    assert page.session_state["design"].van.battery.units == 6


def upload(page):
    return page.file_uploader(key=f"open_file_{page.session_state['version']}")


def test_files_are_opened_and_refused(app, visit):
    page = visit(app, "Save")
    bus = shipped_folder("vans") / "long-stayer.toml"
    upload(page).set_value(("bus.toml", bus.read_bytes(), "application/toml")).run()
    assert not page.exception
    assert page.session_state["design"].van.van.name == "Long-stayer"
    assert page.text_input(key="in_panels.count").value == "6"
    upload(page).set_value(("<b>x.toml", b"[van]\nname = 1", "application/toml")).run()
    assert not page.exception
    assert "&#60;b&#62;x" in page.error[0].value
    assert page.session_state["design"].van.van.name == "Long-stayer"


def weather(page):
    return page.file_uploader(key=f"weather_{page.session_state['uploads']}")


@pytest.mark.slow
def test_a_weather_file_is_used_and_a_bad_one_refused(app):
    climate = app.title[0].value
    weather(app).set_value(("../../evil.epw", b"nothing of the kind", "text/plain")).run()
    assert not app.exception
    assert app.title[0].value == climate
    assert "/tmp" not in app.sidebar.error[0].value
    typical = pathlib.Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"
    weather(app).set_value(("typical.csv", typical.read_bytes(), "text/csv")).run()
    assert not app.exception
    assert "GREENSBORO" in app.title[0].value.upper()


def test_two_visitors_share_nothing(app):
    app.text_input(key="in_battery.units").set_value("9").run()
    other = AppTest.from_file(str(app._script_path), default_timeout=60)
    other.run()
    assert other.text_input(key="in_battery.units").value == "2"
    assert other.session_state["kept"] == ()


def test_a_load_that_no_bank_carries_is_said(app):
    design = app.session_state["design"]
    heavy = with_edits(design.profile, {5: {"W": 20000.0, "h a day": 3.0, "pieces": 100}})
    app.session_state["design"] = dataclasses.replace(design, profile=heavy)
    app.run()
    assert not app.exception
    assert "no bank can carry it" in app.error[0].value
    assert CAUTIONS in [caption.value for caption in app.caption]


# --- own numbers, horizon, address, bad input everywhere ---


@pytest.mark.slow
def test_a_panel_that_is_in_no_library(app):
    app.selectbox(key="in_panels.part").set_value("own numbers, from a datasheet").run()
    assert not app.exception
    before = app.session_state["design"].van.panels
    assert (before.part, before.power_w) == (None, 200.0)
    take_them = next(b for b in app.button if b.label == "Take these numbers")
    app.text_input(key="in_panels.power_w").set_value("410")
    take_them.click().run()
    assert "must agree with vmp_v x imp_a" in app.sidebar.error[0].value.replace("&#95;", "_")
    assert app.session_state["design"].van.panels == before
    app.text_input(key="in_panels.vmp_v").set_value("31.2")
    app.text_input(key="in_panels.imp_a").set_value("13.14")
    app.text_input(key="in_panels.voc_v").set_value("37.3")
    app.text_input(key="in_panels.isc_a").set_value("13.95")
    app.text_input(key="in_panels.cells_in_series").set_value("54")
    next(b for b in app.button if b.label == "Take these numbers").click().run()
    assert not app.error
    panels = app.session_state["design"].van.panels
    assert (panels.power_w, panels.voc_v, panels.gamma_pmp_pct_k) == (
        *(410.0, 37.3),
        before.gamma_pmp_pct_k,
    )
    app.selectbox(key="in_panels.part").set_value("100 W rigid").run()
    assert app.session_state["design"].van.panels.power_w == 100.0


@pytest.mark.slow
def test_a_battery_that_is_in_no_library(app):
    app.selectbox(key="in_battery.part").set_value("own numbers, from a datasheet").run()
    app.text_input(key="in_battery.unit_capacity_ah").set_value("314")
    next(b for b in app.button if b.label == "Take these numbers").click().run()
    assert not app.exception
    assert app.session_state["design"].van.bank_capacity_ah == 2 * 314.0


def horizon(page):
    return page.file_uploader(key=f"horizon_{page.session_state['version']}")


@pytest.mark.slow
def test_a_horizon_is_used_shared_and_left_out(app, visit):
    before = figures(app)["Days, middle"]
    hills = b"azimuth,elevation\n0,5\n90,35\n180,40\n270,35\n"
    horizon(app).set_value(("hills.csv", hills, "text/csv")).run()
    assert not app.exception
    assert float(figures(app)["Days, middle"]) < float(before)
    assert app.selectbox(key="in_stay.parking").disabled
    assert "4 directions, up to 40°" in shown(app.sidebar)
    code = design_code(app.session_state["design"])
    assert design_from_code(code) == app.session_state["design"]
    visit(app, "Save")
    assert "stay.horizon" in shown(app)
    visit(app, "Answer")
    app.button(key="no_horizon").click().run()
    assert figures(app)["Days, middle"] == before
    horizon(app).set_value(("<i>.csv", b"0,5\n0,95\n", "text/csv")).run()
    assert not app.exception
    assert "&#60;i&#62;&#46;csv" in app.error[0].value
    assert figures(app)["Days, middle"] == before


def test_a_page_loaded_anew_comes_back(app):
    kept = app.session_state["design"]
    app.text_input(key="in_battery.units").set_value("6").run()
    design = app.session_state["design"]
    pairs = parse_qs(address_query(design, [kept], "Compare"))
    page = AppTest.from_file(str(app._script_path), default_timeout=60)
    for name, values in pairs.items():
        page.query_params[name] = values
    page.run()
    assert not page.exception
    assert page.session_state["design"] == design
    assert page.session_state["kept"] == (kept,)
    assert page.session_state["view"] == "Compare"


@pytest.mark.slow
def test_every_view_survives_bad_links_and_files(app, visit):
    page = AppTest.from_file(str(app._script_path), default_timeout=60)
    page.query_params[PARAMETER] = "1.damaged"
    page.query_params[KEPT] = ["1.damaged", "2.x", "", "3", "4"]
    page.query_params[VIEW] = "<none>"
    page.run()
    assert not page.exception
    assert page.session_state["kept"] == ()
    assert len(page.error) == 1 + MAX_KEPT
    weather(page).set_value(("bad.epw", b"\x00" * 99, "text/plain")).run()
    horizon(page).set_value(("bad.csv", b"\xff\xfe;", "text/csv")).run()
    for view in VIEWS:
        visit(page, view)
        assert CAUTIONS in [caption.value for caption in page.caption], view
        assert "bad.epw" in page.sidebar.error[0].value.replace("&#46;", "."), view
        assert page.session_state["design"] == app.session_state["design"]
    upload(visit(page, "Save")).set_value(("bad.toml", b"\x00[", "application/toml")).run()
    assert not page.exception
    assert any("bad" in error.value for error in page.error)
