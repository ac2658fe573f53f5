"""The answer of `trip` in Python."""

from __future__ import annotations

import dataclasses

import numpy as np
import pandas as pd

from solarsim.answers.fuel import Spread
from solarsim.answers.trip.trip import StopAnswer, TripAnswer
from solarsim.cards import Card
from solarsim.inputs.fuel import FuelKind
from solarsim.inputs.percent import percent
from solarsim.power.fuel import FUEL_UNITS
from solarsim.present.faces.rows import fuel_row, notes_row, warnings_row, weather_row
from solarsim.present.trip.charts import trip_figure
from solarsim.present.trip.documents import trip_document
from solarsim.present.trip.words import change_text, short_name, trip_headline

__all__ = ["card", "document", "figure", "frame", "hourly"]

document = trip_document
figure = trip_figure


def card(answer: TripAnswer) -> Card:
    """Return the headline, where the bank stands lowest, and what helps most."""
    lowest = min(answer.stops, key=lambda stop: stop.soc_lowest.p10)
    p1 = lowest.soc_lowest.p1
    soc, often = (lowest.soc_lowest.p10, "ten") if p1 is None else (p1, "a hundred")
    return Card(
        trip_headline(answer),
        [
            ("days lost", f"{answer.lost_days:.1f} of {answer.nights} days of use"),
            (
                "lowest",
                f"stop {short_name(lowest)}: {percent(soc)} or less in one run of {often}",
            ),
            *fuel_row(answer.fuel, over="trip"),
            *(("helps", f"{one.name}: {change_text(one)}") for one in answer.most_helpful),
            weather_row(answer.conditions),
            *warnings_row(answer.warnings),
            *notes_row(answer.notes),
        ],
    )


def frame(answer: TripAnswer) -> pd.DataFrame:
    """Return one row a stop, and one of the whole trip last, whose number is 0."""
    rows = [_row(stop) for stop in answer.stops]
    whole = {
        "stop": 0,
        "place": answer.trip.name,
        "nights": answer.nights,
        "plugged_nights": sum(stop.plugged_nights for stop in answer.stops),
        "drive_h": sum(stop.drive_h for stop in answer.stops),
        "fail_chance_share": 1.0 - answer.chance_lasts,
        "reached_chance_share": answer.chance_lasts,
        "lost_days": answer.lost_days,
    }
    whole |= {f"{term}_wh": wh for term, wh in answer.ledger_wh.items()}
    for one in () if answer.fuel is None else answer.fuel.fuels:
        whole |= _burnt(one.kind, one.per_stay)
    return pd.DataFrame([*rows, whole])


def hourly(answer: TripAnswer) -> pd.DataFrame:
    """Return the state of charge at each stamp of the trip, 0 to 1, with the stop's number."""
    soc = answer.soc
    ends = [stop.ends_h for stop in answer.stops]
    columns = {
        "stop": 1 + np.searchsorted(ends[:-1], np.arange(len(soc.times)), side="right"),
        "p10_soc": soc.p10,
        "p50_soc": soc.p50,
        "p90_soc": soc.p90,
        "worst_soc": soc.worst,
    }
    return pd.DataFrame(columns, index=soc.times.rename("time"))


def _row(stop: StopAnswer) -> dict[str, object]:
    row: dict[str, object] = {
        "stop": stop.number,
        "place": stop.place.name,
        "latitude_deg": stop.place.latitude_deg,
        "longitude_deg": stop.place.longitude_deg,
        "arrives": stop.arrives,
        "leaves": stop.leaves,
        "nights": stop.nights,
        "plugged_nights": stop.plugged_nights,
        "drive_h": stop.drive_h,
        "parking": stop.parking,
        "people": stop.people,
        "fail_chance_share": stop.fail_chance,
        "reached_chance_share": stop.reached_chance,
        "lost_days": stop.lost_days,
    }
    for name, soc in (("arrival", stop.soc_arrival), ("lowest", stop.soc_lowest)):
        row |= {f"{name}_{at}_soc": getattr(soc, at) for at in ("p10", "p50", "p90")}
    row |= {
        "ghi_kwh_m2_day": stop.ghi_kwh_m2_day,
        "temp_air_c": stop.temp_air_c,
        "demand_wh_per_day": stop.demand_wh_per_day,
    }
    row |= {f"{term}_wh": wh for term, wh in stop.ledger_wh.items()}
    for kind, burnt in stop.fuel.items():
        row |= _burnt(kind, burnt)
    return row


def _burnt(kind: FuelKind, burnt: Spread) -> dict[str, object]:
    unit = FUEL_UNITS[kind].lower()
    return {f"{kind}_{at}_{unit}": amount for at, amount in dataclasses.asdict(burnt).items()}
