"""The van's record: what is filled in, what is refused, and in which words."""

from __future__ import annotations

import copy

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from solarsim.errors import InputError
from solarsim.inputs.base import parse_record
from solarsim.inputs.files.toml import shipped_folder
from solarsim.inputs.files.van import read_van, van_from_data
from solarsim.inputs.parts import fill_from_part, part_table, part_tables
from solarsim.inputs.van import Van

SHIPPED = sorted(path.stem for path in shipped_folder("vans").glob("*.toml"))
DATA = {
    "van": {"name": "made for a test"},
    "panels": {"part": "200 W rigid", "count": 2},
    "battery": {"part": "100 Ah LFP", "units": 2},
}


def build(*settings, **tables):
    return van_from_data(copy.deepcopy(DATA) | tables, source="van.toml", settings=settings)


def refused(*settings, **tables):
    with pytest.raises(InputError) as caught:
        build(*settings, **tables)
    return caught.value


def test_the_least_van_has_defaults_for_the_rest():
    van = build()
    assert van.van.system_voltage_v == 12
    assert van.controller.kind == "mppt"
    assert van.inverter is None
    assert van.alternator is None
    assert van.shore is None
    assert van.roof is None
    assert van.stay.days == 7
    assert van.panels.power_w == 200.0
    assert van.bank_capacity_ah == 200.0


@pytest.mark.parametrize("name", SHIPPED)
def test_shipped_vans_are_whole(name):
    van = read_van(name)
    assert van.van.name
    assert van.panels.count >= 1
    for part in (van.panels, van.battery):
        assert part.part is not None
    # What lies on the roof lies within it and clear of the other obstacles.
    assert van.roof is not None
    for obstacle in van.roof.obstacles:
        assert obstacle.x_m + obstacle.length_m <= van.roof.length_m
        assert obstacle.y_m + obstacle.width_m <= van.roof.width_m
    area_m2 = van.panels.count * van.panels.length_m * van.panels.width_m
    free_m2 = van.roof.length_m * van.roof.width_m - sum(
        obstacle.length_m * obstacle.width_m for obstacle in van.roof.obstacles
    )
    assert area_m2 < free_m2
    # The string stays below the controller's limit, also at -10 C.
    cold = 1.0 - van.panels.beta_voc_pct_k / 100.0 * 35.0
    assert van.panels.voc_v * cold * van.panels.series < van.controller.max_input_v
    assert van.inverter is None or van.inverter.power_w >= 1000.0


def test_a_record_cannot_be_changed():
    van = build()
    with pytest.raises(ValidationError):
        van.van.name = "another"


@pytest.mark.parametrize(
    ("settings", "series", "capacity_ah"),
    [
        (["battery.units=3"], 1, 300.0),
        (["battery.unit_voltage_v=6", "battery.units=4"], 2, 200.0),
        (["battery.unit_voltage_v=2", "battery.units=12"], 6, 200.0),
        (["van.system_voltage_v=24", "panels.series=2", "battery.units=6"], 2, 300.0),
        (
            ["van.system_voltage_v=48", "panels.series=3", "panels.count=3", "battery.units=4"],
            4,
            100.0,
        ),
    ],
)
def test_units_in_series_and_in_parallel(settings, series, capacity_ah):
    van = build(*settings)
    assert van.units_in_series == series
    assert van.bank_capacity_ah == capacity_ah


@given(
    system_v=st.sampled_from([12, 24, 48]),
    unit_v=st.sampled_from([2, 6, 12, 24, 48]),
    units=st.integers(1, 96),
)
def test_energy_of_the_bank_is_that_of_its_units(system_v, unit_v, units):
    settings = [
        f"van.system_voltage_v={system_v}",
        f"battery.unit_voltage_v={unit_v}",
        f"battery.units={units}",
        "panels.series=4",
        "panels.count=4",
    ]
    fits = system_v % unit_v == 0 and units % (system_v // unit_v) == 0
    if not fits:
        assert "unit" in str(refused(*settings))
        return
    van = build(*settings)
    assert van.bank_capacity_ah * system_v == pytest.approx(
        units * unit_v * van.battery.unit_capacity_ah
    )


@pytest.mark.parametrize(
    ("settings", "words"),
    [
        (["panels.vmp_v=25"], ["vmp_v", "25", "voc_v"]),
        (["panels.imp_a=20"], ["imp_a", "20", "isc_a"]),
        (["panels.power_w=300"], ["power_w", "300", "vmp_v x imp_a", "5 %"]),
        (["panels.count=3", "panels.series=2"], ["count (3)", "series (2)"]),
        (["panels.beta_voc_pct_k=0.1"], ["beta_voc_pct_k", "0.1"]),
        (["panels.azimuth_deg=400"], ["azimuth_deg", "400", "360"]),
        (["panels.tilt_deg=-5"], ["tilt_deg", "-5", "0"]),
        (["panels.soiling_share=4"], ["soiling_share", "4", "1"]),
        (["panels.part=200 W rigi"], ["no such part", "'200 W rigid'"]),
        (["battery.chemistry=nicd"], ["battery.chemistry", "'nicd'", "'lfp'", "'agm'"]),
        (["battery.floor_soc=1.2"], ["floor_soc", "1.2", "1"]),
        (["van.system_voltage_v=13"], ["system_voltage_v", "13", "12, 24 or 48"]),
        (["controller.kind=pwn"], ["controller.kind", "'pwn'", "'mppt' or 'pwm'"]),
        (["inverter.power_w=1000", "inverter.surge_w=500"], ["surge_w", "power_w"]),
        (
            ["inverter.power_w=1000", "inverter.peak_efficiency=0.8"],
            ["full_load_efficiency", "peak_efficiency"],
        ),
        (["inverter.idle_w=5"], ["inverter.power_w", "required"]),
        (["alternator.dcdc_a=30", "alternator.every_days=0"], ["every_days", "0", "1"]),
        (["alternator.dcdc_a=30", "alternator.start_hour=24"], ["start_hour", "24"]),
        (["stay.start_soc=80"], ["start_soc", "80", "1"]),
        (["stay.parking=garage"], ["parking", "'garage'", "'forest edge'"]),
        (["stay.target_chance=90"], ["target_chance", "90", "1"]),
        (["stay.start='yesterday'"], ["stay.start", "'yesterday'", "date"]),
        (["stay.start=1812-06-24"], ["1812", "1950", "2100"]),
        (["roof.length_m=3"], ["roof.width_m", "required"]),
        (["van.nmae=x"], ["van.nmae", "unknown key", "'name'"]),
    ],
)
def test_refused_with_what_was_given_and_what_is_allowed(settings, words):
    message = str(refused(*settings))
    assert message.startswith("van.toml: ")
    for word in words:
        assert word in message, (word, message)


def test_a_missing_table_is_named():
    data = {key: table for key, table in DATA.items() if key != "battery"}
    with pytest.raises(InputError, match="battery: is required"):
        van_from_data(data, source="van.toml")


def test_a_list_element_is_named_by_its_place():
    fan = {"name": "fan", "x_m": 0.1, "y_m": 0.1, "length_m": 0.4, "width_m": 0.4}
    roof = {"length_m": 3.0, "width_m": 1.5, "obstacles": [fan, fan | {"hieght_m": 0.1}]}
    error = refused(roof=roof)
    assert error.field == "roof.obstacles.1.hieght_m"
    assert "'height_m'" in error.message


def test_nothing_without_panels_depends_on_their_voltage():
    assert build("van.system_voltage_v=24", "panels.count=0").panels.count == 0


def test_a_builder_s_number_beats_the_part_s():
    van = build("panels.mounting=glued", "panels.count=4")
    assert van.panels.mounting == "glued"
    assert van.panels.voc_v == part_tables("panels")["200 W rigid"]["voc_v"]


@pytest.mark.parametrize("kind", ["panels", "batteries", "appliances"])
def test_parts_are_named_once_with_a_source(kind):
    for name, table in part_tables(kind).items():
        assert table["source"].strip(), name
        assert set(part_table(kind, name)) == set(table) - {"name", "source"}


@pytest.mark.parametrize("name", sorted(part_tables("panels")))
def test_every_panel_part_makes_a_van(name):
    van = build("panels.series=1", f"panels.part={name}")
    assert van.panels.part == name
    assert van.panels.vmp_v * van.panels.imp_a == pytest.approx(van.panels.power_w, rel=0.05)


@pytest.mark.parametrize("name", sorted(part_tables("batteries")))
def test_every_battery_part_makes_a_van(name):
    unit_v = part_tables("batteries")[name]["unit_voltage_v"]
    system_v = max(unit_v, 12)
    series = system_v // unit_v
    van = build(
        f"battery.part={name}",
        f"battery.units={series}",
        f"van.system_voltage_v={system_v}",
        "panels.series=4",
        "panels.count=4",
    )
    assert van.battery.part == name
    assert van.bank_capacity_ah > 0.0


def test_a_part_that_is_no_text_is_left_to_the_record():
    assert fill_from_part({"part": 3}, "panels", source="x", field="panels") == {"part": 3}
    assert "part" in str(refused("panels.part=3"))


def test_a_table_that_is_none_is_refused_by_the_record():
    assert "battery" in str(refused(battery=3))


# --- further arrays ---

SUITCASE = {"name": "suitcase", "kind": "ground", "part": "100 W rigid", "count": 2}


def test_an_array_takes_a_part_and_the_defaults_of_its_kind():
    ground, roof = build(arrays=[SUITCASE, {"name": "front", "part": "100 W flexible"}]).arrays
    assert (ground.power_w, ground.count, ground.tilt_deg) == (100.0, 2, 40.0)
    assert (ground.from_hour, ground.to_hour, ground.every_days) == (9.0, 17.0, 1)
    assert (roof.tilt_deg, roof.from_hour, roof.to_hour, roof.mounting) == (0.0, 0.0, 24.0, "glued")
    assert ground.controller is None
    own = build(arrays=[SUITCASE | {"tilt_deg": 55.0, "controller": {"kind": "pwm"}}]).arrays[0]
    assert own.tilt_deg == 55.0
    assert own.controller is not None
    assert own.controller.kind == "pwm"


def test_settings_reach_an_array_by_its_name_or_position():
    arrays = [SUITCASE]
    assert build("arrays.suitcase.count=1", arrays=arrays).arrays[0].count == 1
    assert build("arrays.0.controller.max_output_a=10", arrays=arrays).arrays[0].controller
    brought = 'arrays=[{name="x",part="100 W rigid",count=2}]'
    assert build(brought, "arrays.x.count=3").arrays[0].count == 3
    fault = refused("arrays.suitcas.count=1", arrays=arrays)
    assert "no array 'suitcas'" in str(fault)
    assert "'suitcase'" in str(fault)


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"part": "100 W rigit"}, "arrays.0.part", "100 W rigid"),
        ({"kind": "boat"}, "arrays.0.kind", "'roof' or 'ground'"),
        ({"cuont": 1}, "arrays.0.cuont", "'count'"),
        ({"from_hour": 17.0, "to_hour": 9.0}, "arrays.0", "to_hour (9) must be after from_hour"),
        ({"kind": "roof", "from_hour": 9.0}, "arrays.0", "kind 'ground'"),
        ({"aim": "morning and afternoon", "azimuth_deg": 90.0}, "arrays.0", "without azimuth_deg"),
        ({"kind": "roof", "aim": "morning and afternoon"}, "arrays.0", "without azimuth_deg"),
        ({"controller": {"start_margin_v": 8.0}}, "", "arrays.0.vmp_v x arrays.0.series"),
        ({"controller": {"max_output_a": -1.0}}, "arrays.0.controller.max_output_a", "-1.0"),
        ({"tilt_deg": float("nan")}, "arrays.0.tilt_deg", "finite"),
    ],
)
def test_an_array_that_cannot_be_is_refused(changes, field, words):
    fault = refused(arrays=[SUITCASE | changes])
    assert fault.field == field
    assert words in str(fault)


# --- where the van looks ---


@pytest.mark.parametrize(
    ("panels", "stay", "heading_deg", "faces_deg"),
    [
        ({}, {}, None, None),
        ({}, {"heading_deg": 90.0}, 90.0, 180.0),
        ({"facing": "front"}, {"heading_deg": 90.0}, 90.0, 90.0),
        ({"facing": "rear"}, {"heading_deg": 90.0}, 90.0, 270.0),
        ({"facing": "left"}, {"heading_deg": 30.0}, 30.0, 300.0),
        ({"azimuth_deg": 180.0}, {}, 90.0, 180.0),
        ({"azimuth_deg": 20.0, "facing": "right"}, {}, 290.0, 20.0),
        ({"azimuth_deg": 180.0, "tilt_deg": 20.0}, {"heading_deg": 90.0}, 90.0, 180.0),
    ],
)
def test_heading_and_facing_side_tell_each_other(panels, stay, heading_deg, faces_deg):
    van = build(panels=DATA["panels"] | panels, stay=stay)
    assert van.heading_deg == heading_deg
    assert van.faces_deg(van.panels) == faces_deg


def test_two_headings_at_odds_are_refused():
    tilted = DATA["panels"] | {"azimuth_deg": 90.0, "tilt_deg": 20.0}
    fault = refused(panels=tilted, stay={"heading_deg": 90.0})
    assert "panels.azimuth_deg (90)" in str(fault)
    assert "(180)" in str(fault)
    assert refused(stay={"heading_deg": 361.0}).field == "stay.heading_deg"
    assert "'right'" in str(refused(panels=DATA["panels"] | {"facing": "up"}))


@given(
    st.dictionaries(
        st.sampled_from(["van", "panels", "battery", "stay", "roof", "arrays", "x"]),
        st.one_of(
            st.none(),
            st.integers(),
            st.text(max_size=5),
            st.lists(st.integers(), max_size=2),
            st.dictionaries(
                st.sampled_from(["name", "part", "count", "units", "obstacles", "y"]),
                st.one_of(st.integers(), st.floats(), st.text(max_size=5), st.booleans()),
                max_size=3,
            ),
        ),
        max_size=4,
    )
)
def test_nonsense_is_an_input_error_and_nothing_else(data):
    with pytest.raises(InputError) as caught:
        van_from_data(data, source="van.toml")
    assert str(caught.value).startswith("van.toml: ")


def test_parse_record_gives_a_line_for_each_fault():
    with pytest.raises(InputError) as caught:
        parse_record(Van, {"van": {"name": "x"}, "stay": {"days": 0, "month": 13}}, source="s")
    lines = str(caught.value).splitlines()
    assert len(lines) == 4
    assert all(line.startswith("s: ") for line in lines)
