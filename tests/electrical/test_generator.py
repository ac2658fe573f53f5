"""A generator in the check: what its charger takes, and its charger on the bank."""

from __future__ import annotations

import pytest

from solarsim.answers.buy.buy import buy_of
from solarsim.electrical.currents import sum_of_chargers_a
from tests.electrical.vans import checked, van

# 20 A at 14.4 V and 90 % are 320 W.
ONE = "generator.power_w=330"


def ids(*settings):
    return {finding.id for finding in checked(*settings).findings}


@pytest.mark.parametrize(("watts", "warned"), [(330, False), (319, True)])
def test_a_generator_smaller_than_its_charger_is_warned_of(watts, warned):
    assert ids(f"generator.power_w={watts}") == ({"generator-load"} if warned else set())


def test_a_charger_of_its_own_is_held_to_both():
    assert ids("generator.power_w=2000", "generator.charger_a=30") == set()
    large = ("generator.power_w=2000", "generator.charger_a=90")
    assert sum_of_chargers_a(van(*large)) == sum_of_chargers_a(van()) + 60.0
    assert "bank-charge" in ids(*large)
    (finding,) = (f for f in checked(*large).findings if f.id == "bank-charge")
    assert "sun and generator together" in finding.message


def test_a_charger_of_its_own_has_its_run():
    check = checked("generator.power_w=2000", "generator.charger_a=30")
    (cable,) = (one for one in check.cables if one.circuit.key == "generator_bank")
    assert cable.circuit.current_a == 30.0
    assert cable.fuse_a >= 1.25 * 30.0
    assert check.topology.node("generator charger").name == "generator's charger 30 A"
    wanted = {item.part: item for item in buy_of(check).items}
    assert wanted["generator charger 30 A, 12 V"].runs


def test_what_is_not_looked_at_is_said():
    assert any("generator" in text for text in checked(ONE).not_looked_at)
    assert not any("generator" in text for text in checked().not_looked_at)
