"""Every foolish van is caught, by a rule with its source and advice that mends what was wrong."""

from __future__ import annotations

import re

import pytest

from solarsim.electrical.check import Check
from tests.electrical.foolish_vans import FOOLISH
from tests.electrical.vans import checked, people

# Findings whose advice names a fuse or a cable; none may name the one that it speaks against.
_SIZE = re.compile(r"\d+(?:\.\d+)? A\b|[\d/]+ AWG|[\d.]+ mm2")


def check_of(name: str) -> Check:
    case = FOOLISH[name]
    wiring = {"rules": case.rules} | case.wiring
    return checked(*case.settings, profile=people(*case.loads), wiring=wiring, **case.tables)


@pytest.mark.parametrize("name", FOOLISH)
def test_a_foolish_van_is_caught(name):
    check = check_of(name)
    found = {finding.id: finding for finding in check.findings}
    assert check.rules.name == FOOLISH[name].rules
    for identity, severity in FOOLISH[name].said.items():
        assert identity in found, sorted(found)
        finding = found[identity]
        assert finding.severity == severity
        assert finding.compared.value != finding.compared.limit
        assert all((finding.source, finding.message, finding.advice, finding.compared.unit))
    # Nothing is said twice of one place.
    places = [(finding.id, finding.where) for finding in check.findings]
    assert len(places) == len(set(places))


@pytest.mark.parametrize("name", FOOLISH)
def test_advice_does_not_contradict_itself(name):
    """A fuse or a cable that is refused is not what is advised; and advice is not empty words."""
    for finding in check_of(name).findings:
        if not finding.id.startswith(("cable-fuse-large", "cable-ampacity", "array-str")):
            continue
        refused = _SIZE.findall(finding.message)[0]
        assert refused not in _SIZE.findall(finding.advice), (finding.message, finding.advice)


def test_there_are_sixty():
    assert len(FOOLISH) >= 60
    assert len({identity for case in FOOLISH.values() for identity in case.said}) >= 40


@pytest.mark.parametrize("rules", ["us-rv", "eu-caravan"])
def test_the_right_van_is_right_by_each_rules(rules):
    assert checked(wiring={"rules": rules}).findings == ()


@pytest.mark.parametrize(
    ("rules", "sheathed", "within_m", "beyond_m"),
    # 18 in (NEC 551.10(E)(4)); half a metre, and 3 m in a sheath (BS 7671 434.2.1); from memory.
    [
        *(("us-rv", False, 0.45, 0.46), ("us-rv", True, 0.45, 0.46)),
        *(("eu-caravan", False, 0.5, 0.51), ("eu-caravan", True, 3.0, 3.01)),
    ],
)
def test_how_far_a_fuse_may_stand_by_each_rules(rules, sheathed, within_m, beyond_m):
    for far_m, expected in ((within_m, []), (beyond_m, ["cable-fuse-place"])):
        run = {"fuse_from_source_m": far_m, "sheathed": sheathed}
        check = checked(wiring={"rules": rules, "dcdc_in": run})
        assert [finding.id for finding in check.findings] == expected
