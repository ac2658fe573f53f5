"""What the van's file may say of cables and fuses."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solarsim.electrical.ampacity import ampacity_of
from solarsim.electrical.rule_set import rule_set
from solarsim.electrical.wire import parse_wire
from solarsim.errors import InputError
from solarsim.inputs.base import parse_record
from solarsim.inputs.files.van import read_van
from solarsim.inputs.wiring import CableRun, Wiring


def wiring(**tables):
    return parse_record(Wiring, tables, source="van.toml")


def refused(**tables):
    with pytest.raises(InputError) as caught:
        wiring(**tables)
    return str(caught.value)


def test_nothing_need_be_said():
    assert wiring().bank_inverter == CableRun()
    assert wiring().bank_inverter.fused
    assert wiring().bank_inverter.length_m is None


def test_cables_of_panels_are_made_for_the_sun():
    assert wiring().panels_controller.insulation_c == 90
    assert wiring(panels_controller={"length_m": 3.0}).panels_controller.insulation_c == 90
    given = wiring(panels_controller={"insulation_c": 125, "ambient_c": 60.0}).panels_controller
    assert (given.insulation_c, given.ambient_c) == (125, 60.0)


@pytest.mark.parametrize(
    "text", ["4 AWG", "AWG 4", "2/0 AWG", "awg 4/0", "35 mm2", "2.5mm2", "2 x 70 mm2", "2x2/0 AWG"]
)
def test_wires(text):
    assert wiring(bank_bus={"wire": text}).bank_bus.wire == text


@pytest.mark.parametrize(
    ("text", "written"),
    [
        *(("2/0", "2/0 AWG"), ("00 AWG", "2/0 AWG"), ("0 AWG", "1/0 AWG"), ("0000", "4/0 AWG")),
        *(("AWG 000", "AWG 3/0"), ("35mm²", "35mm2"), ("35 mm^2", "35 mm2"), ("2x00", "2x2/0 AWG")),
    ],
)
def test_sizes_as_people_write_them(text, written):
    assert wiring(bank_bus={"wire": text}).bank_bus.wire == written
    assert wiring(ac_inlet={"wire": "2.5 mm²"}).ac_inlet.wire == "2.5 mm2"


@pytest.mark.parametrize(
    "text",
    [
        "",
        "thick",
        "4",
        "00000 AWG",
        "5/0 AWG",
        "99 AWG",
        "-4 AWG",
        "0 mm2",
        "0.0 mm2",
        "4 mm",
        "3 x 70 mm2",
    ],
)
def test_wires_that_do_not_exist(text):
    message = refused(bank_bus={"wire": text})
    assert "bank_bus" in message
    assert "35 mm2" in message


@given(st.text(alphabet="0123456789/. AWGmawg2x", max_size=12))
def test_every_wire_that_is_taken_can_be_read(text):
    try:
        taken = parse_record(CableRun, {"wire": text}, source="x").wire
    except InputError:
        return
    assert parse_wire(taken).area_mm2 > 0.0
    assert ampacity_of(rule_set("boat"), parse_wire(taken), 105).ampacity_a >= 0.0


@pytest.mark.parametrize(
    ("tables", "words"),
    [
        ({"bank_bus": {"fused": False, "fuse_a": 100.0}}, "fused = true"),
        ({"bank_bus": {"insulation_c": 100}}, "105"),
        ({"panels_controller": {"ambient_c": 29.9}}, "30"),
        ({"panels_controller": {"ambient_c": 121.0}}, "120"),
        ({"panels_controller": {"ambient_c": float("nan")}}, "ambient_c"),
        ({"panels_controller": {"insulation_c": 65}}, "75"),
        ({"panels_controller": {"ambient": 60.0}}, "did you mean 'ambient_c'"),
        ({"rules": "us"}, "us-rv"),
        ({"bank_fuses": -1}, "bank_fuses"),
        ({"ac_inlet": {"wire": "2 x 2.5 mm2"}}, "2.5 mm2"),
        ({"bank_bus": {"terminal_c": 85}}, "75"),
        ({"bank_bus": {"lenght_m": 1.0}}, "did you mean 'length_m'"),
        ({"bank_buss": {}}, "did you mean 'bank_bus'"),
        ({"string_fused": False, "string_fuse_a": 20.0}, "string_fused = true"),
        ({"together": [["kettle"]]}, "together"),
        ({"branches": [{"name": "a", "current_a": 5.0}] * 2}, "two branches"),
        ({"branches": [{"name": "a"}]}, "current_a"),
    ],
    ids=str,
)
def test_refused(tables, words):
    assert words in refused(**tables)


def test_settings_reach_a_run():
    van = read_van(
        "weekender",
        settings=[
            "wiring.bank_inverter.length_m=0.6",
            "wiring.bank_inverter.wire=2/0 AWG",
            'wiring.together=[["kettle", "toaster"]]',
        ],
    )
    assert van.wiring.bank_inverter.length_m == 0.6
    assert van.wiring.bank_inverter.wire == "2/0 AWG"
    assert van.wiring.together == (("kettle", "toaster"),)
