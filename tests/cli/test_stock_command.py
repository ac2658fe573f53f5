"""A folder of vans on the command line: a row each, broken ones too, and all sheets in one go."""

from __future__ import annotations

import csv
import io
import json

import pytest

import solarsim
from solarsim.answers.stock.kept import KEPT_NAME
from solarsim.inputs.files.toml import shipped_folder

RUNS = ("--runs", "5")
NAME = "=cmd()"


@pytest.fixture
def folder(tmp_path):
    vans = tmp_path / "vans"
    vans.mkdir()
    weekender = (shipped_folder("vans") / "weekender.toml").read_text()
    (vans / "a.toml").write_text(weekender.replace('name = "Weekender"', f'name = "{NAME}"'))
    (vans / "broken.toml").write_text("[van\n")
    (vans / "crowded.toml").write_text(weekender.replace("count = 2", "count = 40", 1))
    (vans / "people.toml").write_text((shipped_folder("loads") / "light.toml").read_text())
    (vans / "notes.txt").write_text("nothing of ours")
    return vans


def test_a_row_each_and_what_cannot_be_used_ends_it_with_two(cli, folder):
    ran = cli("stock", folder, *RUNS, "--json", "-")
    assert ran.code == 2
    document = json.loads(ran.out)
    rows = {row["file"]: row for row in document["vans"]}
    assert list(rows) == ["a.toml", "broken.toml", "crowded.toml"]
    assert document["others"] == ["people.toml"]
    assert document["broken"] == 2
    assert rows["a.toml"]["fault"] == ""
    assert rows["a.toml"]["changed"] == "no sheet yet"
    assert rows["a.toml"]["winter_safe_days"] <= rows["a.toml"]["winter_p50_days"]
    assert "not valid TOML" in rows["broken.toml"]["fault"]
    assert "40 panels do not fit" in rows["crowded.toml"]["fault"]
    assert ran.err.splitlines()[-1] == (
        "solarsim: 2 of 3 vans cannot be used: broken.toml, crowded.toml"
    )


@pytest.mark.slow
def test_sheets_are_made_and_the_next_list_says_what_changed(cli, folder, tmp_path):
    (folder / "broken.toml").unlink()
    (folder / "crowded.toml").unlink()
    first = cli("stock", folder, *RUNS, "--sheets", "sheets", "--as", "txt", "-o", "list.csv")
    assert (first.code, first.out, first.err) == (0, "", "")
    listing = (tmp_path / "sheets" / "a-sheet.txt").read_text()
    assert "Expected, not guaranteed" in listing
    german = cli("stock", folder, *RUNS, "--sheets", "de", "--as", "txt", "--language", "de")
    assert "reviewed the German texts" in german.err
    assert "Erwartet, nicht garantiert" in (tmp_path / "de" / "a-sheet.txt").read_text()
    (row,) = csv.DictReader(io.StringIO((tmp_path / "list.csv").read_text()))
    # A name is no formula.
    assert row["van"] == f"'{NAME}"
    # The list and the sheet tell the same days.
    days = int(10.0 * float(row["winter_safe_days"]) + 1e-9) / 10.0
    assert f"Winter {days:.1f} days" in listing
    again = cli("stock", folder, *RUNS)
    assert again.code == 0
    assert "nothing" in again.out
    van = folder / "a.toml"
    van.write_text(van.read_text().replace("count = 2", "count = 1", 1))
    listed = json.loads(cli("stock", folder, *RUNS, "--json", "-").out)
    changed = " ".join(listed["vans"][0]["changes"])
    assert "the van or its people" in changed
    assert "winter, at least:" in changed
    other = json.loads(cli("stock", folder, "--runs", 6, "--json", "-").out)["vans"][0]["changes"]
    assert "asked with 6 runs and seed 1: days not compared" in other


@pytest.mark.slow
def test_a_comment_changes_nothing_and_only_sheets_are_kept(cli, folder):
    for name in ("broken.toml", "crowded.toml"):
        (folder / name).unlink()
    cli("stock", folder, *RUNS)
    assert not (folder / KEPT_NAME).exists()
    assert solarsim.stock(folder, sheets=folder / "out", kinds=["txt"], runs=5).broken == ()
    van = folder / "a.toml"
    van.write_text(f"# a comment\n{van.read_text()}")
    (row,) = solarsim.stock(folder, runs=5).vans
    assert row.changes == ()
    assert row.sheet_made
    table = solarsim.stock(folder, runs=5).frame()
    assert list(table["changed"]) == ["nothing"]
    assert "a.toml" in repr(solarsim.stock(folder, runs=5))


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["nowhere"], "nowhere: is no folder of vans"),
        (["."], "holds no van's file (.toml)"),
        (["vans", "--as", "pdf"], "give --sheets too"),
        (["vans", "--language", "xx"], "--language: got 'xx'; there is de, en"),
        (["vans", "--sheets", "sheets", "--as", "docx"], "--as: got 'docx'; known: pdf, html"),
        (["vans", "--sheets", "no/where"], "cannot be made a folder"),
        (["vans", "-o", "list.xlsx"], "must end in .csv"),
        (["vans", "--date", "May"], "--date"),
    ],
)
def test_what_cannot_be_used_is_refused_in_one_line(cli, folder, arguments, said):
    ran = cli("stock", *arguments)
    assert (ran.code, ran.out) == (2, "")
    assert said in ran.err
    assert len(ran.err.splitlines()) == 1


@pytest.mark.parametrize(
    "content",
    [
        "{",
        "[]",
        "[" * 100_000,
        '{"schema": 2, "vans": {}}',
        '{"schema": 1, "vans": {"a.toml": {}}}',
        '{"schema": 1, "vans": {}, "more": NaN}',
    ],
)
def test_damaged_notes_of_the_last_sheets_are_told(cli, folder, content):
    (folder / KEPT_NAME).write_text(content)
    ran = cli("stock", folder, *RUNS)
    assert (ran.code, ran.out) == (2, "")
    assert KEPT_NAME in ran.err
    assert "may be deleted" in ran.err
