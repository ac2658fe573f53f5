"""`solarsim offer`: every form says the same, what is said aloud, and what is refused."""

from __future__ import annotations

import csv
import io
import json
import zipfile

import pypdf
import pytest

PRICED = ("--prices", "example", "--labour", "3000", "--tax", "20", "--date", "2026-03-01")
RUNS = ("--runs", "5")
STOPPED = '[wiring.bank_inverter]\nwire = "10 AWG"\nfuse_a = 300\n'


@pytest.fixture
def stopped(tmp_path_factory):
    """A van that the electrical check stops."""
    from solarsim.inputs.files.toml import shipped_folder

    text = (shipped_folder("vans") / "weekender.toml").read_text(encoding="utf-8")
    path = tmp_path_factory.mktemp("vans") / "stopped.toml"
    path.write_text(text + "\n" + STOPPED, encoding="utf-8")
    return path


def flat(text):
    return " ".join(text.replace("│", " ").split())


def test_the_terminal_says_whose_people_and_what_is_missing(cli):
    ran = cli("offer", "weekender", "long-stayer", *PRICED, "--valid-until", "2026-04-30", *RUNS)
    out = flat(ran.out)
    assert (ran.code, ran.err) == (0, "")
    assert out.startswith("Expected, not guaranteed.")
    assert "Offered on 2026-03-01. Valid until 2026-04-30." in out
    assert "People, place and dates of all designs are those of A" in out
    assert "NOT A FULL PRICE" in out
    assert "payload not stated" in out
    # The winter stay is the winter's row.
    assert out.count("January, ") == 1
    assert "with tax 5,358.00 7,524.00" in out


def test_without_prices_it_says_how_to_give_them(cli):
    out = flat(cli("offer", "weekender", "--month", "2", *RUNS).out)
    assert "Without prices: give your own with --prices" in out
    assert "A to B" not in out
    assert "with tax" not in out
    # Neither season is the stay.
    assert "the stay: February" in out
    assert "winter: January" in out


def test_every_table_holds_the_documents_figures(cli, tmp_path, stopped):
    names = [part for end in ("csv", "xlsx", "json", "html") for part in ("-o", f"offer.{end}")]
    ran = cli("offer", "weekender", stopped, "long-stayer", *PRICED, *RUNS, *names)
    assert (ran.code, ran.out, ran.err) == (0, "", "")
    document = json.loads((tmp_path / "offer.json").read_text())
    designs = document["designs"]
    lines = (tmp_path / "offer.csv").read_text().splitlines()
    above = [line for line in lines if line.startswith("#")]
    assert any("STOP, not to be built as it is: B: positive bus to inverter" in a for a in above)
    table = list(csv.reader(io.StringIO("\n".join(line for line in lines if line[0] != "#"))))
    rows = {(row[0], row[1]): row[3:] for row in table}
    assert "NOT TO BE BUILT AS IT IS" in table[0][4]
    gross = rows["Price, EUR", "with tax"]
    assert float(gross[0]) == designs[0]["price"]["gross"]
    assert gross[1] == "not offered"
    assert designs[1]["price"] is None
    safe = rows["Days off grid", "the stay, in winter: January, Salzburg, AT: safe (9 stays in 10)"]
    assert [float(cell) for cell in safe] == pytest.approx(
        [one["stay"]["safe_days"] for one in designs], rel=1e-8
    )
    page = (tmp_path / "offer.html").read_text()
    assert f"{designs[2]['price']['gross']:,.2f}" in page
    assert page.index("STOP: not to be built as it is") < page.index("<table")
    with zipfile.ZipFile(tmp_path / "offer.xlsx") as book:
        sheet = book.read("xl/worksheets/sheet1.xml").decode()
    assert f"<v>{designs[2]['price']['gross']:g}</v>" in sheet


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_four_designs_make_two_pages(cli, tmp_path, stopped, paper):
    four = ("weekender", "long-stayer", stopped, "long-stayer")
    cli("offer", *four, *PRICED, *RUNS, "--paper", paper, "-o", "offer.pdf")
    pages = pypdf.PdfReader(tmp_path / "offer.pdf").pages
    assert len(pages) <= 2
    first = flat(pages[0].extract_text())
    for words in ("Expected, not guaranteed.", "STOP: not to be built", "NOT A FULL PRICE"):
        assert words in first


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("-o", "offer.docx"), "offer.docx: --output: must end in .pdf, .html, .xlsx, .csv"),
        (("--tax", "101", "--prices", "example"), "--tax: got 101.0; must be 0 to 100 percent"),
        (("--labour", "-1", "--prices", "example"), "--labour: got -1.0; must be 0 to 10,000,000"),
        (("--labour", "nan", "--prices", "example"), "--labour: got nan; must be 0 to"),
        (("--labour", "5"), "labour: needs the parts' prices beside it"),
        (("--tax", "5"), "tax: needs the parts' prices beside it"),
        (("--language", "xx"), "--language: got 'xx'; there is de, en, es"),
        (("--valid-until", "soon"), "--valid-until: got 'soon'; must be a date"),
        (("--date", "2026-03-02", "--valid-until", "2026-03-01"), "must not be before"),
        (("weekender",) * 4, "designs: got 5; must be 1 to 4"),
        (("no-such-van",), "design B: "),
        (("--prices", "none-such"), "no such file or shipped example"),
    ],
)
def test_what_cannot_be_is_refused_in_one_line(cli, tmp_path, arguments, told):
    ran = cli("offer", "weekender", *arguments, *RUNS)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.count("\n") == 1
    assert told in ran.err
    assert not list(tmp_path.iterdir())


def test_a_stay_from_a_date_is_told_beside_its_season(cli):
    out = flat(cli("offer", "weekender", "--set", "stay.start=2026-07-03", *RUNS).out)
    assert "7 days from 2026-07-03 on near Salzburg, AT" in out
    assert "the stay: July" in out
    assert "summer: July" in out


def test_settings_reach_every_van(cli):
    settings = ("--set", "battery.units=3", "--set", "cabin.people=3")
    ran = cli("offer", "weekender", "weekender", *settings, *RUNS, "--json", "-")
    document = json.loads(ran.out)
    for one in document["designs"]:
        assert one["built_of"]["bank"].startswith("3 x 100 Ah")
        assert one["people"] == 3
