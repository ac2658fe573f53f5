"""What a visitor opens: links, vans, weather files, horizons, parts of a datasheet."""

from __future__ import annotations

import dataclasses
import pathlib
from urllib.parse import parse_qs

import pvlib
import pytest
from streamlit.testing.v1 import AppTest

from solarsim.app.link import KEPT, PARAMETER, VIEW, address_query, design_code, design_from_code
from solarsim.app.state import MAX_KEPT
from solarsim.app.views import VIEWS
from solarsim.app.widgets.appliance_table import with_edits
from solarsim.inputs.files.toml import shipped_folder
from solarsim.present.words import CAUTIONS
from tests.app.test_page import figures, shown


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


@pytest.mark.slow
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


@pytest.mark.slow
def test_two_visitors_share_nothing(app):
    app.text_input(key="in_battery.units").set_value("9").run()
    other = AppTest.from_file(str(app._script_path), default_timeout=60)
    other.run()
    assert other.text_input(key="in_battery.units").value == "2"
    assert other.session_state["kept"] == ()


@pytest.mark.slow
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


@pytest.mark.slow
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
