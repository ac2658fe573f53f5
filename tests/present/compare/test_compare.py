"""Comparing answers on a terminal, as documents, and as a picture."""

from __future__ import annotations

import dataclasses
import io
import json
import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest
from plotly.colors import sample_colorscale
from rich.console import Console

from solarsim.answers.levers import levers
from solarsim.answers.question import ask
from solarsim.answers.seasons import seasons
from solarsim.answers.tune.rows import units_worth_showing
from solarsim.answers.tune.tune import tune
from solarsim.inputs.percent import percent
from solarsim.present.compare import heat_map
from solarsim.present.compare.documents import levers_document, seasons_document, tune_document
from solarsim.present.compare.heat_map import heat_map_bytes, heat_map_figure
from solarsim.present.compare.text import print_levers, print_seasons
from solarsim.present.compare.tune_text import print_tune
from solarsim.present.stay.documents import to_json
from solarsim.present.words import month_name
from tests.contrast import contrast

PRICES = ("panels.cost=100", "battery.cost=12345")
LONG_NAME = ['van.name="[bold]A van with quite a long name for a van that is quite long[/bold]"']


@pytest.fixture(scope="module")
def tuned():
    return tune(ask(month=11, runs=40))


@pytest.fixture(scope="module")
def priced():
    return tune(ask(month=11, runs=40, settings=[*PRICES, *LONG_NAME]))


@pytest.fixture(scope="module")
def hopeless():
    return tune(
        ask(month=12, place="Tromso", runs=5, days=20).replace(follow_days=20), strings=[1, 2]
    )


@pytest.fixture(scope="module")
def ranked():
    return levers(ask(month=2, runs=20, settings=LONG_NAME))


@pytest.fixture(scope="module")
def year():
    return seasons(ask(runs=10, settings=LONG_NAME))


LEVER_FIELDS = {"name", "days_gained", "standard_error", "chance_gained", "reserve_gained_wh"}
LEVER_FIELDS |= {"reserve_standard_error_wh", "warnings", "skipped"}
LEVER_FIELDS |= {"kind", "needed", "stopped"}
SHOWN = [
    ("tuned", print_tune, tune_document),
    ("priced", print_tune, tune_document),
    ("hopeless", print_tune, tune_document),
    ("ranked", print_levers, levers_document),
    ("year", print_seasons, seasons_document),
]


def shown(show, answer, width=80):
    out = io.StringIO()
    show(answer, Console(file=out, width=width, highlight=False))
    return out.getvalue()


def one_line(text):
    return " ".join(text.split())


# --- text ---


@pytest.mark.one_plain
@pytest.mark.parametrize(("name", "show"), [row[:2] for row in SHOWN])
@pytest.mark.parametrize("width", [60, 80, 200])
def test_prints_at_any_width_and_cuts_nothing_off_at_80(request, name, show, width):
    text = shown(show, request.getfixturevalue(name), width)
    assert max(map(len, text.splitlines())) <= width
    if width >= 80:
        assert "\u2026" not in text
    assert "Expected, not guaranteed" in text
    assert not re.search(r"-0(\.0+)?(?![.\d])", text)
    assert not re.search(r"\b(nan|inf|None)\b", text)


def test_tune_leads_with_what_to_build(tuned):
    choice = tuned.choice
    text = one_line(shown(print_tune, tuned))
    assert text.startswith(
        f"Build {choice.panels} panels on a controller of {choice.controller_a:g} A"
    )
    assert f"({choice.capacity_ah:g} Ah LFP)" in text
    assert percent(choice.chance_lasts) in text
    # The choice alone stands in brackets.
    assert re.findall(r"\[\d+ %\]", text) == [f"[{percent(choice.chance_lasts)}]"]


def test_tune_prints_every_chance(tuned):
    text = shown(print_tune, tuned, 120)
    panels = sorted({d.panels for d in tuned.designs})
    shown_units, left_out = units_worth_showing(tuned.designs, tuned.choice)
    assert len(shown_units) + left_out == len({d.units for d in tuned.designs})
    assert left_out > 0
    assert f"{left_out} rows are left out" in text
    for units in shown_units:
        row = next(d for d in text.splitlines() if re.match(rf"\W+{units} \W", d))
        cells = re.findall(r"(\d+) %", row)
        chances = [
            next(d for d in tuned.designs if (d.panels, d.units) == (p, units)) for p in panels
        ]
        assert cells == [f"{100 * d.chance_lasts:.0f}" for d in chances]


def test_tune_has_a_table_for_every_kind():
    question = ask(month=11, runs=5).replace(follow_days=7)
    answer = tune(question, panels=[1, 2], strings=[1], chemistries=["lfp", "agm"])
    text = one_line(shown(print_tune, answer, 120))
    assert text.count("panels across, units down") == 2
    assert "(LFP, DC-DC 30 A, tilt 0)" in text
    assert "(AGM, DC-DC 30 A, tilt 0)" in text


def test_a_long_line_of_best_designs_is_cut_and_says_so(tuned):
    lasting = tuple(d for d in tuned.designs if d.chance_lasts > 0.0 and d.panels > 0)
    many = dataclasses.replace(tuned, pareto=lasting)
    text = one_line(shown(print_tune, many))
    hidden = len(many.pareto) - int(re.search(r"(\d+) more of these", text)[1])
    assert 12 <= hidden <= 13
    assert "the JSON has them all" in text
    assert "more of these" not in shown(print_tune, dataclasses.replace(many, pareto=()))


def test_prices_take_the_place_of_p90(tuned, priced):
    assert "P90" in shown(print_tune, tuned)
    assert "cost" not in shown(print_tune, tuned).split("Taken as given")[0].replace("costl", "")
    text = shown(print_tune, priced)
    assert "P90" not in text
    assert f"{priced.choice.cost:,.0f}" in text
    assert "cheapest" in text


def test_tune_without_a_choice_says_so(hopeless):
    text = one_line(shown(print_tune, hopeless))
    most = max(design.panels for design in hopeless.designs)
    assert text.startswith(
        f"No design will do: no design of up to {most} panels and 2 units reaches 90 %"
    )
    assert not re.search(r"\[\d+ %\]", text)


def test_levers_print_signs_and_reasons(ranked):
    text = shown(print_levers, ranked, 160)
    applied = [lever for lever in ranked.levers if lever.skipped is None]
    rows = [line for line in text.splitlines() if "points" in line]
    assert len(rows) == len(applied)
    for row, lever in zip(rows, applied, strict=True):
        assert lever.name in row
        assert f"{lever.days_gained:+z.1f}" in row
        assert f"{100 * lever.chance_gained:+z.0f} points" in row
    for lever in ranked.levers:
        if lever.skipped is not None:
            assert f"{lever.name}: {lever.skipped}" in text
    for kind, lead in (("build", "Gains most if built"), ("live", "Gains most if done")):
        best = ranked.of_kind(kind)[0]
        assert f"{lead}: {best.name} ({best.days_gained:+.1f} days)" in one_line(text)
    worst = min(applied, key=lambda lever: lever.days_gained)
    assert f"Costs most: {worst.name} ({worst.days_gained:+.1f} days)" in one_line(text)
    marked = [lever for lever in applied if f"{lever.name} *" in text]
    assert marked == [lever for lever in applied if lever.stopped] != []
    assert "* The electrical check stops it so" in text


def test_levers_of_a_van_that_lasts_warn_of_the_days_followed():
    text = one_line(shown(print_levers, levers(ask(month=6, runs=5))))
    assert "Days beyond the 30 followed do not count as gained: the changes are ranked by" in text
    assert re.search(r"Gains most if built: one more battery \(\+1,\d{3} Wh\)", text)
    assert re.search(r"Costs most: cooking on induction \(-1,\d{3} Wh\)", text)


@pytest.mark.slow
def test_levers_say_what_a_change_would_overload(ranked):
    text = one_line(shown(print_levers, ranked))
    assert "cooking on induction: 'induction hob' draws 1,500 W; the inverter gives 1,200 W" in text
    weak = levers(ask("long-stayer", runs=3, settings=["inverter.power_w=1000"]))
    said = one_line(shown(print_levers, weak, 400))
    assert "Warnings:" in said
    assert "draws 1,500 W: more than the inverter's 1,000 W" in said
    document = levers_document(weak)
    assert set(weak.warnings) <= set(document["warnings"])


def test_seasons_lead_with_the_worst_month(year):
    text = one_line(shown(print_seasons, year))
    worst = year.months[year.worst_month - 1]
    assert text.startswith("The worst month is ")
    assert f"{percent(worst.chance_lasts)} of runs" in text
    for month in ("Jan", "Jun", "Dec"):
        assert month in text


@pytest.mark.slow
def test_seasons_name_no_worst_month_where_all_last():
    answer = seasons(ask(place="Lisbon", runs=5, days=3, settings=["panels.count=6"]))
    assert answer.worst_by == "reserve"
    lowest = min(answer.months, key=lambda row: row.reserve_wh)
    assert lowest.month == answer.worst_month
    text = one_line(shown(print_seasons, answer))
    assert text.startswith(
        f"No month is worse than {month_name(lowest.month)} by its days: the van lasts 3 days in "
    )
    assert f"with {lowest.reserve_wh:,.0f} Wh left at the stay's lowest hour" in text


@pytest.mark.parametrize(("name", "show"), [("ranked", print_levers), ("year", print_seasons)])
def test_names_are_shown_as_they_are(request, name, show):
    text = one_line(shown(show, request.getfixturevalue(name)))
    assert "[bold]A van with quite a long name" in text


# --- documents ---


@pytest.mark.parametrize(("name", "document"), [(row[0], row[2]) for row in SHOWN])
def test_documents_are_json_of_schema_1(request, name, document):
    made = document(request.getfixturevalue(name))
    read = json.loads(to_json(made))
    assert read["schema"] == 1
    assert read["place"]["timezone"].startswith("Europe/")
    assert all(isinstance(text, str) for text in read["warnings"])


def test_tune_s_document_has_every_design(tuned, hopeless):
    document = json.loads(to_json(tune_document(tuned)))
    fields = {"panels", "units", "capacity_ah", "chance_lasts", "p1", "p10", "p50", "p90"}
    fields |= {"refused_wh_per_day", "cost", "controller_a", "chemistry", "dcdc_a", "tilt_deg"}
    fields |= {"cost_in_panel_w"}
    for row in (*document["designs"], document["choice"]):
        assert set(row) == fields
    assert document["pareto"]
    assert all(set(row) == fields for row in document["pareto"])
    for row, design in zip(document["designs"], tuned.designs, strict=True):
        assert (row["panels"], row["units"]) == (design.panels, design.units)
        wanted = (design.chance_lasts, design.days.p50)
        assert (row["chance_lasts"], row["p50"]) == pytest.approx(wanted, rel=1e-8)
        assert row["cost"] == design.cost
    assert document["choice"] in document["designs"]
    for row in document["pareto"]:
        assert {key: row[key] for key in fields} in document["designs"]
    assert set(tuned.notes) <= set(document["warnings"])
    assert json.loads(to_json(tune_document(hopeless)))["choice"] is None


def test_levers_document_has_every_lever_in_order(ranked):
    document = json.loads(to_json(levers_document(ranked)))
    assert [row["name"] for row in document["levers"]] == [lever.name for lever in ranked.levers]
    assert all(set(row) == LEVER_FIELDS for row in document["levers"])
    assert document["days_unplugged"]["p50"] == pytest.approx(ranked.days.p50, rel=1e-8)
    assert document["chance_lasts"] == pytest.approx(ranked.chance_lasts, rel=1e-8)


def test_seasons_document_has_twelve_months(year):
    document = json.loads(to_json(seasons_document(year)))
    assert [row["month"] for row in document["months"]] == list(range(1, 13))
    assert document["worst_month"] == year.worst_month
    for row, month in zip(document["months"], year.months, strict=True):
        wanted = (month.days.p10, month.days.p50, month.days.p90)
        assert (row["p10"], row["p50"], row["p90"]) == pytest.approx(wanted, rel=1e-8)
        assert row["chance_lasts"] == month.chance_lasts


# --- picture ---


@pytest.mark.parametrize("chance", [0.0, 0.3, 0.45, 0.47, 0.5, 0.7, 1.0])
def test_a_chance_can_be_read_on_its_cell(chance):
    ground = sample_colorscale("Cividis", [chance])[0]
    assert contrast(heat_map._ink(chance), ground) >= 4.45


def test_picture_holds_the_chances_and_outlines_the_choice(tuned):
    figure = heat_map_figure(tuned)
    (heat,) = figure.data
    for row, units in enumerate(heat.y):
        for column, panels in enumerate(heat.x):
            design = next(d for d in tuned.designs if (d.panels, d.units) == (panels, units))
            assert heat.z[row][column] == pytest.approx(100.0 * design.chance_lasts)
            # The number is written as well: colour never carries meaning alone.
            assert heat.text[row][column] == percent(design.chance_lasts)
    written = {(note.x, note.y): note for note in figure.layout.annotations}
    assert len(written) == np.size(heat.z)
    for (column, row), note in written.items():
        assert note.text == heat.text[row][column]
        cell = sample_colorscale("Cividis", [heat.z[row][column] / 100.0])[0]
        assert contrast(note.font.color, cell) >= 4.45
    (outline,) = figure.layout.shapes
    middle = (outline.x0 + outline.x1) / 2, (outline.y0 + outline.y1) / 2
    assert heat.x[int(middle[0])] == tuned.choice.panels
    assert heat.y[int(middle[1])] == tuned.choice.units


def test_picture_shows_the_kind_that_is_chosen():
    question = ask(month=11, runs=5).replace(follow_days=7)
    answer = tune(question, panels=[1, 3], strings=[1, 3], chemistries=["agm", "lfp"])
    assert answer.choice.chemistry == "lfp"
    (heat,) = heat_map_figure(answer).data
    lithium = [d for d in answer.designs if d.chemistry == "lfp"]
    assert np.sum(heat.z) == pytest.approx(100.0 * sum(d.chance_lasts for d in lithium))


def test_no_choice_no_outline(hopeless):
    assert not heat_map_figure(hopeless).layout.shapes
    assert b"no design reaches 90 %" in heat_map_bytes(hopeless, ".html")


def test_a_choice_past_the_last_row_that_is_needed_is_shown(tuned):
    """As where the check stops a smaller bank that would last."""
    usual, left_out = units_worth_showing(tuned.designs, tuned.choice)
    assert left_out >= 2
    far = next(d for d in tuned.designs if d.panels == 1 and d.units == usual[-1] + 2)
    answer = dataclasses.replace(tuned, choice=far)
    (heat,) = heat_map_figure(answer).data
    assert list(heat.y) == [*usual, far.units - 1, far.units]
    assert len(heat_map_figure(answer).layout.shapes) == 1
    assert heat_map_bytes(answer, ".svg").count(b"<svg") == 1
    assert re.search(
        rf"\W{far.units} .*\[{percent(far.chance_lasts)}\]", shown(print_tune, answer, 120)
    )


def test_picture_s_title_names_the_choice(tuned):
    title = f"{tuned.choice.panels} panels and {tuned.choice.units} units"
    assert title in heat_map_bytes(tuned, ".html").decode()


@pytest.mark.slow
@pytest.mark.parametrize("suffix", [".html", ".png", ".svg"])
def test_same_answer_same_bytes(tuned, suffix):
    first, second = (heat_map_bytes(tuned, suffix) for _ in range(2))
    if suffix == ".html":
        # The drawing's element gets a random identifier.
        first, second = (
            re.sub(rb"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}", b"", content)
            for content in (first, second)
        )
    assert first == second


@pytest.mark.slow
def test_files_are_what_their_endings_say(tuned):
    assert heat_map_bytes(tuned, ".png").startswith(b"\x89PNG")
    assert ET.fromstring(heat_map_bytes(tuned, ".svg")).tag.endswith("svg")
    page = heat_map_bytes(tuned, ".html").decode()
    assert page.lstrip().lower().startswith("<!doctype html>")
    # Nothing is fetched when the page is opened.
    assert not re.search(r"<(script|link|img|iframe)\b[^>]*\b(src|href)=", page)


@pytest.mark.slow
def test_a_single_cell_can_be_drawn():
    one = tune(ask(runs=3).replace(follow_days=7), panels=[2], strings=[2])
    assert heat_map_bytes(one, ".png").startswith(b"\x89PNG")
