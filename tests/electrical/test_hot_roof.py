"""Cables of panels on a roof in the sun: the air there, where it is from, and what is advised."""

from __future__ import annotations

import pytest

from solarsim.electrical.cables import cables_of
from solarsim.electrical.check import Check
from solarsim.electrical.circuit.circuit import Circuit
from solarsim.electrical.rule_set import rule_set
from tests.electrical.vans import checked, people, van
from tests.electrical.wrong_vans import PORTABLE

LESS = "shore.charger_a=10"
ROOF_ARRAY = {"name": "rear", "kind": "roof", "part": "200 W rigid", "count": 1}


def runs(check: Check) -> dict[str, Circuit]:
    return {cable.circuit.name: cable.circuit for cable in check.cables}


def panels_air_c(*settings: str, record_high_c: float | None = None) -> tuple[float, str]:
    cables = cables_of(van(*settings), people(), rule_set("boat"), record_high_c=record_high_c)
    circuit = next(c.circuit for c in cables if c.circuit.key == "panels_controller")
    return circuit.ambient_c, circuit.ambient_source


@pytest.mark.parametrize(
    ("record_high_c", "ambient_c", "words"),
    [
        (None, 73.0, "summer air of 40 C, and 33 K more"),
        (36.0, 73.0, "summer air of 40 C"),
        (40.0, 73.0, "summer air of 40 C"),
        (47.0, 80.0, "the place's record of 47 C, and 33 K more"),
    ],
)
def test_air_on_the_roof(record_high_c, ambient_c, words):
    got_c, source = panels_air_c(record_high_c=record_high_c)
    assert got_c == ambient_c
    assert words in source
    assert panels_air_c("wiring.panels_controller.ambient_c=55", record_high_c=record_high_c) == (
        55.0,
        "given",
    )


def test_the_place_s_record_reaches_the_roof():
    """Salzburg's is below 40 C; the air of the other runs is that of the tables."""
    check = checked()
    assert check.extremes.high_c < 40.0
    air = {name: circuit.ambient_c for name, circuit in runs(check).items()}
    assert air.pop("panels to controller") == 73.0
    assert air.pop("each string of panels") == 73.0
    assert air.pop("starter battery to DC-DC") == 50.0
    assert set(air.values()) == {30.0}
    assert any("air of 73 C along the run 'panels to controller'" in a for a in check.assumed)
    given = checked("wiring.panels_controller.ambient_c=55")
    assert not any("along the run" in line for line in given.assumed)


def test_each_array_has_the_air_of_its_kind():
    """Beside the van there is no roof; a temperature that is given holds for all of the roof."""
    both = runs(checked(LESS, arrays=[PORTABLE, ROOF_ARRAY]))
    assert both["portable: panels to controller"].ambient_c == 40.0
    assert both["rear: panels to controller"].ambient_c == 73.0
    given = runs(checked(LESS, "wiring.panels_controller.ambient_c=60", arrays=[ROOF_ARRAY]))
    assert given["panels to controller"].ambient_c == 60.0
    assert given["rear: panels to controller"].ambient_c == 60.0


@pytest.mark.parametrize(
    ("size", "within_c", "beyond_c"),
    # 125 % of 2 x 10.4 A are 26 A of 55 A and of 40 A (90 C): 90 - 60 x (26 / 55)^2 degrees, and
    # so on (NEC 310.15(B)(1)).
    [("10 AWG", 76.5, 76.7), ("12 AWG", 64.6, 64.7)],
)
def test_where_it_gets_too_hot(size, within_c, beyond_c):
    def ids(ambient_c):
        run = {"wire": size, "length_m": 2.0, "ambient_c": ambient_c}
        return [finding.id for finding in checked(wiring={"panels_controller": run}).findings]

    assert ids(within_c) == []
    assert ids(beyond_c) == ["cable-hot"]


def test_the_finding_says_what_was_assumed_and_what_would_do():
    run = {"wire": "10 AWG", "length_m": 3.0, "insulation_c": 75}
    (finding,) = checked(wiring={"panels_controller": run}).findings
    assert finding.compared.value == pytest.approx(26.0)
    # 40 A x sqrt((75 - 73) / (75 - 30)).
    assert finding.compared.limit == pytest.approx(40.0 * (2.0 / 45.0) ** 0.5)
    assert "10 AWG of 75 C insulation bears 8 A in air of 73 C" in finding.message
    assert "summer air of 40 C, and 33 K more on a roof in the sun" in finding.message
    assert "NEC 310.15(B)(2)" in finding.source
    assert "NEC 690.8(B)" in finding.source
    assert "4 AWG or 25 mm2 at least" in finding.advice
    assert "10 AWG or 6 mm2 of 90 C insulation" in finding.advice
    assert "wiring.panels_controller.ambient_c" in finding.advice


@pytest.mark.parametrize("insulation_c", [60, 75, 90])
def test_what_is_advised_is_right(insulation_c):
    run = {"wire": "14 AWG", "length_m": 1.0, "insulation_c": insulation_c}
    advice = checked(wiring={"panels_controller": run}).findings[0].advice
    for part in advice.split(", or ")[:-1]:
        sizes, _, insulation = part.removesuffix(" at least").partition(" of ")
        hardier = int(insulation.split()[0]) if insulation else insulation_c
        for size in sizes.split(" or "):
            better = run | {"wire": size, "insulation_c": hardier}
            assert checked(wiring={"panels_controller": better}).findings == ()


def test_a_hot_branch_is_told_apart_from_a_thin_one():
    def ids(ambient_c):
        branch = {"name": "pump", "current_a": 20.0, "length_m": 0.5, "wire": "12 AWG"}
        branches = [branch | {"ambient_c": ambient_c, "fuse_a": 25.0}]
        return [finding.id for finding in checked(wiring={"branches": branches}).findings]

    # 45 A x sqrt((105 - Ta) / 75) against 25 A: 81.9 C.
    assert ids(81.8) == []
    assert ids(82.0) == ["cable-hot"]
    assert ids(105.0)[0] == "cable-hot"


def test_air_that_is_given_is_told_as_that():
    run = {"wire": "12 AWG", "length_m": 2.0, "ambient_c": 70.0}
    (finding,) = checked(wiring={"panels_controller": run}).findings
    assert "in air of 70 C (given)" in finding.message
    assert "roof in the sun" not in finding.source
