"""A trip as a JSON document (schema 1) and as a CSV."""

from __future__ import annotations

import dataclasses
from typing import Any

import numpy as np

from solarsim.answers.trip.trip import StopAnswer, TripAnswer
from solarsim.inputs.files.cells import safe_frame
from solarsim.present.stay.documents import fuel_document, place_document

__all__ = ["csv_bytes", "trip_document"]


def trip_document(answer: TripAnswer) -> dict[str, Any]:
    """Return the document of `trip`; energies in Wh, shares 0 to 1.

    ``fuel`` is as in `stay`, its ``per_stay`` the whole trip's; a stop's is L or kg over its hours.
    ``soc.stop`` numbers the stop that each stamp belongs to. The energies of ``stops`` add up to
    ``ledger_wh``, their chances to fail and ``chance_lasts`` to 1.
    """
    return {
        "schema": 1,
        "trip": {
            "name": answer.trip.name,
            "start": answer.dates.start.isoformat(),
            "nights": answer.nights,
        },
        "weather": {
            "source": answer.conditions.source,
            "runs": answer.conditions.runs,
            "ghi_kwh_m2_day": answer.conditions.ghi_kwh_m2_day,
            "temp_air_c": answer.conditions.temp_air_c,
        },
        "chance_lasts": answer.chance_lasts,
        "standard_errors": dataclasses.asdict(answer.standard_errors),
        "lost_days": answer.lost_days,
        "days_to_cut_off": dataclasses.asdict(answer.days),
        "stops": [_stop(stop) for stop in answer.stops],
        "ledger_wh": answer.ledger_wh,
        "ledger_wh_per_day": answer.ledger_wh_per_day,
        "demand_wh_per_day": answer.conditions.demand_wh_per_day,
        "soc": _soc(answer),
        # A van that names no fuel has no such key.
        **({} if answer.fuel is None else {"fuel": fuel_document(answer.fuel)}),
        "changes": [dataclasses.asdict(change) for change in answer.changes],
        "most_helpful": [change.name for change in answer.most_helpful],
        "bank": {
            "units": answer.question.van.battery.units,
            "capacity_ah": answer.question.van.bank_capacity_ah,
            "usable_wh": answer.usable_wh,
            "temperature_c": answer.conditions.bank_temp_c,
        },
        "warnings": [*answer.warnings, *answer.notes],
    }


def csv_bytes(answer: TripAnswer) -> bytes:
    """Return the table of stops as a CSV in UTF-8; the last row is the whole trip."""
    text: str = safe_frame(answer.frame()).to_csv(index=False, lineterminator="\n")
    return text.encode()


def _stop(stop: StopAnswer) -> dict[str, Any]:
    document = dataclasses.asdict(stop)
    for name in ("soc_arrival", "soc_lowest"):
        # Told only where someone's health depends on it.
        if document[name]["p1"] is None:
            del document[name]["p1"]
    if not stop.fuel:
        del document["fuel"]
    return document | {
        "place": place_document(stop.place),
        "arrive": stop.arrive.isoformat(),
    }


def _soc(answer: TripAnswer) -> dict[str, Any]:
    soc = answer.soc
    ends = [stop.ends_h for stop in answer.stops]
    numbers = 1 + np.searchsorted(ends[:-1], np.arange(len(soc.times)), side="right")
    return {
        "times": [stamp.isoformat() for stamp in soc.times],
        "stop": numbers.tolist(),
        "on_the_road": answer.on_the_road.tolist(),
        "p10": soc.p10.tolist(),
        "p50": soc.p50.tolist(),
        "p90": soc.p90.tolist(),
        # Told only where someone's health depends on it.
        **({} if soc.p1 is None else {"p1": soc.p1.tolist()}),
    }
