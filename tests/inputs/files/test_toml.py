"""TOML in, settings over it, and files found by path or name."""

from __future__ import annotations

import copy
import errno
import os
import pathlib
import time
import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solarsim.errors import InputError
from solarsim.inputs.files.toml import (
    apply_settings,
    parse_toml,
    read_toml,
    resolve_file,
    shipped_folder,
)
from solarsim.inputs.files.van import read_van, van_folder


def refused(path):
    with pytest.raises(InputError) as caught:
        read_toml(path)
    assert caught.value.source == str(path)
    return caught.value.message


def test_reads_toml_also_behind_a_byte_order_mark(tmp_path):
    path = tmp_path / "a.toml"
    path.write_bytes(b"\xef\xbb\xbf[a]\nb = 1\n")
    assert read_toml(path) == {"a": {"b": 1}}


def test_windows_line_ends(tmp_path):
    path = tmp_path / "a.toml"
    path.write_bytes(b"[a]\r\nb = 1\r\n")
    assert read_toml(path) == {"a": {"b": 1}}


def test_umlauts_in_utf_8_and_not_in_latin_1(tmp_path):
    path = tmp_path / "a.toml"
    path.write_bytes('name = "Bärenfalle"\n'.encode())
    assert read_toml(path) == {"name": "Bärenfalle"}
    path.write_bytes('name = "Bärenfalle"\n'.encode("latin-1"))
    assert "UTF-8" in refused(path)


def test_what_cannot_be_read(tmp_path):
    assert "No such file" in refused(tmp_path / "missing.toml")
    assert "folder" in refused(tmp_path)
    path = tmp_path / "large.toml"
    path.write_bytes(b"#" * 1_000_001)
    assert "larger than 1000000 bytes" in refused(path)


def test_no_permission(tmp_path, monkeypatch):
    """As the system refuses it: root, whom no file's mode keeps out, is refused here as well."""
    path = tmp_path / "secret.toml"
    path.write_text("a = 1\n")

    def refuse(self):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(self))

    monkeypatch.setattr(pathlib.Path, "read_bytes", refuse)
    assert "cannot be read: Permission denied" in refused(path)


@pytest.mark.parametrize(
    ("line", "shown"),
    [
        ("margin_m = 0,05", "'margin_m = 0,05'"),
        ("  tilt_deg = -3,5  ", "'tilt_deg = -3,5'"),
        ("tilt_deg = 3,5 # degrees", "'tilt_deg = 3,5 # degrees'"),
    ],
)
def test_a_decimal_comma_is_explained(tmp_path, line, shown):
    path = tmp_path / "a.toml"
    path.write_text(f"[a]\nb = 1\n{line}\n")
    message = refused(path)
    assert "line 3" in message
    assert shown in message
    assert "point, not a comma" in message


@pytest.mark.parametrize("text", ["[a\n", "a = \n", "a = 1\na = 2\n", '"', "a = 'x\n", "= 3", "\0"])
def test_other_faults_name_the_line(tmp_path, text):
    path = tmp_path / "a.toml"
    path.write_text(text)
    message = refused(path)
    assert message.startswith("not valid TOML")
    assert "line" in message or "end of document" in message


@pytest.mark.slow
@given(st.binary(max_size=200))
def test_any_bytes_give_tables_or_an_input_error(tmp_path_factory, content):
    path = tmp_path_factory.getbasetemp() / "any.toml"
    path.write_bytes(content)
    try:
        tables = read_toml(path)
    except InputError as error:
        tables, message = {}, str(error)
    else:
        message = str(path)
    assert isinstance(tables, dict)
    assert message.startswith(str(path))


def test_brackets_without_end(tmp_path):
    path = tmp_path / "a.toml"
    path.write_text("a = " + "[" * 5000)
    assert "not valid TOML" in refused(path)


# --- settings ---


@pytest.mark.parametrize(
    ("setting", "value"),
    [
        ("a.b=3", 3),
        ("a.b=3.5", 3.5),
        ("a.b=-1e-3", -1e-3),
        ("a.b=true", True),
        ("a.b='3'", "3"),
        ("a.b=three", "three"),
        ("a.b=open field", "open field"),
        ("a.b=x=y", "x=y"),
        ("a.b=[1, 2]", [1, 2]),
        ("a.b=", ""),
        (" a . b = 3 ", 3),
    ],
)
def test_values_are_toml_and_else_text(setting, value):
    assert apply_settings({"a": {"b": 0}}, [setting], source="x") == {"a": {"b": value}}


def test_later_settings_win_and_tables_are_made():
    assert apply_settings({}, ["a.b.c=1", "a.b.c=2"], source="x") == {"a": {"b": {"c": 2}}}


@pytest.mark.parametrize("setting", ["a", "a.b", "=1", ".=1", "a.=1", ".b=1", "a..b=1", ""])
def test_what_is_no_setting(setting):
    with pytest.raises(InputError, match=r"TABLE\.FIELD=VALUE") as caught:
        apply_settings({"a": {"b": 0}}, [setting], source="x")
    assert caught.value.source == f"--set {setting}"


def test_a_path_through_a_value():
    with pytest.raises(InputError, match=r"'b' is not a table of van\.toml"):
        apply_settings({"a": {"b": 0}}, ["a.b.c=1"], source="van.toml")


KEYS = st.text("abc", min_size=1, max_size=2)
TABLES = st.dictionaries(KEYS, st.dictionaries(KEYS, st.integers(), max_size=3), max_size=3)


@given(data=TABLES, table=KEYS, field=KEYS, value=st.integers())
def test_a_setting_changes_one_value_and_never_the_given_data(data, table, field, value):
    before = copy.deepcopy(data)
    changed = apply_settings(data, [f"{table}.{field}={value}"], source="x")
    assert data == before
    assert changed[table][field] == value
    changed[table].pop(field)
    rest = copy.deepcopy(before)
    rest.setdefault(table, {}).pop(field, None)
    assert changed == rest


# --- files by path or name ---


def test_shipped_examples_with_and_without_their_ending(monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    for name in ("weekender", "weekender.toml"):
        assert resolve_file(name, "vans") == shipped_folder("vans") / "weekender.toml"
    for kind in ("vans", "loads"):
        for path in shipped_folder(kind).glob("*.toml"):
            assert tomllib.loads(path.read_text(encoding="utf-8"))


def test_a_file_beside_the_van_comes_first(monkeypatch, tmp_path):
    (tmp_path / "vans").mkdir()
    (tmp_path / "work").mkdir()
    monkeypatch.chdir(tmp_path / "work")
    for folder in ("vans", "work"):
        (tmp_path / folder / "load.toml").write_text("")
    assert resolve_file("load.toml", "loads", beside=tmp_path / "vans").parent.name == "vans"
    assert resolve_file("load.toml", "loads").resolve().parent.name == "work"


def test_unknown_names_list_the_shipped_ones():
    with pytest.raises(InputError) as caught:
        resolve_file("nothing", "vans")
    assert caught.value.source == "nothing"
    for path in shipped_folder("vans").glob("*.toml"):
        assert path.stem in caught.value.message


def test_a_folder_of_a_shipped_name_does_not_hide_it(monkeypatch, tmp_path):
    """Somebody keeps the files of a build in a folder called weekender."""
    (tmp_path / "weekender").mkdir()
    monkeypatch.chdir(tmp_path)
    assert read_van("weekender").van.name == "Weekender"


def test_the_van_s_folder_is_where_its_profile_may_lie(tmp_path, monkeypatch):
    text = (shipped_folder("vans") / "weekender.toml").read_text(encoding="utf-8")
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "van.toml").write_text(text, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    assert van_folder("mine/van.toml").name == "mine"


@pytest.mark.parametrize(
    "text",
    [
        ".".join(["a"] * 30_000) + " = 1",
        "[" + ".".join(["a"] * 17) + "  \t         ]",
        "x = { " + " . ".join(["'a'"] * 17) + " = 1 }",
        ".".join(['"a.b"'] * 17) + "=1",
        "a = 1\n" + ".".join(["a"] * 17) + " = 1",
    ],
    ids=["long", "table", "inline", "quoted", "second line"],
)
def test_keys_of_many_parts_are_refused_before_they_are_parsed(text, monkeypatch):
    monkeypatch.setattr(tomllib, "loads", lambda text: pytest.fail("parsed"))
    with pytest.raises(InputError, match=r"line [12]: a key of \d+ parts; at most 16"):
        parse_toml(text, source="a.toml")


@pytest.mark.parametrize(
    "text",
    ['a = "' + ".".join("bcdefghijklmnopqrstuvw") + '"', ".".join("abcdefghijklmnop") + "=1"],
)
def test_other_dots_are_no_key_of_many_parts(text):
    assert parse_toml(text, source="a.toml")


@pytest.mark.slow
def test_the_look_for_long_keys_takes_time_by_the_letter():
    """A line of half a million letters in every way that could begin a key."""
    began = time.process_time()
    for text in (
        "a" * 500_000,
        "a." * 250_000,
        "a.a." * 125_000 + " ",
        '"' * 499_999,
        "'a" * 250_000,
        "a .\n" * 125_000,
        "a" + " " * 499_999,
    ):
        with pytest.raises(InputError):
            parse_toml(text, source="a.toml")
    assert time.process_time() - began < 5.0


def test_a_number_of_thousands_of_digits_is_no_traceback():
    with pytest.raises(InputError, match="not valid TOML"):
        parse_toml("a = " + "1" * 5_000, source="a.toml")
