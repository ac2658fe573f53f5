"""`solarsim wiring`: every form of the plan, what is stopped on each, and what is refused."""

from __future__ import annotations

import csv
import io
import json
import zipfile

import pypdf
import pytest

STOPPED = ("--set", "wiring.bank_inverter.wire=10 AWG", "--set", "wiring.bank_inverter.fuse_a=300")
FORMS = ("plan.svg", "plan.png", "plan.pdf", "plan.html", "plan.csv", "plan.json")


def written(*names):
    return [part for name in names for part in ("-o", name)]


def pdf_text(path):
    return " ".join(" ".join(page.extract_text() for page in pypdf.PdfReader(path).pages).split())


def test_text_has_cautions_runs_and_the_test_sheet(cli):
    out = " ".join(cli("wiring").out.split())
    assert out.startswith("Expected, not guaranteed.")
    assert "Every run of the circuit" in out
    assert "by a licensed electrician where the law asks for one" in out
    assert "STOP" not in out


@pytest.mark.slow
def test_every_form_is_written_and_says_nothing_else(cli, tmp_path):
    ran = cli("wiring", *written(*FORMS))
    assert (ran.code, ran.out, ran.err) == (0, "", "")
    assert (tmp_path / "plan.svg").read_text().startswith('<svg role="img" aria-label=')
    assert (tmp_path / "plan.png").read_bytes().startswith(b"\x89PNG")
    document = json.loads((tmp_path / "plan.json").read_text())
    assert document["stops"] == []
    assert len(document["cautions"]) == 2
    rows = (tmp_path / "plan.csv").read_text().splitlines()
    assert rows[0].startswith("# Expected, not guaranteed.")
    table = list(csv.DictReader(io.StringIO("\n".join(r for r in rows if r[0] != "#"))))
    assert [row["number"] for row in table] == [
        str(run["number"]) for run in document["circuit"]["runs"]
    ]
    assert table[0]["conductors"] == "plus, minus"


@pytest.mark.slow
def test_pages_hold_picture_runs_and_test_sheet(cli, tmp_path):
    cli("wiring", *written("plan.pdf", "plan.html"))
    text = pdf_text(tmp_path / "plan.pdf")
    page = (tmp_path / "plan.html").read_text()
    for words in (
        *("Wiring plan: Weekender, 12 V", "Bank, chargers and buses", "Mains side and earth"),
        *("Every run", "Test sheet, before power-up", "Mains side by (name, licence, date"),
        *("Not looked at", "Expected, not guaranteed."),
    ):
        assert words in text
        assert words in page
    assert page.count("<svg") == 3
    assert "<script" not in page


@pytest.mark.parametrize(("paper", "width_pt"), [("a4", 595), ("letter", 612)])
def test_paper_is_the_one_asked_for(cli, tmp_path, paper, width_pt):
    cli("wiring", "-o", "plan.pdf", "--paper", paper)
    pages = pypdf.PdfReader(tmp_path / "plan.pdf").pages
    assert {round(float(page.mediabox.width)) for page in pages} == {width_pt}


@pytest.mark.slow
def test_what_the_check_stops_stands_on_paper(cli, tmp_path):
    cli("wiring", *STOPPED, *written("plan.pdf"))
    pages = pypdf.PdfReader(tmp_path / "plan.pdf").pages
    texts = [" ".join(page.extract_text().split()) for page in pages]
    stop = "a fuse of 300 A does not protect"
    # Before the picture, before the runs, before the test sheet.
    assert stop in texts[0].partition("Bank, chargers")[0]
    assert sum(stop in text for text in texts) == 3


def test_what_the_check_stops_stands_on_every_form(cli, tmp_path):
    cli("wiring", *STOPPED, *written("plan.html", "plan.csv", "plan.json"))
    stop = "a fuse of 300 A does not protect"
    assert stop in (tmp_path / "plan.html").read_text().partition("Bank, chargers")[0]
    assert "# STOP, do not build it so: " in (tmp_path / "plan.csv").read_text()
    assert stop in (tmp_path / "plan.csv").read_text()
    assert any(stop in one for one in json.loads((tmp_path / "plan.json").read_text())["stops"])
    out = " ".join(cli("wiring", *STOPPED).out.split())
    assert "STOP, do not build or connect it so: positive bus to inverter" in out


@pytest.mark.slow
def test_names_that_people_type_harm_no_form(cli, tmp_path):
    branch = 'wiring.branches=[{name="=1+1 <b>$x$ \\"#eval\\"", current_a=3}]'
    cli("wiring", "--set", branch, *written(*FORMS))
    assert "<b>$x$" not in (tmp_path / "plan.html").read_text()
    rows = (tmp_path / "plan.csv").read_text()
    assert ",'=1+1" in rows or ",\"'=1+1" in rows
    assert '=1+1 <b>$x$ "#eval"' in pdf_text(tmp_path / "plan.pdf")


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("-o", "plan.docx"), "plan.docx: --output: must end in .svg, .png, .pdf, .html, .csv"),
        (("-o", "no/such/plan.pdf"), "its folder does not exist"),
        (("-o", "plan.pdf", "--paper", "a3"), "'a3' is not one of"),
        (("no-such-van",), "no such file or shipped example"),
    ],
)
def test_what_cannot_be_is_refused_in_one_line(cli, tmp_path, arguments, told):
    ran = cli("wiring", *arguments)
    assert ran.code == 2
    assert ran.err.count("\n") == 1
    assert told in ran.err
    assert not list(tmp_path.iterdir())


@pytest.mark.slow
def test_the_same_van_gives_the_same_bytes(cli, tmp_path):
    cli("wiring", *written("one.svg", "one.pdf", "one.html"))
    cli("wiring", *written("two.svg", "two.pdf", "two.html"))
    for ending in ("svg", "pdf", "html"):
        one, two = ((tmp_path / f"{name}.{ending}").read_bytes() for name in ("one", "two"))
        assert one == two, ending


# --- what to buy ---

LISTS = ("list.csv", "list.xlsx", "list.html", "list.pdf", "list.json")


def workbook(path):
    with zipfile.ZipFile(path) as file:
        return file.read("xl/worksheets/sheet1.xml").decode(), file.read(
            "xl/sharedStrings.xml"
        ).decode()


def test_list_in_text_has_cautions_parts_and_totals(cli):
    out = " ".join(cli("buy", "--prices", "example", "--set", "van.payload_kg=400").out.split())
    assert out.startswith("Expected, not guaranteed.")
    for words in ("fuse 225 A class T", "EUR", "on the roof:", "payload left:"):
        assert words in out
    assert "OVERLOADED" not in out
    assert "OVERLOADED" in cli("buy", "--set", "van.payload_kg=20").out


def test_every_form_of_the_list_is_written(cli, tmp_path):
    ran = cli("buy", "--prices", "example", *written(*LISTS), *STOPPED)
    assert (ran.code, ran.out, ran.err) == (0, "", "")
    stop = "a fuse of 300 A does not protect"
    document = json.loads((tmp_path / "list.json").read_text())
    assert stop in document["stops"][-1]
    cells, strings = workbook(tmp_path / "list.xlsx")
    texts = {
        "csv": (tmp_path / "list.csv").read_text(),
        "html": (tmp_path / "list.html").read_text(),
        "pdf": pdf_text(tmp_path / "list.pdf"),
        "xlsx": strings,
    }
    for form, text in texts.items():
        for words in (stop, "Expected, not guaranteed.", "Panels and solar controllers"):
            assert words in text, form
    table = list(
        csv.DictReader(r for r in texts["csv"].splitlines() if not r.startswith("#"))
    )  # fmt: skip
    assert [row["part"] for row in table] == [item["part"] for item in document["items"]]
    assert cells.count("<row ") > len(table)


@pytest.mark.parametrize("name", ["=1+1", "+1", "-1", "@SUM(A1)"])
def test_no_cell_of_a_list_is_a_formula(cli, tmp_path, name):
    """A panel of a made-up name stands in the list as its file has it."""
    text = f"[prices]\ncurrency = 'EUR'\n[[parts]]\npart = '{name}'\ncost = 1.0\n"
    (tmp_path / "mine.toml").write_text(text)
    assert "no such part" in cli("buy", "--prices", "mine.toml").err
    cli("buy", "--set", f"van.name='{name}'", "-o", "list.xlsx", "-o", "list.csv")
    cells, strings = workbook(tmp_path / "list.xlsx")
    assert "<f>" not in cells
    assert f"What to buy: {name}" in strings
    assert (tmp_path / "list.csv").read_text().startswith(f"# What to buy: {name}")


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("-o", "list.ods"), "list.ods: --output: must end in .csv, .xlsx, .html, .pdf or .json"),
        (("--prices", "nowhere"), "nowhere: no such file or shipped example; shipped: example"),
    ],
)
def test_what_cannot_be_bought_is_refused_in_one_line(cli, arguments, told):
    ran = cli("buy", *arguments)
    assert ran.code == 2
    assert told in ran.err
    assert ran.err.count("\n") == 1


@pytest.mark.parametrize("limit", ["0", "-5", "nan", "1e9"])
def test_a_weight_that_cannot_be_is_refused(cli, limit):
    ran = cli("tune", "--max-kg", limit)
    assert ran.code == 2
    assert "--max-kg" in ran.err
    assert "must be above 0, up to 30,000 kg" in ran.err
