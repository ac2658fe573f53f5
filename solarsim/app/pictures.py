"""Put a figure on the page: in the page's colours, still under a thumb, and said in words."""

from __future__ import annotations

import html
import numbers
import re
from collections.abc import Callable, Sequence
from typing import Any

import streamlit as st

from solarsim.app.translate import ENGLISH, catalogue, tr
from solarsim.app.units.chosen import digits, units
from solarsim.app.units.quantities import THOUSANDS
from solarsim.app.units.words import in_units_columns
from solarsim.app.worded import worded
from solarsim.present.palette import DARK, LIGHT, Palette

__all__ = ["page_palette", "show_figure", "show_sideways", "show_table", "table_html"]

_NUMBER = re.compile(r"[+\-±<>]?\d[\d,]*(\.\d+)?[+%]?")
# As `solarsim.present.bars` names a bar.
_NAMED_BAR = re.compile(r"(.*)  <b>(.*)</b>")
_CONFIG = {
    "displayModeBar": False,
    "displaylogo": False,
    "showSendToCloud": False,
    "scrollZoom": False,
    "responsive": True,
}


def page_palette() -> Palette:
    """Return the colours of the visitor's theme."""
    return DARK if st.context.theme.type == "dark" else LIGHT


def show_sideways() -> None:
    """Say on a narrow page alone that what is wider than it moves inside a box of its own."""
    said = html.escape(tr("Swipe sideways for the rest; the page stays."))
    st.html(f'<p class="sideways-hint">{said}</p>')


def show_figure(
    figure: Any, *, key: str, alt: str, on_pick: Callable[[], None] | None = None
) -> None:
    """Draw a plotly figure that does not catch a scrolling thumb; `alt` says what it shows.

    With `on_pick` a point can be clicked; the session holds it under `key` while that is called.
    """
    palette = page_palette()
    _in_words(figure)
    figure.update_layout(
        paper_bgcolor="rgba(0,0,0,0)",
        plot_bgcolor="rgba(0,0,0,0)",
        font={"color": palette.ink, "size": 14, "family": "Source Sans, sans-serif"},
        dragmode=False,
        hoverlabel={"bgcolor": palette.page, "font": {"color": palette.ink}},
    )
    lines = {"gridcolor": palette.grid, "linecolor": palette.grid, "zerolinecolor": palette.quiet}
    figure.update_xaxes(fixedrange=True, **lines)
    figure.update_yaxes(fixedrange=True, **lines)
    st.plotly_chart(
        figure,
        key=key,
        theme=None,
        config=_CONFIG,
        alt=alt,
        on_select=on_pick or "ignore",
        selection_mode="points",
    )


def show_table(title: str, columns: dict[str, Sequence[Any]]) -> None:
    """Offer the figure's numbers as a table, of which a narrow page makes a card a row."""
    with st.expander(tr(title)):
        st.html(table_html(title, columns))


def _in_words(figure: Any) -> None:
    """Say a figure in the visitor's language, units and signs; its points stay where they are."""
    if units().comma:
        figure.update_layout(separators=f",{THOUSANDS}")
    layout = figure.layout
    words = [*layout.annotations, layout.title, layout.coloraxis.colorbar.title]
    for axis in (*figure.select_xaxes(), *figure.select_yaxes()):
        words += [axis.title]
        if axis.ticktext is not None:
            axis.ticktext = _each(axis.ticktext)
    for trace in figure.data:
        if trace.name:
            trace.name = worded(trace.name)
        if isinstance(trace.hovertemplate, str):
            trace.hovertemplate = _hover(trace.hovertemplate)
        words += [bar.title for bar in [getattr(trace, "colorbar", None)] if bar is not None]
        for name in ("text", "hovertext"):
            said = getattr(trace, name, None)
            if isinstance(said, str):
                trace.update({name: _bare(said)})
            elif said is not None:
                trace.update({name: _each(said)})
    for one in words:
        if one.text:
            one.text = _marked(one.text)


def _marked(said: str) -> str:
    """A text of a chart, or a bar's name with its value behind it, in plotly's own marks."""
    named = _NAMED_BAR.fullmatch(said)
    if named is None or catalogue()["language"] == ENGLISH:
        return worded(said)
    name, value = (html.escape(worded(html.unescape(one)), quote=False) for one in named.groups())
    return f"{name}  <b>{value}</b>"


def _hover(said: str) -> str:
    """A template of hover text, whose marks for values stay."""
    if catalogue()["language"] == ENGLISH:
        return said
    main, extra, aside = said.partition("<extra>")
    return tr(main) + extra + tr(aside.removesuffix("</extra>")) + ("</extra>" if extra else "")


def _each(said: Any) -> Any:
    """The texts of points, row by row where they stand in rows."""
    if isinstance(said, str):
        return _bare(said)
    if isinstance(said, numbers.Real) or said is None:
        return said
    return [_each(one) for one in said]


def _bare(said: str) -> str:
    """A text of a chart or a cell, which may be a bare number."""
    return digits(said) if _NUMBER.fullmatch(said) else worded(said)


def table_html(title: str, columns: dict[str, Sequence[Any]]) -> str:
    """Return the table in the visitor's language and units.

    Its roles stay where its rows become cards.

    Examples
    --------
    >>> table_html("Bank", {"units": [2]}).count("units")
    2
    """
    title = tr(title)
    columns = in_units_columns({tr(name): one for name, one in columns.items()}, units())
    names = [html.escape(name) for name in columns]
    heads = "".join(f'<th role="columnheader">{name}</th>' for name in names)
    rows = "".join(
        f'<tr role="row">{"".join(map(_cell, names, values))}</tr>'
        for values in zip(*columns.values(), strict=True)
    )
    return (
        f'<div class="numbers" role="region" aria-label="{html.escape(title)}" tabindex="0">'
        f'<table role="table"><thead role="rowgroup"><tr role="row">{heads}</tr></thead>'
        f'<tbody role="rowgroup">{rows}</tbody></table></div>'
    )


def _cell(name: str, value: Any) -> str:
    number = isinstance(value, numbers.Real) and not isinstance(value, bool)
    text = "–" if value is None or value != value else f"{value:,}" if number else str(value)
    side = ' class="number"' if number else ""
    text = digits(text) if number else _bare(text)
    return f'<td role="cell" data-label="{name}"{side}>{html.escape(text)}</td>'
