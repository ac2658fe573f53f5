"""A run that no conductor suits says which of current, fuse and drop it is."""

from __future__ import annotations

from pathlib import Path

from solarsim.electrical.check import check_van
from solarsim.inputs.files.van import read_van
from tests.electrical.vans import HERE, people

LONG = str(Path(__file__).parents[1] / "vans" / "long.toml")


def none_fits(*settings):
    van = read_van(LONG, settings=["wiring.rules=us-rv", *settings])
    found = check_van(van, people(), HERE).findings
    return {one.where: one for one in found if one.id == "cable-none"}


def test_what_no_conductor_bears_is_said_by_the_current():
    main = none_fits()["bank to positive bus"]
    assert main.compared.value > main.compared.limit
    assert f"bears the {main.compared.value:.0f} A" in main.message
    assert "voltage drop" not in main.message


def test_a_fuse_that_no_conductor_allows_is_named_with_the_largest_that_one_does():
    """3,000 W at 10.5 V and 88 % are 325 A, 406 A with a quarter more; the next fuse is 450 A."""
    inverter = none_fits()["positive bus to inverter"]
    assert inverter.compared.value == 450.0 > inverter.compared.limit
    assert "the fuse of 450 A" in inverter.message
    smaller = none_fits("wiring.bank_inverter={fuse_a=400}")
    assert inverter.advice.endswith("(fuse_a)")
    assert "positive bus to inverter" not in smaller


def test_a_long_run_is_said_by_its_drop():
    small = ("inverter.power_w=1200", "inverter.surge_w=2400")
    far = none_fits("wiring.bank_inverter={length_m=40}", *small)
    assert "with little enough voltage drop" in far["positive bus to inverter"].message
