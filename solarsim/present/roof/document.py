"""The answer of `roof` as a JSON document (schema 1)."""

from __future__ import annotations

import dataclasses
from typing import Any

from solarsim.answers.roof import RoofAnswer
from solarsim.packing.layout import Layout

__all__ = ["roof_document"]


def roof_document(answer: RoofAnswer) -> dict[str, Any]:
    """Return the document of `roof`; metres from the roof's rear left, x forwards, y right."""
    roof = answer.roof
    own = answer.own_layout
    return {
        "schema": 1,
        "roof": {
            "length_m": roof.length_m,
            "width_m": roof.width_m,
            "outline": [list(corner) for corner in roof.corners_m],
            "margin_m": roof.margin_m,
            "gap_m": roof.gap_m,
            "walkway_m": roof.walkway_m,
            "obstacles": [obstacle.model_dump() for obstacle in roof.obstacles],
            "area_m2": answer.roof_m2,
            "free_m2": answer.free_m2,
            "panels_m2": answer.panels_m2,
        },
        "parts": [dataclasses.asdict(size) for size in answer.sizes],
        "panels": _panels(answer.layout),
        "count": len(answer.layout.panels),
        "watts": answer.layout.power_w,
        "bound_w": answer.layout.bound_w,
        "proved": answer.layout.proved,
        "own": {
            "count": answer.own_count,
            "fits": own is not None or answer.own_count == 0,
            "panels": None if own is None else _panels(own),
            "panel_shade_share_by_month": None if own is None else _panel_shade(answer, own),
        },
        "counts": list(answer.by_count),
        "nearest_free": (
            None if answer.nearest_free is None else dataclasses.asdict(answer.nearest_free)
        ),
        "reasons": list(answer.reasons),
        "costs": [dataclasses.asdict(cost) for cost in answer.costs],
        "other_panels": [dataclasses.asdict(other) for other in answer.others],
        "shade_share_by_month": (
            None if answer.shade_share_by_month is None else list(answer.shade_share_by_month)
        ),
        "month": answer.month,
        "panel_shade_share_by_month": _panel_shade(answer, answer.layout),
        "warnings": list(answer.warnings),
    }


def _panel_shade(answer: RoofAnswer, layout: Layout) -> list[list[float]] | None:
    shares = answer.panel_shade_share.get(layout)
    return None if shares is None else [list(row) for row in shares]


def _panels(layout: Layout) -> list[dict[str, Any]]:
    return [
        {
            "part": panel.part,
            "x_m": panel.x_m,
            "y_m": panel.y_m,
            "length_m": panel.length_m,
            "width_m": panel.width_m,
            "power_w": panel.power_w,
        }
        for panel in layout.panels
    ]
