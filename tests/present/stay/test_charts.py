"""Both drawings show the same rows, label what colour shows, and shade the nights."""

from __future__ import annotations

import re

import numpy as np
import pytest

from solarsim.answers.question import ask
from solarsim.answers.stay import stay
from solarsim.errors import InputError
from solarsim.present.palette import DARK, LIGHT
from solarsim.present.stay.charts import (
    PLOT_SUFFIXES,
    check_plot_path,
    ledger_figure,
    plot_bytes,
    soc_figure,
    stay_figure,
)
from solarsim.present.words import ledger_rows


@pytest.fixture(scope="module")
def answer():
    return stay(ask(runs=20, profile="ski-trip"))


@pytest.fixture(scope="module")
def figure(answer):
    return stay_figure(answer)


def luminance(colour):
    """Relative luminance of WCAG 2."""
    parts = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255.0
    linear = np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)
    return float(linear @ [0.2126, 0.7152, 0.0722])


def test_lines_are_the_answer_s(answer, figure):
    by_name = {trace.name: trace for trace in figure.data}
    np.testing.assert_array_equal(by_name["median of each hour"].y, 100.0 * answer.soc.p50)
    np.testing.assert_array_equal(by_name["8 in 10 runs"].y, 100.0 * answer.soc.p10)
    np.testing.assert_array_equal(by_name["worst run"].y, 100.0 * answer.soc.worst)
    assert len(by_name["median of each hour"].x) == 7 * 24 + 1


def test_lines_differ_by_more_than_colour(figure):
    lines = [trace.line for trace in figure.data if trace.type == "scatter" and trace.line.width]
    assert len({(line.dash, line.width) for line in lines}) == len(lines) == 2


def test_bars_are_the_ledger_s_rows_with_their_group_in_words(answer, figure):
    bars = next(trace for trace in figure.data if trace.type == "bar")
    shown = [row for row in ledger_rows(answer) if row[2] >= 0.5][::-1]
    assert list(bars.x) == [wh for _, _, wh in shown]
    for text, (_, label, _) in zip(bars.y, shown, strict=True):
        assert re.fullmatch(re.escape(label) + r" \((comes in|goes out|missed)\)", text)
    assert [int(text.replace(",", "")) for text in bars.text] == [round(wh) for _, _, wh in shown]


def test_lines_and_bars_stand_out_from_white(figure):
    """A contrast of 3 : 1, WCAG 2.1, 1.4.11."""
    colours = {trace.line.color for trace in figure.data if trace.type == "scatter"} - {None}
    colours |= set(next(trace for trace in figure.data if trace.type == "bar").marker.color)
    for colour in colours:
        assert 1.05 / (luminance(colour) + 0.05) >= 3.0, colour


def test_nights_are_shaded(answer, figure):
    nights = [shape for shape in figure.layout.shapes if shape.type == "rect"]
    # Seven nights from arrival in the afternoon of the first day.
    assert len(nights) == 7
    hours = sum(
        (np.datetime64(night.x1) - np.datetime64(night.x0)) / np.timedelta64(1, "h")
        for night in nights
    )
    assert hours == answer.night.sum()
    # Mid-January at 48 N: the sun is down for 15 to 16 hours.
    assert 14.0 <= hours / 7.0 <= 16.0


def test_cut_off_is_labelled(figure):
    texts = " ".join(note.text for note in figure.layout.annotations)
    assert "(10 % at 25 °C)" in texts
    assert "State of charge" in texts


@pytest.mark.parametrize("palette", [LIGHT, DARK])
def test_each_half_alone_shows_the_same(answer, figure, palette):
    alone = soc_figure(answer, palette)
    both = [trace for trace in figure.data if trace.type == "scatter"]
    assert [trace.name for trace in alone.data] == [trace.name for trace in both]
    for one, other in zip(alone.data, both, strict=True):
        np.testing.assert_array_equal(one.y, other.y)
    nights = [shape for shape in alone.layout.shapes if shape.type == "rect"]
    assert len(nights) == 7
    assert {night.fillcolor for night in nights} == {palette.night}
    bars = ledger_figure(answer, palette)
    rows = [row for row in ledger_rows(answer) if row[2] >= 0.5]
    assert list(bars.data[0].x) == [wh for _, _, wh in rows]
    said = [note.text for note in bars.layout.annotations]
    for text, (_, label, wh) in zip(said, rows, strict=True):
        assert text.startswith(label)
        assert f"<b>{wh:,.0f} Wh</b>" in text


@pytest.mark.slow
def test_a_year_is_drawn_with_its_nights():
    drawn = stay_figure(stay(ask(runs=3, days=365)))
    assert len(drawn.layout.shapes) > 300


@pytest.mark.slow
def test_the_midnight_sun_has_no_night():
    answer = stay(ask(runs=3, place="Tromso", month=6))
    assert not [shape for shape in stay_figure(answer).layout.shapes if shape.type == "rect"]
    assert plot_bytes(answer, ".svg").startswith(b"<?xml")


@pytest.mark.slow
@pytest.mark.parametrize("suffix", PLOT_SUFFIXES)
def test_same_answer_same_bytes(answer, suffix):
    first, second = (plot_bytes(answer, suffix) for _ in range(2))
    if suffix == ".html":
        # The drawing's element gets a random identifier.
        first, second = (
            re.sub(rb"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}", b"", content)
            for content in (first, second)
        )
    assert first == second


@pytest.mark.parametrize("name", ["a.pdf", "a", "a.html.gz", ".png", "png"])
def test_other_endings_are_refused(tmp_path, name):
    with pytest.raises(InputError, match=r"\.html, \.png, \.svg"):
        check_plot_path(tmp_path / name)


@pytest.mark.parametrize("name", ["a.html", "a.PNG", "a b.Svg"])
def test_known_endings_in_any_case(tmp_path, name):
    check_plot_path(tmp_path / name)
