"""What plotly's white style says of lines and bars, without the other forty kinds of picture."""

from __future__ import annotations

import functools
from typing import Any

__all__ = ["white_template"]

_LAYOUT = (
    *("annotationdefaults", "autotypenumbers", "colorway", "font", "hoverlabel", "hovermode"),
    *("paper_bgcolor", "plot_bgcolor", "shapedefaults", "title", "xaxis", "yaxis"),
)
_DATA = ("bar", "contour", "heatmap", "scatter")


@functools.cache
def white_template() -> Any:
    """Return the template; the whole one takes as long as the rest of a figure."""
    import plotly.graph_objects as go
    import plotly.io as pio

    whole = pio.templates["plotly_white"].to_plotly_json()
    return go.layout.Template(
        layout={name: whole["layout"][name] for name in _LAYOUT if name in whole["layout"]},
        data={name: whole["data"][name] for name in _DATA if name in whole["data"]},
    )
