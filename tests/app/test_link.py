"""A link carries the whole design, and whatever else comes as a link is refused in one line."""

from __future__ import annotations

import base64
import dataclasses
import typing
import zlib

import pytest
import tomli_w
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import BaseModel

from solarsim.app.answering import check
from solarsim.app.draft import Draft, WeatherFile, example
from solarsim.app.link import (
    MAX_LINK_CHARACTERS,
    design_code,
    design_from_code,
    design_from_link,
    van_toml,
)
from solarsim.app.tables import profile_tables, van_tables
from solarsim.errors import InputError
from solarsim.inputs.files.van import read_van
from solarsim.inputs.profile import Profile, profile_from_data, read_profile
from solarsim.inputs.van import Van

VANS = ("weekender", "long-stayer")
PROFILES = ("weekend-couple", "remote-workers", "ski-trip")


def code_of(text: bytes) -> str:
    return "1." + base64.urlsafe_b64encode(zlib.compress(text)).decode().rstrip("=")


@pytest.mark.parametrize("van", VANS)
@pytest.mark.parametrize("profile", PROFILES)
def test_there_and_back(van, profile):
    design = Draft(read_van(van), read_profile(profile))
    code = design_code(design)
    assert design_from_code(code) == design
    assert len(code) < MAX_LINK_CHARACTERS / 2
    assert design_from_link(f"https://elsewhere.example:99/x?a=1&design={code}#top") == design


def test_dates_and_names_in_any_script_survive():
    van = read_van(
        "weekender", settings=["stay.start=2026-02-03", 'van.name="Ω \\"車\\" \U0001f690"']
    )
    design = dataclasses.replace(example(), van=van)
    found = design_from_code(design_code(design))
    assert found == design
    assert found.van.stay.start is not None


def test_a_weather_file_stays_behind():
    design = dataclasses.replace(example(), weather=WeatherFile("a.epw", b"x" * 100_000))
    assert design_from_code(design_code(design)).weather is None


@pytest.mark.parametrize(
    ("code", "message"),
    [
        ("", "another version"),
        ("1", "another version"),
        ("2.abc", "another version"),
        ("1.", "damaged"),
        ("1.!!!!", "damaged"),
        ("1.äöü", "damaged"),
        ("1.AAAA", "damaged"),
        ("1." + "A" * MAX_LINK_CHARACTERS, "at most 8000"),
        (code_of(b"no toml at all"), "damaged"),
        (code_of(b"\xff\xfe"), "damaged"),
        (code_of(b"x = " + b"[" * 50_000), "damaged"),
        (code_of(b"a = 1"), "no people"),
        (code_of(b"[people]\n[van]\nname = 'x'"), "panels: is required"),
        (code_of(b"# " + b"a" * 200_000), "more than a design ever holds"),
    ],
)
def test_other_codes_are_refused(code, message):
    with pytest.raises(InputError, match=message) as caught:
        design_from_code(code)
    assert caught.value.source == "the link"


def test_a_bomb_is_not_unpacked():
    bomb = code_of(b"a" * 3_000_000)
    assert len(bomb) < MAX_LINK_CHARACTERS
    with pytest.raises(InputError, match="more than a design ever holds"):
        design_from_code(bomb)


def test_a_cut_code_is_damaged():
    code = design_code(example())
    for length in range(2, len(code) - 4, 97):
        with pytest.raises(InputError, match="damaged"):
            design_from_code(code[:length])


def test_values_are_checked_as_a_file_s():
    tables = van_tables(example().van) | {"people": profile_tables(example().profile)}
    tables["battery"]["units"] = 0
    with pytest.raises(InputError) as caught:
        design_from_code(code_of(tomli_w.dumps(tables).encode()))
    assert caught.value.field == "battery.units"


def test_a_link_reads_no_file(tmp_path):
    watts = tmp_path / "watts.csv"
    watts.write_text("\n".join(["5"] * 24))
    text = van_toml(example().van) + (
        f"\n[people.profile]\nname = 'x'\n[people.hourly]\nfile = '{watts}'\n"
    )
    with pytest.raises(InputError, match="another file is not read here"):
        design_from_code(code_of(text.encode()))


def test_a_van_that_points_to_a_file_is_refused(tmp_path):
    hills = tmp_path / "hills.csv"
    hills.write_text("azimuth_deg,elevation_deg\n0,10\n180,20\n")
    van = read_van("weekender", settings=[f"stay.horizon='{hills}'"])
    found = design_from_code(design_code(dataclasses.replace(example(), van=van)))
    with pytest.raises(InputError, match="another file is not read here"):
        check(found)


def test_no_other_field_names_a_file():
    """A new field that may hold a path must be looked at before the app takes it from a link."""
    texts = set()

    def look(record, path):
        for name, info in record.model_fields.items():
            parts = [info.annotation]
            while parts:
                part = parts.pop()
                if part is str:
                    texts.add(f"{path}{name}")
                elif isinstance(part, type) and issubclass(part, BaseModel):
                    look(part, f"{path}{name}.")
                elif typing.get_origin(part) is not typing.Literal:
                    parts += typing.get_args(part)

    look(Van, "")
    look(Profile, "")
    # Names and sizes of wires.
    assert {text for text in texts if not text.startswith("wiring.")} == {
        *("van.name", "van.description", "roof.obstacles.name", "panels.part", "battery.part"),
        *("arrays.name", "arrays.part", "arrays.controller_bank.wire"),
        *("arrays.panels_string.wire", "arrays.panels_controller.wire"),
        *("stay.place", "stay.profile", "stay.horizon", "profile.name", "profile.description"),
        "profile.medical",
        *("appliances.part", "appliances.name", "hourly.file"),
    }


def test_a_profile_of_a_year_s_watts_does_not_fit_into_a_link():
    watts = [float(hour * hour % 977) + hour / 8760.0 for hour in range(8760)]
    profile = profile_from_data({"profile": {"name": "y"}, "hourly": {"dc_w": watts}}, source="t")
    with pytest.raises(InputError, match="too large for a link"):
        design_code(dataclasses.replace(example(), profile=profile))


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=300))
def test_no_text_breaks_the_reader(text):
    with pytest.raises(InputError):
        design_from_link(text)


@settings(max_examples=60, deadline=None)
@given(st.binary(max_size=300))
def test_no_bytes_break_the_reader(raw):
    with pytest.raises(InputError):
        design_from_code(code_of(raw))
