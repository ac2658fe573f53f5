"""Real years in words and as a picture: what is drawn equals the answer."""

from __future__ import annotations

import dataclasses
import io
import xml.etree.ElementTree as ET

import pytest
from rich.console import Console

from solarsim.answers.history import HistoryAnswer, Side, YearAnswer
from solarsim.answers.question import ask
from solarsim.answers.simulation.summary import DaysUnplugged, stay_dates
from solarsim.inputs.profile import Profile
from solarsim.present.history.chart import history_bytes, history_figure
from solarsim.present.history.text import history_headline, missing_text, print_history, year_marks

SHARES = ("P1", "P10")
SVG = "{http://www.w3.org/2000/svg}"
# Year, chance, P50 and shortest days, what is left.
YEARS = (
    (2011, 0.97, 21.4, 6.2, 640.0),
    (2012, 0.1, 5.3, 3.1, 20.0),
    (2013, 1.0, 30.0, 30.0, 910.0),
)


def made(years=YEARS, ranked_by="chance", *, climate=(11.0, 24.0, 30.0)):
    """An answer of such years, beside a climate of such percentiles."""

    def side(p10, p50, p90, chance):
        days = DaysUnplugged(p10, p50, p90, (p10 + p90) / 2.0, 30)
        return Side("here and there", 93, chance, days, 2.1, 3.0)

    def spread(p50, shortest):
        return DaysUnplugged(shortest, p50, min(p50 + 2.0, 30.0), p50, 30)

    question = ask("weekender", place="36.10, -79.95", runs=5)
    answers = tuple(
        YearAnswer(year, 31, chance, spread(p50, shortest), shortest, left, 2.0, 3.0)
        for year, chance, p50, shortest, left in years
    )
    order = sorted(answers, key=lambda one: (one.chance_lasts, one.days.p50, one.reserve_wh))
    return HistoryAnswer(
        question=question,
        dates=stay_dates(question),
        climate=None if climate is None else side(*climate, 0.9),
        history=side(3.5, 17.0, 29.0, 0.69) if years else None,
        years=answers,
        worst=order[0] if years else None,
        best=order[-1] if years else None,
        ranked_by=ranked_by,
        typical=False,
        missing_years=(),
        notes=(),
    )


def traces(figure):
    return {trace.name: trace for trace in figure.data if trace.x[0] is not None}


def beside(figure):
    """Figures right of the picture, by their row, from left to right."""
    rows = {}
    for note in sorted(figure.layout.annotations, key=lambda note: note.xshift):
        rows.setdefault(note.y, []).append(note.text)
    return rows


def test_the_picture_s_values_are_the_answer_s():
    answer = made()
    figure = history_figure(answer)
    drawn = traces(figure)
    bars, shortest = drawn["P50 of the year's stays"], drawn["its shortest stay"]
    assert list(bars.x) == [year.days.p50 for year in answer.years]
    assert list(shortest.x) == [year.shortest_days for year in answer.years]
    assert list(bars.y) == list(shortest.y) == [2, 3, 4]
    spread = drawn["P10 to P90, dot at P50"]
    for row, one in enumerate((answer.climate, answer.history, *answer.years)):
        p50 = spread.x[row]
        assert p50 == one.days.p50
        assert p50 - spread.error_x.arrayminus[row] == pytest.approx(one.days.p10)
        assert p50 + spread.error_x.array[row] == pytest.approx(one.days.p90)
    band = drawn["embedded climate, P10 to P90"]
    assert (min(band.x), max(band.x)) == (11.0, 30.0)
    assert set(drawn["embedded climate, P50"].x) == {24.0}
    # A chance of 97 % in 31 stays is a figure; the horizon reads "30+".
    assert beside(figure) == {
        -1: ["P50<br>days", "lasts<br>7 days"],
        0: ["24.0", "90 %"],
        1: ["17.0", "69 %"],
        2: ["21.4", "97 %"],
        3: ["5.3", "10 %"],
        4: ["30+", "100 %"],
    }
    assert list(figure.layout.xaxis.ticktext)[-1] == "30+"


def test_years_stand_in_order_and_the_worst_and_best_are_named_in_words():
    figure = history_figure(made())
    axis = figure.layout.yaxis
    assert axis.range[0] > axis.range[1], "the first is on top"
    assert list(axis.ticktext) == [
        "climate", "real years", "2011", "<b>worst 2012</b>", "<b>best 2013</b>",
    ]  # fmt: skip
    colours = traces(figure)["P50 of the year's stays"].marker.color
    assert len(set(colours)) == 3


def test_years_that_are_alike_are_not_set_against_each_other():
    alike = made(tuple((year, 0.0, 0.0, 0.0, 0.0) for year in (2011, 2012)), "reserve")
    assert year_marks(alike) == {}
    assert "No year was worse than another (0 Wh left" in history_headline(alike)
    figure = history_figure(alike)
    assert list(figure.layout.yaxis.ticktext)[2:] == ["2011", "2012"]
    assert len(set(traces(figure)["P50 of the year's stays"].marker.color)) == 1
    low, high = figure.layout.xaxis.range
    assert low < 0.0 < 0.9 < high


def test_what_sets_the_years_apart_is_in_the_headline():
    assert (
        "lasted 7 days in 69 % of its stays. The worst year was 2012 (10 % of its stays lasted), "
        "the best 2013 (100 %)." in history_headline(made())
    )
    days = made(((2011, 0.0, 2.0, 1.0, 0.0), (2012, 0.0, 3.0, 1.0, 0.0)), "days")
    assert "2011 (2.0 days at P50), the best 2012 (3.0 days)" in history_headline(days)
    left = made(((2011, 1.0, 30.0, 30.0, 1204.0), (2012, 1.0, 30.0, 30.0, 880.0)), "reserve")
    assert "2012 (880 Wh left at the lowest hour), the best 2011 (1,204 Wh)" in (
        history_headline(left)
    )
    one = history_headline(made(YEARS[:1]))
    assert one.startswith("In January 2011 near")
    assert "worst" not in one


@pytest.mark.slow
@pytest.mark.parametrize(
    "answer",
    [made(), made(YEARS[:1]), made(()), made(climate=None), made(climate=(30.0, 30.0, 30.0))],
    ids=["three", "one", "no year", "no climate", "climate at the horizon"],
)
def test_every_answer_can_be_drawn(answer):
    content = history_bytes(answer, ".svg")
    assert history_bytes(answer, ".svg") == content
    assert len(ET.fromstring(content).findall(f".//{SVG}path")) > 10
    assert "licensed electrician" in history_bytes(answer, ".html").decode()


@pytest.mark.slow
def test_a_picture_of_dots():
    assert history_bytes(made(), ".png").startswith(b"\x89PNG")


@pytest.mark.slow
def test_a_name_is_no_formula_and_no_markup():
    answer = made()
    van = answer.question.van
    evil = van.model_copy(update={"van": van.van.model_copy(update={"name": "$5 <b>$"})})
    answer = dataclasses.replace(answer, question=dataclasses.replace(answer.question, van=evil))
    assert "<b>$" not in history_bytes(answer, ".html").decode().partition("</h1>")[0]
    ET.fromstring(history_bytes(answer, ".svg"))


def test_missing_years_are_named():
    one = missing_text((2007,), 19)
    assert one.startswith("2007 is not in the cache: answering from the other 19; ")
    assert missing_text((2005, 2006, 2009), 1).startswith("2005-2006, 2009 are not in the cache")
    assert "the embedded climate alone" in missing_text((2005, 2006), 0)


def test_beside_a_medical_device_the_worst_of_a_hundred_leads():
    answer = made()
    profile = Profile.build("Sleeper", ["breathing device"], medical=["breathing device"])
    climate = answer.climate
    told = dataclasses.replace(
        answer,
        question=answer.question.replace(profile=profile),
        climate=dataclasses.replace(climate, days=dataclasses.replace(climate.days, p1=5.5)),
    )
    assert history_headline(told).startswith("By the embedded climate 99 stays in 100 reach 5.5")
    assert "NOT SAFE" in history_headline(told)
    assert history_headline(answer) in history_headline(told)
    drawn = traces(history_figure(told))
    band = drawn["embedded climate, P1 to P90"]
    assert min(band.x) == 5.5
    whiskers = drawn["P1, of real years the shortest, to P90, dot at P50"]
    begins = [x - low for x, low in zip(whiskers.x, whiskers.error_x.arrayminus, strict=True)]
    assert begins == pytest.approx([5.5, 3.1, *(year.shortest_days for year in told.years)])
    console = Console(record=True, width=160, file=io.StringIO())
    print_history(told, console)
    rows = console.export_text().splitlines()
    first, second = (next(n for n, row in enumerate(rows) if f" {p} days" in row) for p in SHARES)
    assert first == second - 1
    years = next(row for row in rows if "lasted" in row and "shortest" in row)
    assert years.index("shortest") < years.index("P10")
    # Too few runs: nothing is safe.
    assert "NOT SHOWN TO BE SAFE" in history_headline(dataclasses.replace(told, climate=climate))
