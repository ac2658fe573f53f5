"""Put a figure on the page: in the page's colours, still under a thumb, and said in words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import streamlit as st

from solarsim.present.palette import DARK, LIGHT, Palette

__all__ = ["page_palette", "show_figure", "show_table"]

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


def show_figure(figure: Any, *, key: str, alt: str) -> None:
    """Draw a plotly figure that does not catch a scrolling thumb; `alt` says what it shows."""
    palette = page_palette()
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
    st.plotly_chart(figure, key=key, theme=None, config=_CONFIG, alt=alt)


def show_table(title: str, columns: dict[str, Sequence[Any]]) -> None:
    """Offer the figure's numbers as a table."""
    with st.expander(title):
        st.dataframe(columns, hide_index=True)
