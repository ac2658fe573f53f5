"""A region as a JSON document (schema 1)."""

from __future__ import annotations

from typing import Any

from solarsim.answers.region.region import RegionAnswer
from solarsim.answers.region.summary import months_of_region
from solarsim.present.words import MAP_CAUTION

__all__ = ["region_document"]


def region_document(answer: RegionAnswer) -> dict[str, Any]:
    """Return the document of `region`: every cell, and each van and month over the land."""
    asked, first = answer.asked, answer.asked.questions[0][0]
    region, stay = asked.cells.region, first.van.stay
    return {
        "schema": 1,
        "region": {
            "name": region.name,
            "code": region.code,
            "south": region.box.south_deg,
            "west": region.box.west_deg,
            "north": region.box.north_deg,
            "east": (region.box.east_deg + 180.0) % 360.0 - 180.0,
            "step_deg": asked.cells.step_deg,
            "islets_left_out": asked.cells.islets,
            "islets_left_out_km2": asked.cells.islets_km2,
        },
        "stay": {
            "days": stay.days,
            "months": list(asked.months),
            "target_chance": stay.target_chance,
        },
        "weather": {"runs": first.runs, "seed": first.seed, "follow_days": asked.follow_days},
        "profile": first.profile.profile.name,
        "vans": [
            {"name": name, "bank_units": van.battery.units, "capacity_ah": van.bank_capacity_ah}
            for name, van in zip(asked.van_names, asked.vans, strict=True)
        ],
        "land": [
            {
                "van": asked.van_names[row.van],
                "month": row.month,
                "target_met_share": row.land_share,
                "p50_low": row.p50_low_days,
                "p50_middle": row.p50_middle_days,
                "p50_high": row.p50_high_days,
                "worst_cell": None if row.worst_cell is None else _centre(answer, row.worst_cell),
            }
            for row in months_of_region(answer)
        ],
        "cells": [
            _cell(answer, index) for index, there in enumerate(answer.answered.tolist()) if there
        ],
        "warnings": [*answer.notes, MAP_CAUTION],
    }


def _centre(answer: RegionAnswer, index: int) -> dict[str, Any]:
    cell = answer.asked.cells.cells[index]
    return {
        "latitude": cell.latitude_deg,
        "longitude": cell.longitude_deg,
        "town": cell.town_label or None,
    }


def _cell(answer: RegionAnswer, index: int) -> dict[str, Any]:
    asked, figures = answer.asked, answer.figures
    worst = answer.worst_month[:, index].tolist()
    return {
        **_centre(answer, index),
        "elevation_m": float(figures.elevation_m[index]),
        "elevation_of": "town" if asked.cells.cells[index].town else "ground",
        "timezone": str(figures.timezone[index]),
        "vans": [
            {
                "months": [
                    {
                        "month": number,
                        "p10": float(figures.p10_days[van, month, index]),
                        "p50": float(figures.p50_days[van, month, index]),
                        "chance_lasts": float(figures.chance_lasts[van, month, index]),
                        "bank_units": int(figures.bank_units[van, month, index]) or None,
                    }
                    for month, number in enumerate(asked.months)
                ],
                "worst_month": worst[van] or None,
            }
            for van in range(len(asked.vans))
        ],
    }
