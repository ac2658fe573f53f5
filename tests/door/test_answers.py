"""Each answer's card, table, picture and document."""

from __future__ import annotations

import copy
import dataclasses
import html.parser
import json
import pickle
import re

import pandas as pd
import pytest

import solarsim
from solarsim.present.stay.documents import rounded
from tests.door.conftest import DATE, RUNS
from tests.test_layout import SUFFIXES, UNITLESS

NAMES = (
    *("stay", "bank", "tune", "levers", "seasons", "region", "roof", "check", "history"),
    *("calibrate", "sheet", "climate", "parts", "trip", "wiring", "buy", "offer"),
    "search",
)
DRAWN = (
    "search",
    *("stay", "bank", "tune", "levers", "seasons", "region", "roof", "history", "calibrate"),
    *("climate", "trip"),
)
ABOUT = ("--month", 3, "--days", 4, "--runs", RUNS)


def short(shown):
    return len(shown.splitlines()) <= 12 and len(shown) < 1200


@pytest.mark.one_plain
@pytest.mark.parametrize("name", NAMES)
def test_a_card_is_at_most_twelve_lines(answers, name):
    assert short(repr(answers[name]))
    assert len(repr(answers[name])) > 60
    assert str(answers[name]) == repr(answers[name])


@pytest.mark.parametrize("name", NAMES)
def test_everything_inside_is_short_as_well(answers, name):
    answer = answers[name]
    for field in dataclasses.fields(answer):
        value = getattr(answer, field.name)
        if dataclasses.is_dataclass(value):
            assert short(repr(value)), field.name


def test_a_card_tells_the_answer(answers):
    shown = " ".join(repr(answers["stay"]).split())
    assert "in March (9 stays in 10)" in shown
    assert "The van 'Weekender' near Salzburg, AT" in shown
    assert f"{RUNS} runs" in shown
    assert "worst month is" in " ".join(repr(answers["seasons"]).split())
    assert "3 x 200 W rigid: 600 W" in repr(answers["roof"])


class Tags(html.parser.HTMLParser):
    """Opened and closed tags of a card."""

    def __init__(self):
        super().__init__()
        self.open, self.seen = [], set()

    def handle_starttag(self, tag, attrs):
        self.open.append(tag)
        self.seen.add(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag


@pytest.mark.parametrize("name", NAMES)
def test_the_notebooks_card_is_whole_and_plain(answers, name):
    tags = Tags()
    tags.feed(answers[name]._repr_html_())
    assert tags.open == []
    assert tags.seen <= {"div", "p", "strong", "table", "tr", "th", "td"}


def test_typed_names_run_nothing_in_a_notebook():
    van = solarsim.Van.build(
        "<script>alert(1)</script>", panels="200 W rigid", battery="100 Ah LFP"
    )
    shown = solarsim.stay(van, runs=2, days=1)
    for record in (van, shown, shown.question):
        assert "<script" not in record._repr_html_()
        assert "&lt;script&gt;" in record._repr_html_()


# --- tables ---

WORDS = {
    *("van", "profile", "place", "name", "part", "kind", "id", "where", "way", "season", "change"),
    *("chemistry", "recommended", "pareto", "choice", "severity", "message", "advice", "source"),
    *("warnings", "skipped", "reason", "lengthwise", "panels", "battery_units", "windows", "year"),
    *("timezone", "town", "bank_units"),
    *("stop", "arrives", "leaves", "nights", "plugged_nights", "parking", "people"),
    # Of a run of the wiring plan.
    *("number", "start", "end", "return_end", "conductors", "count", "wire", "wire_given", "awg"),
    *("metric", "protection", "fuse_class", "place"),
    # Of the list of what to buy.
    *("group", "about", "runs", "weight_given"),
    # Of an offer.
    *("letter", "may_be_built", "worst_finding", "panels_that_fit", "largest_cable", "currency"),
    *("parts_cost", "unpriced_lines"),
    # Of the best builds.
    *("panel", "battery", "changes", "doubt"),
    # A figure's unit stands beside it in the column `unit`.
    *("value", "limit", "unit", "assumed", "standard_error", "needed"),
}


def says_its_unit(column):
    return (
        column in WORDS | UNITLESS
        or any(column == suffix or column.endswith(f"_{suffix}") for suffix in SUFFIXES)
        or bool(re.fullmatch(r"kt_p\d\d", column))
    )


@pytest.mark.parametrize("name", [name for name in NAMES if name != "parts"])
def test_columns_carry_their_units(answers, name):
    table = answers[name].frame()
    assert isinstance(table, pd.DataFrame)
    assert len(table) or name in {"check", "history"}
    assert [column for column in table if not says_its_unit(column)] == []


@pytest.mark.parametrize(
    ("name", "rows"),
    [("stay", 1), ("seasons", 12), ("climate", 12), ("tune", 9), ("roof", 3), ("trip", 10)],
)
def test_a_table_has_a_row_for_each(answers, name, rows):
    assert len(answers[name].frame()) == rows


def test_tables_hold_what_the_documents_hold(answers):
    for name, key, pairs in (
        ("bank", "banks", {"battery_units": "units", "p50_days": "p50"}),
        ("tune", "designs", {"panels": "panels", "chance_lasts_share": "chance_lasts"}),
        ("seasons", "months", {"month": "month", "p10_days": "p10"}),
        ("check", "findings", {"id": "id", "value": "value"}),
        ("climate", "months", {"temp_air_c": "temp_air_c", "kt_p50": "kt_p50"}),
    ):
        table, rows = answers[name].frame(), answers[name].to_dict()[key]
        for column, field in pairs.items():
            assert table[column].tolist() == [row[field] for row in rows]


def test_rows_of_many_stays_make_one_table(question):
    table = pd.concat(
        [solarsim.stay(question, month=month).frame() for month in (1, 7)], ignore_index=True
    )
    assert table["month"].tolist() == [1, 7]
    assert table["p50_days"].is_monotonic_increasing


def test_hours_are_stamped_with_the_places_clock(answers):
    soc = answers["stay"].hourly()
    assert list(soc) == ["p10_soc", "p50_soc", "p90_soc", "worst_soc"]
    assert len(soc) == 4 * 24 + 1
    assert soc.index[0].isoformat() == answers["stay"].to_dict()["soc"]["times"][0]
    assert ((soc >= 0.0) & (soc <= 1.0)).all(axis=None)
    log = answers["calibrate"].hourly()
    assert list(log) == ["measured_soc", "before_soc", "after_soc"]
    assert len(log) == len(answers["calibrate"].log.times)


def test_cables_of_the_check_are_a_table(answers):
    table = answers["check"].cables_frame()
    assert len(table) == len(answers["check"].cables)
    assert {"name", "design_a", "length_m", "wire", "fuse_a"} <= set(table)


def test_skipped_changes_have_no_figures(answers):
    table = answers["levers"].frame()
    skipped = table[table["skipped"].notna()]
    assert len(skipped)
    assert skipped["gained_days"].isna().all()
    assert table[table["skipped"].isna()]["gained_days"].notna().all()


# --- pictures ---


@pytest.mark.parametrize("name", DRAWN)
def test_a_picture_is_a_plotly_figure(answers, name):
    import plotly.graph_objects as go

    figure = answers[name].plot()
    assert isinstance(figure, go.Figure)
    assert len(figure.data) or len(figure.layout.shapes)


@pytest.mark.parametrize("name", [name for name in NAMES if name not in DRAWN])
def test_what_has_no_picture_has_no_plot(answers, name):
    assert not hasattr(answers[name], "plot")


def test_the_recommended_bank_is_named_in_the_picture(answers):
    figure = answers["bank"].plot()
    told = [note.text for note in figure.layout.annotations if "recommended" in note.text]
    assert len(told) == 1
    units = answers["bank"].recommended.units
    assert told[0].startswith(f"{units} unit")


# --- documents ---


@pytest.mark.one_plain
@pytest.mark.parametrize(
    "name", ["stay", "bank", "levers", "seasons", "roof", "check", "wiring", "buy", "history"]
)
def test_json_is_the_commands_byte_for_byte(answers, command, name):
    assert answers[name].to_json() == command(name, *ABOUT)


@pytest.mark.slow
def test_json_of_the_others_is_the_commands_byte_for_byte(answers, command, log_file):
    tuned = ("--panels", "1-3", "--strings", "2-4")
    assert answers["tune"].to_json() == command("tune", *ABOUT, *tuned)
    searched = ("--panels", "1-2", "--kinds", "own,100 W flexible", "--strings", "2,3")
    assert answers["search"].to_json() == command("search", *ABOUT, *searched)
    assert answers["calibrate"].to_json() == command("calibrate", log_file, *ABOUT)
    assert answers["climate"].to_json() == command("climate")
    priced = ("--prices", "example", "--date", DATE.isoformat())
    assert answers["offer"].to_json() == command(
        "offer", "weekender", "long-stayer", *priced, *ABOUT
    )
    assert answers["parts"].to_json() == command("parts")
    dated = ("--date", DATE.isoformat())
    sheet = command("sheet", "--days", 4, "--runs", RUNS, *dated)
    assert answers["sheet"].to_json(date=DATE) == sheet


@pytest.mark.parametrize("name", NAMES)
def test_dictionary_and_text_are_one_document(answers, name):
    document = answers[name].to_dict()
    assert json.loads(answers[name].to_json()) == json.loads(json.dumps(rounded(document)))
    assert document["schema"] == 1


def test_a_sheet_is_written_whole_or_not_at_all(answers, tmp_path):
    sheet = answers["sheet"]
    sheet.save(tmp_path / "sheet.pdf", date=DATE, paper="letter", units="us")
    sheet.save(str(tmp_path / "card.png"), date=DATE, form="square")
    assert (tmp_path / "sheet.pdf").read_bytes().startswith(b"%PDF")
    assert (tmp_path / "card.png").read_bytes().startswith(b"\x89PNG")
    for path, options, field in (
        ("sheet.docx", {}, "path"),
        ("sheet.pdf", {"paper": "a5"}, "paper"),
        ("sheet.pdf", {"units": "si"}, "units"),
        ("sheet.pdf", {"form": "square"}, "form"),
        ("sheet.pdf", {"form": "round"}, "form"),
        ("sheet.pdf", {"date": "today"}, "date"),
        ("sheet.pdf", {"photo": 3}, "photo"),
        (3, {}, "path"),
    ):
        target = tmp_path / "other" / path if isinstance(path, str) else path
        with pytest.raises(solarsim.InputError) as caught:
            sheet.save(target, **options)
        assert caught.value.field == field
    assert sorted(path.name for path in tmp_path.iterdir()) == ["card.png", "sheet.pdf"]


# --- equality ---


@pytest.mark.parametrize("name", NAMES)
def test_answers_compare_and_hash(answers, name):
    answer = answers[name]
    twin = pickle.loads(pickle.dumps(answer))
    assert twin == answer
    assert hash(twin) == hash(answer)
    assert answer != "stay"
    assert len({answer, twin}) == 1
    assert copy.copy(answer) == answer


def test_another_seed_is_another_answer(question, answers):
    assert solarsim.stay(question) == answers["stay"]
    assert solarsim.stay(question, seed=2) != answers["stay"]
    assert question != question.replace(seed=2)
    assert question == solarsim.ask("weekender", month=3, days=4, runs=RUNS)
    assert hash(question) == hash(question.replace(seed=question.seed))
