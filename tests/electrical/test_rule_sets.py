"""Every set of rules names a source for each number, and a country leads to one of them."""

from __future__ import annotations

import dataclasses
from typing import get_args

import pytest

from solarsim.electrical.rule_set import rule_set, rules_in_force
from solarsim.inputs.wiring import RulesName
from tests.electrical.vans import HERE, van

NAMES = get_args(RulesName)
OWN = (
    *("fuse_most_ratio", "continuous_factor", "pv_conductor_factor", "string_fuse_factor"),
    *("drop_critical", "drop_other", "least_area_mm2", "touch_v", "terminal_c", "insulation_c"),
    *("fuse_place_m", "fuse_place_sheathed_m"),
)


@pytest.mark.parametrize("name", NAMES)
def test_every_number_has_a_source(name):
    rules = rule_set(name)
    assert all(rules.rule(each).value > 0.0 and rules.rule(each).source for each in OWN)
    assert all(text for text in rules.ampacity)
    assert bool(rules.thin_fuses) == bool(rules.thin_fuses_source)
    ac = rules.ac
    assert all((ac.protection, ac.source, ac.inlet, ac.transfer, ac.neutral, ac.conductor_source))
    assert list(ac.breakers) == sorted(ac.breakers)
    assert ac.outlet_a in ac.breakers
    # Each breaker has a conductor, and thicker ones follow.
    assert ac.conductors[-1][0] >= ac.breakers[-1]
    assert [row[0] for row in ac.conductors] == sorted(row[0] for row in ac.conductors)
    assert rules.bond.source


def test_boat_law_alone_lets_a_fuse_exceed_its_cable():
    ratios = {name: rule_set(name).rule("fuse_most_ratio") for name in NAMES}
    assert {name for name, ratio in ratios.items() if ratio.value > 1.0} == {"boat"}
    assert "boats only" in ratios["boat"].source


@pytest.mark.parametrize(
    ("timezone", "name", "said"),
    [
        ("America/Denver", "us-rv", "by the stay's country, US"),
        ("Pacific/Honolulu", "us-rv", "by the stay's country, US"),
        ("America/Toronto", "us-rv", "by the stay's country, CA"),
        ("Europe/London", "eu-caravan", "by the stay's country, GB"),
        ("Europe/Vienna", "eu-caravan", "by the stay's country, AT"),
        ("Atlantic/Canary", "eu-caravan", "by the stay's country, ES"),
        ("Atlantic/Reykjavik", "eu-caravan", "by the stay's country, IS"),
        ("America/Sao_Paulo", "eu-caravan", "none of the stay's country, BR, are here"),
        ("Australia/Sydney", "eu-caravan", "none of the stay's country, AU, are here"),
        ("Etc/GMT+3", "eu-caravan", "the country of Salzburg is not known"),
    ],
)
def test_a_country_s_rules(timezone, name, said):
    free = van()
    free = free.model_copy(update={"wiring": free.wiring.model_copy(update={"rules": None})})
    rules, why = rules_in_force(free, dataclasses.replace(HERE, timezone=timezone))
    assert rules.name == name
    assert said in why
    assert rules.title in why


def test_what_the_file_names_stands_over_the_country():
    rules, why = rules_in_force(van("wiring.rules=boat"), HERE)
    assert rules.name == "boat"
    assert why == "Rules: boat law: 33 CFR 183 and ABYC E-11 (wiring.rules = 'boat')."
