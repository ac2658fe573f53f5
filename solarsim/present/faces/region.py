"""The answer of `region` in Python."""

from __future__ import annotations

from solarsim.answers.region.region import RegionAnswer
from solarsim.answers.region.summary import months_of_region
from solarsim.cards import Card
from solarsim.inputs.percent import percent
from solarsim.present.faces.rows import notes_row
from solarsim.present.region.document import region_document
from solarsim.present.region.page_map import region_figure
from solarsim.present.region.table import region_frame
from solarsim.present.region.text import cell_label, region_headline
from solarsim.present.words import month_name

__all__ = ["card", "document", "figure", "frame"]

document = region_document
figure = region_figure
frame = region_frame


def card(answer: RegionAnswer) -> Card:
    """Return the land that carries each van, at most eight of the rows, and the notes."""
    names = answer.asked.van_names
    rows = [
        (
            f"{names[row.van]}, {month_name(row.month)[:3]}",
            f"{percent(row.land_share)} of the land"
            + ("" if row.worst_cell is None else f"; worst: {cell_label(answer, row.worst_cell)}"),
        )
        for row in months_of_region(answer)[:8]
    ]
    return Card(region_headline(answer), [*rows, *notes_row(answer.notes)])
