"""Whatever is wrong: exit code 2, one clear line on standard error, nothing else anywhere."""

from __future__ import annotations

import pathlib

import pvlib
import pytest

from solarsim.inputs.files.toml import shipped_folder

TMY3 = pathlib.Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"
HEADING_LINES = 2
EPW_HEADER = [
    "LOCATION,Nowhere,XX,USA,TMY3,000000,47.80,13.05,1.0,430.0",
    "DESIGN CONDITIONS,0",
    "TYPICAL/EXTREME PERIODS,0",
    "GROUND TEMPERATURES,0",
    "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
    "COMMENTS 1,",
    "COMMENTS 2,",
    "DATA PERIODS,1,1,Data,Sunday,1/1,12/31",
]
EPW_ROW = "2001,1,{day},{hour},60,A7,1.0,-1.0,80,96000,0,1413,280,0,0,0,0,0,0,0,180,2.0,5,5,10,"
EPW_ROW += "77777,9,999999999,0,0.1,0,88,0.2,0,1"

VAN = (shipped_folder("vans") / "weekender.toml").read_text(encoding="utf-8")
LOAD = '[profile]\nname = "made for a test"\n\n[[appliances]]\nname = "lamp"\n'
AC_LOAD = LOAD + 'current = "ac"\npower_w = 60.0\nhours_per_day = 2.0\n'


def without_table(text, table):
    before, _, after = text.partition(f"[{table}]\n")
    assert after, table
    return before + after[after.index("\n[") + 1 :]


@pytest.fixture
def files(tmp_path):
    """Files with one fault each, in the working folder."""
    texts = {
        "unknown_key.toml": VAN.replace("units = 2", "unitz = 2"),
        "unknown_table.toml": VAN + "\n[batery]\nunits = 2\n",
        "comma.toml": VAN.replace("margin_m = 0.05", "margin_m = 0,05"),
        "no_inverter.toml": without_table(VAN, "inverter"),
        "empty.toml": "",
        "negative.toml": LOAD + "power_w = -5.0\nhours_per_day = 2.0\n",
        "ac.toml": AC_LOAD,
        "energy.toml": LOAD + "power_w = 20000.0\ncount = 10\nhours_per_day = 24.0\n",
        "watts.toml": LOAD + "power_w = 20000.0\ncount = 10\nminutes_per_day = 1.0\n",
        "no_load.toml": '[profile]\nname = "nobody"\n',
        "zero.toml": LOAD + "power_w = 0.0\nhours_per_day = 2.0\n",
        "short.epw": "\n".join(
            [
                *EPW_HEADER,
                *(EPW_ROW.format(day=1 + h // 24, hour=1 + h % 24) for h in range(480)),
            ]
        )
        + "\n",
    }
    for name, text in texts.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    for name in ("bytes.toml", "bytes.epw"):
        (tmp_path / name).write_bytes(bytes(range(256)) * 8)
    for name in ("folder", "folder.json"):
        (tmp_path / name).mkdir()
    return tmp_path


CASES = {
    "unknown place": (["--place", "Salzburgg"], ["Salzburgg", "'Salzburg, AT'"]),
    "ambiguous place": (["--place", "Springfield"], ["12 towns", "'Springfield, MO, US'"]),
    "ocean": (["--place", "0, -30"], ["30.000 W", "climate covers land"]),
    "latitude": (["--place", "91, 10"], ["latitude 91", "between -90 and 90"]),
    "longitude": (["--place", "10, 181"], ["longitude 181", "between -180 and 180"]),
    "no place": (["--place", ""], ["town's name"]),
    "coordinates with commas": (["--place", "47,80, 13,05"], ["decimal points"]),
    "month 13": (["--month", "13"], ["month", "13", "12"]),
    "month 0": (["--month", "0"], ["month", "0", "1"]),
    "0 days": (["--days", "0"], ["days", "0", "1"]),
    "400 days": (["--days", "400"], ["days", "400", "365"]),
    "runs 0": (["--runs", "0"], ["runs", "0", "1 to"]),
    "too many runs": (["--runs", "100001"], ["runs", "100001", "100000"]),
    "negative seed": (["--seed", "-1"], ["seed", "-1", "0 to"]),
    "negative watts in a file": (
        ["--profile", "negative.toml"],
        ["negative.toml", "power_w", "-5", "0"],
    ),
    "negative watts by --set": (
        ["--set", "appliances.laptop.power_w=-3"],
        ["power_w", "-3", "0"],
    ),
    "negative panel watts": (["--set", "panels.power_w=-200"], ["panels.power_w", "-200", "0"]),
    "unknown key": (["unknown_key.toml"], ["unknown_key.toml", "battery.unitz", "'units'"]),
    "unknown key by --set": (["--set", "battery.unitz=3"], ["battery.unitz", "'units'"]),
    "unknown table": (["unknown_table.toml"], ["unknown_table.toml", "batery", "'battery'"]),
    "unknown part": (["--set", "panels.part='nothing'"], ["panels.part", "'200 W rigid'"]),
    "unknown appliance": (
        ["--set", "appliances.lapdop.power_w=3"],
        ["no appliance 'lapdop'", "'laptop'"],
    ),
    "text for a number": (["--set", "battery.units=two"], ["battery.units", "'two'", "integer"]),
    "not a number": (["--set", "battery.unit_capacity_ah=nan"], ["nan", "finite"]),
    "endless": (["--set", "battery.unit_capacity_ah=inf"], ["inf", "finite"]),
    "setting without =": (["--set", "battery.units"], ["battery.units", "TABLE.FIELD=VALUE"]),
    "setting without a name": (["--set", "=3"], ["TABLE.FIELD=VALUE"]),
    "AC without an inverter": (
        ["no_inverter.toml", "--profile", "ac.toml"],
        ["[inverter]", "lamp"],
    ),
    "inverter of idle draw only": (
        ["--set", "inverter.idle_w=200", "--profile", "ac.toml"],
        ["inverter.idle_w", "200"],
    ),
    "24 V bank, one panel in a row": (
        ["--set", "van.system_voltage_v=24"],
        ["panels.vmp_v", "20.4", "24 V", "25.0 V", "in series"],
    ),
    "units that fill no string": (
        ["--set", "battery.unit_voltage_v=6", "--set", "battery.units=3"],
        ["battery.units", "3", "multiple of 2"],
    ),
    "units that do not divide": (
        ["--set", "battery.unit_voltage_v=24"],
        ["unit_voltage_v", "24", "12"],
    ),
    "no such van": (["nothing"], ["nothing", "weekender", "long-stayer"]),
    "no such profile": (["--profile", "nothing"], ["nothing", "weekend-couple"]),
    "no such weather file": (["--weather", "nothing.epw"], ["nothing.epw"]),
    "folder for a van": (["folder"], ["folder", "TOML"]),
    "folder for a profile": (["--profile", "folder"], ["folder", "TOML"]),
    "folder for weather": (["--weather", "folder"], ["folder", "EPW"]),
    "folder for JSON": (["--json", "folder.json"], ["folder.json", "file's name"]),
    "folder for a plot": (["--plot", "folder"], ["folder", ".html"]),
    "van's file for JSON": (["--json", "ac.toml"], ["ac.toml", ".json"]),
    "plot of another kind": (["--plot", "stay.pdf"], [".pdf", ".html", ".png", ".svg"]),
    "JSON into no folder": (["--json", "nowhere/a.json"], ["nowhere/a.json", "folder"]),
    "plot into no folder": (["--plot", "nowhere/a.png"], ["nowhere/a.png", "folder"]),
    "bytes for a van": (["bytes.toml"], ["bytes.toml", "UTF-8"]),
    "bytes for weather": (["--weather", "bytes.epw"], ["bytes.epw", "EPW"]),
    "EPW of twenty days": (["--weather", "short.epw"], ["short.epw", "480"]),
    "empty profile": (["--profile", "empty.toml"], ["empty.toml", "profile", "required"]),
    "profile without loads": (["--profile", "no_load.toml"], ["no_load.toml", "no load"]),
    "profile of zero watts": (["--profile", "zero.toml"], ["zero.toml", "no load"]),
    "energy beyond any bank": (
        ["--profile", "energy.toml"],
        ["made for a test", "4,800,000 Wh", "no bank can carry it"],
    ),
    "watts beyond any bank": (
        ["--profile", "watts.toml"],
        ["made for a test", "200,000 W", "no bank can carry it"],
    ),
    "decimal comma": (["comma.toml"], ["comma.toml", "line 11", "0,05", "point"]),
    "decimal comma by --set": (["--set", "roof.margin_m=0,05"], ["roof.margin_m", "0,05"]),
}


def check_refused(ran, words):
    assert ran.code == 2
    assert ran.out == ""
    assert ran.err.startswith("solarsim: ")
    assert ran.err.count("\n") == 1, ran.err
    assert "Traceback" not in ran.err
    for word in words:
        assert word in ran.err, (word, ran.err)


@pytest.mark.parametrize(("arguments", "words"), CASES.values(), ids=CASES)
def test_refused_in_one_line(cli, files, arguments, words):
    before = sorted(files.rglob("*"))
    # A JSON file is asked for as well, so that nothing half done could hide.
    asked = [] if "--json" in arguments else ["--json", "answer.json"]
    runs = [] if "--runs" in arguments else ["--runs", "20"]
    check_refused(cli("stay", *arguments, *runs, *asked), words)
    assert sorted(files.rglob("*")) == before


@pytest.mark.parametrize("name", ["unknown key", "month 13", "ocean", "no such van"])
def test_bank_refuses_alike(cli, files, name):
    arguments, words = CASES[name]
    check_refused(cli("bank", *arguments, "--runs", "20"), words)


def test_climate_refuses_alike(cli):
    for name in ("unknown place", "ocean", "latitude", "folder for JSON"):
        arguments, words = CASES[name]
        if name == "folder for JSON":
            continue
        check_refused(cli("climate", *arguments), words)


def spoiled(change):
    lines = TMY3.read_text(encoding="utf-8").splitlines()
    change(lines)
    return "\n".join(lines) + "\n"


def drop_a_day(lines):
    del lines[HEADING_LINES + 240 : HEADING_LINES + 264]


def put_nan(lines):
    cells = lines[HEADING_LINES + 2000].split(",")
    cells[4] = "nan"
    lines[HEADING_LINES + 2000] = ",".join(cells)


def put_impossible(lines):
    cells = lines[HEADING_LINES + 2004].split(",")
    cells[4] = "99000"
    lines[HEADING_LINES + 2004] = ",".join(cells)


def swap_two_hours(lines):
    at = HEADING_LINES + 5000
    lines[at], lines[at + 1] = lines[at + 1], lines[at]


def cut_the_end(lines):
    del lines[HEADING_LINES + 8000 :]


def cut_within_a_line(lines):
    del lines[HEADING_LINES + 8000 :]
    lines[-1] = lines[-1][:40]


@pytest.mark.one_plain
@pytest.mark.parametrize(
    "change",
    [drop_a_day, put_nan, put_impossible, swap_two_hours, cut_the_end, cut_within_a_line],
)
def test_weather_file_with_a_hole_is_refused(cli, tmp_path, change):
    (tmp_path / "spoiled.csv").write_text(spoiled(change), encoding="utf-8")
    ran = cli("stay", "--weather", "spoiled.csv", "--runs", 5, "--json", "answer.json")
    check_refused(ran, ["spoiled.csv"])
    assert [path.name for path in tmp_path.iterdir()] == ["spoiled.csv"]


def test_several_faults_are_a_line_each(cli, files):
    ran = cli("stay", "--set", "battery.units=0", "--set", "stay.days=0", "--runs", 20)
    assert ran.code == 2
    lines = ran.err.splitlines()
    assert len(lines) == 2
    assert all("weekender.toml: " in line and "got 0" in line for line in lines)
    assert "battery.units" in lines[0]
    assert "stay.days" in lines[1]


@pytest.mark.parametrize(
    "arguments", [["--month", "May"], ["--nothing"], ["weekender", "long-stayer"], ["--runs", "x"]]
)
def test_options_that_cannot_be_read(cli, tmp_path, arguments):
    ran = cli("stay", *arguments)
    assert ran.code == 2
    assert ran.out == ""
    assert arguments[0] in ran.err or arguments[-1] in ran.err
    assert "Traceback" not in ran.err
    assert not list(tmp_path.iterdir())


def test_an_earlier_file_survives_a_refusal(cli, tmp_path):
    (tmp_path / "answer.json").write_text("kept", encoding="utf-8")
    assert cli("stay", "--place", "Salzburgg", "--json", "answer.json").code == 2
    assert (tmp_path / "answer.json").read_text(encoding="utf-8") == "kept"


@pytest.mark.slow
def test_refusal_in_a_process_of_its_own(process, tmp_path):
    ran = process("stay", "--place", "Salzburgg", "--json", "answer.json", cwd=tmp_path)
    check_refused(ran, ["Salzburgg"])
    assert not list(tmp_path.iterdir())


def test_a_start_and_a_month_cannot_both_hold(cli):
    ran = cli("stay", "--set", "stay.start=2026-01-10", "--month", 7, "--runs", 20)
    check_refused(ran, ["month", "7", "stay.start", "2026-01-10"])


def test_plot_and_json_in_one_file_are_refused(cli, tmp_path):
    check_refused(
        cli("stay", "--runs", 20, "--plot", "both.svg", "--json", "both.svg"), ["both.svg", ".json"]
    )
    check_refused(
        cli("stay", "--runs", 20, "--plot", "both.json", "--json", "both.json"),
        ["both.json", ".svg"],
    )
    assert not list(tmp_path.iterdir())
