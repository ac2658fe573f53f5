"""A trip's stops and a list of what to buy add up, and stand so in the text as well."""

from __future__ import annotations

import json

import pytest

import solarsim
from solarsim.present.buy.text import print_buy
from solarsim.present.trip.text import print_trip
from tests.property.totals import assert_adds_up, tables_of, text_of

CHARGE = ("solar_used", "alternator", "shore")


@pytest.mark.slow
@pytest.mark.parametrize("van", ["weekender", "long-stayer"])
def test_a_trip(van):
    answer = solarsim.trip(van, runs=8)
    document = json.loads(answer.to_json())
    assert assert_adds_up(document) >= 30
    stops, whole = document["stops"], document["ledger_wh"]
    nights = document["trip"]["nights"]
    assert sum(stop["nights"] for stop in stops) == nights
    assert [stop["number"] for stop in stops] == list(range(1, len(stops) + 1))
    for key, value in whole.items():
        assert sum(stop["ledger_wh"][key] for stop in stops) == pytest.approx(
            value, rel=1e-8, abs=1e-6
        )
        a_day = document["ledger_wh_per_day"][key]
        assert a_day * nights == pytest.approx(value, rel=0.02, abs=1e-6)
    fails = sum(stop["fail_chance"] for stop in stops)
    assert fails == pytest.approx(1.0 - document["chance_lasts"])
    reached = [stop["reached_chance"] for stop in stops]
    for first, after, stop in zip(reached, reached[1:], stops, strict=False):
        assert after == pytest.approx(first - stop["fail_chance"])
    assert sum(stop["lost_days"] for stop in stops) == pytest.approx(document["lost_days"])
    served = sum(whole[key] for key in ("load_dc", "load_ac", "unserved"))
    asked = sum(document["demand_wh_per_day"].values())
    assert served == pytest.approx(asked * nights, rel=0.02)

    text = text_of(print_trip, answer)
    _, _, rows = tables_of(text)["Energy by stop, Wh"]
    figures = [
        [float(cell.replace(",", "")) for cell in row[1:]] for row in rows[-len(stops) - 1 :]
    ]
    *shown, total = figures
    for cells, stop in zip(shown, stops, strict=True):
        wh = stop["ledger_wh"]
        loads = wh["load_dc"] + wh["load_ac"]
        lost = wh["inverter_loss"] + wh["battery_loss"]
        exact = [*(wh[key] for key in CHARGE), loads, lost, wh["stored_change"], wh["unserved"]]
        assert cells == pytest.approx(exact, abs=0.5 + 1e-6)
        came, went = sum(cells[:3]), sum(cells[3:6])
        assert came == pytest.approx(went, abs=3.0)
    for at, value in enumerate(total):
        assert sum(cells[at] for cells in shown) == pytest.approx(value, abs=0.5 * len(stops) + 0.5)
    if whole["alternator"] > 0.0:
        assert "charger is counted at 85 % of its rating" in " ".join(text.split())


@pytest.mark.parametrize("van", ["weekender", "long-stayer"])
def test_what_to_buy(van):
    answer = solarsim.buy(van, prices="example")
    document = json.loads(answer.to_json())
    items = document["items"]
    for item in items:
        assert item["all_kg"] == pytest.approx(item["quantity"] * item["each_kg"])
        assert 0.0 <= item["roof_kg"] <= item["all_kg"] + 1e-9
        if item["each_cost"] is not None:
            assert item["all_cost"] == pytest.approx(item["quantity"] * item["each_cost"])
    priced = [item["all_cost"] for item in items if item["all_cost"] is not None]
    assert document["total_cost"] == pytest.approx(sum(priced))
    assert document["unpriced"] == len(items) - len(priced)
    assert document["total_kg"] == pytest.approx(sum(item["all_kg"] for item in items))
    assert document["roof_kg"] == pytest.approx(sum(item["roof_kg"] for item in items))
    text = text_of(print_buy, answer)
    assert f"weight: {document['total_kg']:,.1f} kg" in text
    assert f"on the roof: {document['roof_kg']:,.1f} kg" in text
    table = next(iter(tables_of(text).values()))
    kg = table[1].index("kg")
    rows = [row for row in table[2] if row[kg]]
    assert len(rows) >= len(items)
    known = {f"{item['all_kg']:.1f}" for item in items}
    assert {row[kg].strip("~ ") for row in rows} <= known
