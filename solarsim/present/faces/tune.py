"""The answer of `tune` in Python."""

from __future__ import annotations

import pandas as pd

from solarsim.answers.bank import units_text
from solarsim.answers.tune.designs import TuneAnswer, TunedDesign
from solarsim.cards import Card
from solarsim.inputs.counts import count_text
from solarsim.inputs.percent import chance_text
from solarsim.present.compare.documents import tune_document
from solarsim.present.compare.heat_map import heat_map_figure
from solarsim.present.compare.tune_text import design_text
from solarsim.present.faces.rows import days_row, notes_row, weather_row

__all__ = ["card", "document", "figure", "frame"]

document = tune_document
figure = heat_map_figure

_SHOWN = 4


def card(answer: TuneAnswer) -> Card:
    """Return the choice and the line of best designs around its chance."""
    choice = answer.choice
    if choice is None:
        lead = f"No design will do: {answer.reason}."
    else:
        lead = f"Build {design_text(choice)}: {answer.reason}."
    target = answer.question.van.stay.target_chance
    medical = bool(answer.question.profile.medical)
    near = sorted(answer.pareto, key=lambda design: abs(design.chance_lasts - target))[:_SHOWN]
    return Card(
        lead,
        [
            ("tried", f"{len(answer.designs)} designs on the same weather"),
            *([] if choice is None else [days_row(choice.days, medical=medical)]),
            *(_row(design) for design in answer.pareto if design in near),
            weather_row(answer.conditions),
            *notes_row(answer.notes),
        ],
    )


def frame(answer: TuneAnswer) -> pd.DataFrame:
    """Return one row a design."""
    pareto = set(answer.pareto)
    return pd.DataFrame(
        {
            "panels": design.panels,
            "battery_units": design.units,
            "capacity_ah": design.capacity_ah,
            "controller_a": design.controller_a,
            "chemistry": design.chemistry,
            "dcdc_a": design.dcdc_a,
            "tilt_deg": design.tilt_deg,
            "chance_lasts_share": design.chance_lasts,
            "p10_days": design.days.p10,
            "p50_days": design.days.p50,
            "p90_days": design.days.p90,
            "refused_wh_per_day": design.refused_wh_per_day,
            "cost": design.cost,
            "cost_in_panel_w": design.cost_in_panel_w,
            "pareto": design in pareto,
            "choice": design == answer.choice,
        }
        for design in answer.designs
    )


def _row(design: TunedDesign) -> tuple[str, str]:
    price = "" if design.cost is None else f", costs {design.cost:,.0f}"
    panels = count_text(design.panels, "panel")
    return (
        "among the best",
        f"{panels}, {units_text(design.units)} ({design.capacity_ah:g} Ah "
        f"{design.chemistry.upper()}): {chance_text(design.chance_lasts)}{price}",
    )
