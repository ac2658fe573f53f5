"""`region` from the command line: text, tables, what is refused, what is kept."""

from __future__ import annotations

import io
import json

import pandas as pd
import pytest

from solarsim.answers.region import region as region_module

BOX = "47, 12, 48, 14"
ASKED = ("--region", BOX, "--step", 1, "--runs", 5, "--days", 3)


def test_the_land_is_told_in_a_sentence_and_a_table(cli):
    ran = cli("region", *ASKED, "--month", "1,7")
    assert (ran.code, ran.err) == (0, "")
    line = " ".join(ran.out.split())
    assert "47 N to 48 N, 12 E to 14 E, worst in January: the van 'Weekender' lasts 3 days" in line
    assert "2 cells of 1 x 1 degrees, 5 runs of weather each" in line
    assert "Expected, not guaranteed." in line


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    import contextlib
    import sys

    from solarsim.cli.main import main

    folder = tmp_path_factory.mktemp("region")
    files = ["--json", folder / "r.json", "--csv", folder / "r.csv"]
    files += ["--geojson", folder / "r.geojson", "--month", "1"]
    with pytest.MonkeyPatch.context() as patch, contextlib.suppress(SystemExit):
        patch.setattr(sys, "argv", ["solarsim", "region", "weekender", "long-stayer"])
        sys.argv += [str(part) for part in (*ASKED, *files)]
        main()
    return folder


def test_json_csv_and_geojson_say_the_same(written):
    document = json.loads((written / "r.json").read_text())
    table = pd.read_csv(written / "r.csv")
    polygons = json.loads((written / "r.geojson").read_text())
    assert document["schema"] == 1
    assert [van["name"] for van in document["vans"]] == ["Weekender", "Long-stayer"]
    assert len(document["cells"]) == len(polygons["features"]) == 2
    assert len(table) == 4
    for cell, feature in zip(document["cells"], polygons["features"], strict=True):
        of_cell = table[table["latitude_deg"] == cell["latitude"]]
        of_cell = of_cell[of_cell["longitude_deg"] == cell["longitude"]]
        for van, (row, figures) in enumerate(
            zip(of_cell.to_dict("records"), feature["properties"]["figures"], strict=True)
        ):
            (month,) = cell["vans"][van]["months"]
            # JSON has nine digits, the table all.
            assert month["p50"] == figures["p50_days"] == pytest.approx(row["p50_days"], rel=1e-8)
            assert month["chance_lasts"] == row["chance_lasts_share"] == figures["chance_lasts"]
            assert month["bank_units"] == row["bank_units"] == figures["bank_units"]
        ring = feature["geometry"]["coordinates"][0]
        assert ring[0] == ring[-1] == [cell["longitude"] - 0.5, cell["latitude"] - 0.5]
    assert document["cells"][1]["town"] == "Salzburg, AT"


def test_what_is_done_is_kept_beside_the_output_and_taken_from_there(written, cli, monkeypatch):
    (block,) = (written / "r.blocks").iterdir()
    before = block.read_bytes()
    monkeypatch.setattr(region_module, "here", lambda asked, blocks: iter(()))
    keep = ("--keep", written / "r.blocks", "--month", 1, "--csv", "again.csv")
    ran = cli("region", "weekender", "long-stayer", *ASKED, *keep)
    assert (ran.code, ran.err) == (0, "")
    assert block.read_bytes() == before


def test_an_interruption_says_where_it_goes_on(cli, monkeypatch):
    def stopped(asked, blocks):
        raise KeyboardInterrupt

    monkeypatch.setattr(region_module, "here", stopped)
    ran = cli("region", *ASKED, "--csv", "r.csv")
    assert (ran.code, ran.out) == (130, "")
    assert "what is done is in r.blocks, and the same command goes on" in ran.err


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        ((), "--region: give a country ('ES')"),
        (("--region", "Germnay"), "'DE' (Germany)"),
        (("--region", "US-CX"), "'US-CT' (Connecticut)"),
        (("--region", "ES", "--step", "0.001"), "step: got 0.001"),
        (("--region", "US", "--step", "0.1"), "at most 40,000"),
        (("--region", "ES", "--month", "13"), "--month"),
        (("--region", "ES", "--month", "every"), "--month"),
        (("--region", "ES", "--runs", "0"), "runs: got 0"),
        (("--region", "ES", "--workers", "0"), "workers"),
        (("--region", "ES", "--csv", "r.txt"), "--csv: must end in .csv"),
        (("--region", "ES", "--geojson", "no/r.geojson"), "its folder does not exist"),
        (("--region", "ES", "--netcdf", "r.h5"), "--netcdf: must end in .nc"),
        (("--region", "ES", "--plot", "r.pdf"), "--plot: must end in one of"),
        (("--region", "ES", "--show", "p90"), "show: got 'p90'"),
        (("--region", "ES", "--show", "difference", "--plot", "r.png"), "takes two vans"),
        (("a", "b", "c", "d", "e", "--region", "ES"), "a"),
        (("weekender", *["weekender"] * 4, "--region", "ES"), "at most 4 vans"),
    ],
)
def test_what_cannot_be_is_refused_in_one_line(cli, arguments, told):
    ran = cli("region", *arguments)
    assert (ran.code, ran.out) == (2, "")
    assert told in ran.err
    assert len(ran.err.splitlines()) == 1
    assert "Traceback" not in ran.err


def test_the_table_is_plain_csv(written):
    text = (written / "r.csv").read_bytes().decode()
    assert "\r" not in text
    assert pd.read_csv(io.StringIO(text))["month"].eq(1).all()


def test_the_help_names_what_is_to_be_installed(cli):
    told = " ".join(cli("region", "--help").out.replace("│", " ").split())
    assert "pip install 'solarsim[netcdf]'" in told
    assert "pip install 'solarsim[cluster]'" in told
