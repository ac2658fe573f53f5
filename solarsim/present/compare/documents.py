"""Answers that compare many designs, changes or months, as JSON documents (schema 1)."""

from __future__ import annotations

import dataclasses
from typing import Any

from solarsim.answers.levers import LeversAnswer
from solarsim.answers.seasons import SeasonsAnswer
from solarsim.answers.tune.designs import TuneAnswer, TunedDesign
from solarsim.present.stay.documents import common, place_document

__all__ = ["levers_document", "seasons_document", "tune_document"]


def tune_document(answer: TuneAnswer) -> dict[str, Any]:
    """Return the document of `tune`: every design, the choice, the Pareto line."""
    return {
        "schema": 1,
        **common(answer),
        "designs": [_design(design) for design in answer.designs],
        "choice": None if answer.choice is None else _design(answer.choice),
        "reason": answer.reason,
        "passed_over": [
            _design(stopped.design) | {"stops": list(stopped.reasons)}
            for stopped in answer.passed_over
        ],
        "pareto": [_design(design) for design in answer.pareto],
        "stops_paying": None if answer.stops_paying is None else _design(answer.stops_paying),
        "one_more": [dataclasses.asdict(more) for more in answer.one_more],
        "warnings": [*answer.notes, *answer.question.notes, *answer.conditions.notes],
    }


def levers_document(answer: LeversAnswer) -> dict[str, Any]:
    """Return the document of `levers`: every change, ranked by what it gains."""
    return {
        "schema": 1,
        **common(answer),
        "days_unplugged": dataclasses.asdict(answer.days),
        "chance_lasts": answer.chance_lasts,
        "reserve_wh": answer.reserve_wh,
        "ranked_by": answer.ranked_by,
        "levers": [
            dataclasses.asdict(lever) | {"stopped": lever.stopped} for lever in answer.levers
        ],
        **(
            {}
            if answer.question.van.fuel is None
            else {"cooking_on_gas_kg_per_day": answer.gas_kg_per_day}
        ),
        "warnings": [*answer.warnings, *answer.question.notes, *answer.conditions.notes],
    }


def seasons_document(answer: SeasonsAnswer) -> dict[str, Any]:
    """Return the document of `seasons`: twelve months, with the light and warmth behind them."""
    return {
        "schema": 1,
        "place": place_document(answer.question.place),
        "stay": {"days": answer.question.van.stay.days},
        "months": [
            {
                "month": month.month,
                "chance_lasts": month.chance_lasts,
                "p1": month.days.p1,
                "p10": month.days.p10,
                "p50": month.days.p50,
                "p90": month.days.p90,
                "ghi_kwh_m2_day": month.ghi_kwh_m2_day,
                "temp_air_c": month.temp_air_c,
                "demand_wh_per_day": month.demand_wh_per_day,
                "reserve_wh": month.reserve_wh,
            }
            for month in answer.months
        ],
        "worst_month": answer.worst_month,
        "worst_by": answer.worst_by,
        "warnings": list(answer.notes),
    }


def _design(design: TunedDesign) -> dict[str, Any]:
    return {
        "panels": design.panels,
        "units": design.units,
        "capacity_ah": design.capacity_ah,
        "controller_a": design.controller_a,
        "chemistry": design.chemistry,
        "dcdc_a": design.dcdc_a,
        "tilt_deg": design.tilt_deg,
        "chance_lasts": design.chance_lasts,
        "p1": design.days.p1,
        "p10": design.days.p10,
        "p50": design.days.p50,
        "p90": design.days.p90,
        "refused_wh_per_day": design.refused_wh_per_day,
        "cost": design.cost,
        "cost_in_panel_w": design.cost_in_panel_w,
    }
