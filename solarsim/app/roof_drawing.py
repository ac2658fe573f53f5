"""The drawing of the roof as the page shows it: in the visitor's language and units."""

from __future__ import annotations

import html
from typing import Any

from solarsim.answers.roof import RoofAnswer
from solarsim.app.pictures import page_palette
from solarsim.app.translate import tr
from solarsim.app.units.chosen import digits, shown, units
from solarsim.app.units.quantities import FOOT_M
from solarsim.app.widgets.widgets import month
from solarsim.present.roof.plan import roof_figure

__all__ = ["drawn_roof"]


def drawn_roof(answer: RoofAnswer) -> Any:
    """Return the plan of an answer's layout as a plotly figure."""
    figure = roof_figure(answer, page_palette())
    figure.update_traces(textfont_size=12)
    if units().feet:
        # Every second foot: the drawing itself stays in metres.
        for axes in (figure.update_xaxes, figure.update_yaxes):
            axes(tickvals=[2 * FOOT_M * tick for tick in range(40)], ticktext=list(range(0, 80, 2)))
    _say_texts(figure, answer)
    figure.update_layout(height=300, margin={"l": 40, "r": 0, "t": 0, "b": 60})
    return figure


def _say_texts(figure: Any, answer: RoofAnswer) -> None:
    unit = "ft" if units().feet else "m"
    lines = [tr("from the rear, {unit}", unit=unit)]
    if answer.month is not None and answer.layout in answer.panel_shade_share:
        name = month(answer.month)
        lines.append(tr("%: energy lost to shade in {month}", month=name))
    beside_w = sum(one.count * one.power_w for one in answer.van.arrays if one.kind == "roof")
    if beside_w:
        power = digits(f"{beside_w:,.0f}")
        lines.append(tr("not drawn: {power} W in further arrays", power=power))
    figure.update_xaxes(title_text="<br>".join(lines))
    figure.update_yaxes(title_text=tr("from the left side, {unit}", unit=unit))
    labels = figure.data[-1]
    words = [html.escape(one) for one in _words(answer)]
    labels.update(hovertext=words)
    if answer.roof.walkway_y_m is not None:
        labels.update(text=[tr("walkway"), *labels.text[1:]])


def _words(answer: RoofAnswer) -> list[str]:
    """What is said of each thing under the mouse, in the order of the drawing."""
    roof, words = answer.roof, []
    if roof.walkway_y_m is not None:
        words.append(tr("walkway, {width} wide", width=shown(f"{roof.walkway_m:.2f} m")))
    for number, panel in enumerate(answer.layout.panels, start=1):
        words.append(
            tr(
                "{number}: {name}, {size} at {place}",
                number=number,
                name=panel.part,
                size=shown(f"{panel.length_m:.2f} x {panel.width_m:.2f} m"),
                place=shown(f"x {panel.x_m:.3f}, y {panel.y_m:.3f} m"),
            )
        )
    words += [
        tr(
            "{name}, {size}, {height} high, at {place}",
            name=one.name,
            size=shown(f"{one.length_m:.2f} x {one.width_m:.2f} m"),
            height=shown(f"{one.height_m:.2f} m"),
            place=shown(f"x {one.x_m:.2f}, y {one.y_m:.2f} m"),
        )
        for one in roof.obstacles
    ]
    return words
