"""What to buy: sums worked out by hand, nothing of the circuit left out."""

from __future__ import annotations

import math

import pytest

from solarsim.answers.buy.buy import buy
from solarsim.answers.question import ask
from solarsim.electrical.wire import parse_wire
from solarsim.errors import InputError
from solarsim.inputs.prices import Part, Prices, PricesIdentity, read_prices


def listed(van="weekender", *settings, prices=None):
    answer = buy(ask(van, settings=settings), prices)
    return answer, {item.part: item for item in answer.items}


def priced(*parts):
    return Prices(prices=PricesIdentity(currency="USD"), parts=parts)


def test_cables_are_summed_with_both_ways_and_slack():
    """70 mm2 red: two strings of 0.5 m, then 0.1778 m, 0.4111 m and 0.4111 m along the bank's run.

    Each conductor has a tenth and 0.2 m at both ends to spare: 2 x 0.95 + 0.596 + 2 x 0.852 =
    4.20 m, bought as 4.5 m.
    """
    _, items = listed()
    by_hand_m = sum(1.1 * m + 0.4 for m in (0.5, 0.5, 0.1778, 0.4111, 0.4111))
    assert by_hand_m == pytest.approx(4.2, abs=0.005)
    assert items["cable 70 mm2 red"].quantity == 4.5
    assert items["cable 70 mm2 red"].runs == (1, 2, 3, 4)
    # 2 + 1 + 5 m of mains cable behind 16 A: 1.1 x 8 + 3 x 0.4 = 10 m.
    assert items["mains cable 3 x 2.5 mm2"].quantity == 10.0


def test_a_pair_in_parallel_is_bought_twice():
    one = listed("weekender", "wiring.bank_inverter.wire=70 mm2")[1]["cable 70 mm2 red"]
    two = listed("weekender", "wiring.bank_inverter.wire=2 x 70 mm2")[1]["cable 70 mm2 red"]
    assert two.quantity - one.quantity == 1.5  # 1.1 x 1 m + 0.4 m


@pytest.mark.parametrize("van", ["weekender", "long-stayer"])
@pytest.mark.parametrize("rules", ["us-rv", "eu-caravan", "boat"])
def test_nothing_of_the_circuit_is_left_out(van, rules):
    answer, items = listed(van, f"wiring.rules={rules}")
    runs = answer.check.topology.runs
    fuses = [item for item in answer.items if item.part.startswith("fuse ")]
    fuses = [item for item in fuses if item.part.split()[1][0].isdigit()]
    wanted = sum(r.count for r in runs if r.protection and r.protection.kind == "fuse")
    assert sum(item.quantity for item in fuses) == wanted
    cabled = {n for item in answer.items if item.group == "cables" for n in item.runs}
    assert cabled == {run.number for run in runs}
    ends = sum(
        item.quantity
        for item in answer.items
        if item.group == "small" and item.part.split()[0] in {"lug", "ferrule", "crimp", "pair"}
    )
    assert ends == sum(2 * len(run.poles) * run.count * parse_wire(run.wire).count for run in runs)
    for part in ("main switch", "shunt", "positive bus", "negative bus", "DC isolator, two poles"):
        assert items[part].quantity == 1


def test_weights_of_the_file_stand_before_examples_and_all_add_up():
    answer, items = listed(prices=read_prices("example"))
    panels = items["200 W rigid"]
    assert (panels.each_kg, panels.all_kg, panels.weight_given) == (11.0, 22.0, True)
    bare = listed()[1]["200 W rigid"]
    assert bare.each_kg == pytest.approx(200.0 * 0.055)
    assert not bare.weight_given
    assert answer.total_kg == pytest.approx(math.fsum(item.all_kg for item in answer.items))
    assert answer.total_kg > 22.0 + 22.0


def test_roof_has_panels_mounts_and_their_cables_but_no_ground_array():
    answer, items = listed()
    roof = {part for part, item in items.items() if item.roof_kg > 0.0}
    assert {"200 W rigid", "mounting set for a panel", "PV cable 4 mm2 red"} <= roof
    assert not {part for part in roof if part.startswith(("cable", "fuse", "lug", "100 Ah"))}
    ground = 'arrays=[{name="suitcase", part="100 W flexible", count=2, kind="ground"}]'
    with_suitcase, more = listed("weekender", ground)
    assert more["100 W flexible"].roof_kg == 0.0
    # Cable of both is bought together, in half metres.
    assert with_suitcase.roof_kg == pytest.approx(answer.roof_kg, abs=0.5)
    assert with_suitcase.total_kg > answer.total_kg


def test_payload_that_is_left_is_told_only_where_it_is_given():
    assert listed()[0].payload_left_kg is None
    answer, _ = listed("weekender", "van.payload_kg=50")
    assert answer.payload_left_kg == pytest.approx(50.0 - answer.total_kg)
    assert answer.payload_left_kg < 0.0


def test_prices_are_multiplied_and_what_has_none_is_counted():
    prices = priced(Part(part="200 W rigid", cost=100.0), Part(part="cable 70 mm2 red", cost=9.0))
    answer, items = listed(prices=prices)
    assert items["200 W rigid"].all_cost == 200.0
    assert items["cable 70 mm2 red"].all_cost == 40.5
    assert answer.total_cost == 240.5
    assert answer.currency == "USD"
    assert answer.unpriced == len(answer.items) - 2


def test_prices_of_the_vans_file_stand_in():
    answer, items = listed("weekender", "panels.cost=150", "battery.cost=400", prices=priced())
    assert items["200 W rigid"].all_cost == 300.0
    assert answer.total_cost == 2 * 150.0 + 2 * 400.0
    assert any("same currency" in note for note in answer.notes)


@pytest.mark.parametrize(
    ("name", "near"),
    [
        ("200W rigid", "'200 W rigid'"),
        ("cable 70mm2 red", "'cable 70 mm2 red'"),
        ("class T fuse 225 A", "near: "),
    ],
)
def test_a_part_that_no_list_has_comes_with_near_ones(name, near):
    with pytest.raises(InputError) as refused:
        listed(prices=priced(Part(part="shunt", cost=1.0), Part(part=name, cost=1.0)))
    assert f"prices: parts.1.part: got '{name}'; no such part" in str(refused.value)
    assert near in str(refused.value)


@pytest.mark.parametrize(
    "name",
    [
        *("220 W rigid", "100 Ah AGM", "inverter 3000 W, 24 V", "MPPT controller 150 V, 60 A"),
        *("cable 2/0 AWG red", "lug 35 mm2 M10", "fuse block, 12 ways", "fuse 60 A bolt-on"),
        *("converter 24 V to 12 V, 250 W", "mains cable 3 x 10 AWG", "breaker 30 A, two poles"),
    ],
)
def test_parts_of_other_vans_may_stand_in_the_file(name):
    assert listed(prices=priced(Part(part=name, cost=1.0)))[0].items


def test_every_name_that_a_list_has_may_be_priced_in_any_other():
    for van in ("weekender", "long-stayer"):
        names = [item.part for item in buy(ask(van)).items]
        prices = priced(*(Part(part=name, cost=1.0) for name in names))
        answer, _ = listed(van, prices=prices)
        assert answer.unpriced == 0


def test_a_run_without_a_conductor_is_told():
    answer, _ = listed("weekender", "inverter.power_w=20000", "inverter.surge_w=40000")
    assert any("no conductor fits" in note for note in answer.notes) == any(
        run.wire == "none fits" for run in answer.check.topology.runs
    )
    assert any(run.wire == "none fits" for run in answer.check.topology.runs)
