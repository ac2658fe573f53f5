"""Pictures that compare say in words what they show, and take no name for a tag."""

from __future__ import annotations

import numpy as np
import pytest

from solarsim.answers.levers import Lever
from solarsim.answers.question import ask
from solarsim.answers.seasons import seasons
from solarsim.answers.stay import stay
from solarsim.power.design import design_of
from solarsim.present.bars import bars_figure
from solarsim.present.compare.charts import levers_figure, seasons_figure, side_by_side_figure

LEVERS = (
    Lever("one more panel", "build", 1.26, 0.1, 0.2),
    Lever("<b>x</b> off", "live", -0.02, 0.3, 0.0),
)


def test_bars_stand_in_order_with_their_names_above():
    figure = bars_figure(
        labels=["a", "b"], values=[2.0, -1.0], texts=["two", "less"], colours=["red", "blue"]
    )
    bar = figure.data[0]
    assert (list(bar.x), list(bar.y)) == ([2.0, -1.0], [0, 1])
    low, high = figure.layout.yaxis.range
    assert low > high, "the first is on top"
    for row, note in enumerate(figure.layout.annotations):
        # Between this bar's upper edge and the one before.
        assert row - 1 + bar.width / 2 < note.y < row - bar.width / 2


def test_levers_say_their_days_and_no_name_is_a_tag():
    figure = levers_figure(LEVERS)
    said = [note.text for note in figure.layout.annotations]
    assert said[0] == "one more panel  <b>+1.3 days</b>"
    assert said[1] == "&lt;b&gt;x&lt;/b&gt; off  <b>+0.0 days</b>"
    assert list(figure.data[0].error_x.array) == [0.1, 0.3]
    assert figure.data[0].marker.color[0] != figure.data[0].marker.color[1]


def test_levers_may_be_drawn_by_what_they_leave():
    lever = Lever("one more battery", "build", 0.0, 0.0, 0.0, 1172.4, 3.0)
    figure = levers_figure([lever], by="reserve")
    assert figure.layout.annotations[0].text == "one more battery  <b>+1,172 Wh</b>"
    assert list(figure.data[0].error_x.array) == [3.0]


@pytest.mark.slow
def test_seasons_show_every_month_s_chance_and_days():
    answer = seasons(ask(runs=20))
    chance, days = seasons_figure(answer).data
    np.testing.assert_allclose(chance.y, [100.0 * row.chance_lasts for row in answer.months])
    assert list(chance.text) == [f"{100 * row.chance_lasts:.0f}" for row in answer.months]
    for row, p50, up, down in zip(
        answer.months, days.y, days.error_y.array, days.error_y.arrayminus, strict=True
    ):
        assert (p50, p50 + up, p50 - down) == pytest.approx(
            (row.days.p50, row.days.p90, row.days.p10)
        )


def test_designs_differ_by_more_than_colour():
    answer = stay(ask(runs=5))
    figure = side_by_side_figure([(name, answer) for name in ("Now", "A", "B", "C")])
    lines = [trace.line for trace in figure.data]
    assert len({line.dash for line in lines}) == len({line.color for line in lines}) == 4
    floor = design_of(answer.question.van).floor_soc
    wanted_wh = answer.usable_wh * (answer.soc.p50 - floor) / (1.0 - floor)
    np.testing.assert_allclose(figure.data[0].y, wanted_wh)


def test_banks_of_unlike_chemistries_stand_on_one_scale():
    """At half charge a lead-acid bank is cut off; a lithium one has nine twentieths left."""
    lithium = stay(ask(runs=5))
    lead = stay(ask(runs=5, settings=["battery.part=100 Ah AGM"]))
    figure = side_by_side_figure([("Now", lithium), ("A", lead)])
    half = len(lithium.soc.p50) // 4
    for trace, answer in zip(figure.data, (lithium, lead), strict=True):
        energy_wh = np.asarray(trace.y)
        assert energy_wh[0] == pytest.approx(answer.usable_wh, rel=0.02)
    assert lead.days.p50 < lithium.days.p50
    # What is cut off first lies below until then.
    assert np.all(np.asarray(figure.data[1].y)[:half] < np.asarray(figure.data[0].y)[:half])
    names = [trace.name for trace in figure.data]
    assert names == ["Now, cut off at 10 %", "A, cut off at 50 %"]
    assert [shape.y0 for shape in figure.layout.shapes] == [0.0]
