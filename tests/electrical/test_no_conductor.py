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
    main = none_fits("inverter.power_w=4500", "inverter.surge_w=9000")["bank to positive bus"]
    assert main.compared.value > main.compared.limit
    assert f"bears the {main.compared.value:.0f} A" in main.message
    assert "voltage drop" not in main.message


def test_a_fuse_that_no_conductor_allows_is_named_with_the_largest_that_one_does():
    """3,360 W at 10.5 V and 88 % are 364 A, 455 A with a quarter more; the next fuse is 500 A.

    Two of 4/0 AWG bear 2 x 230 A at lugs for 75 C (NEC table 310.16, from memory).
    """
    inverter = none_fits("inverter.power_w=3360")["positive bus to inverter"]
    assert (inverter.compared.value, inverter.compared.limit) == (500.0, 460.0)
    assert "the fuse of 500 A" in inverter.message
    smaller = none_fits("inverter.power_w=3360", "wiring.bank_inverter={fuse_a=450}")
    assert inverter.advice.endswith("(fuse_a)")
    assert "positive bus to inverter" not in smaller


def test_a_long_run_is_said_by_its_drop():
    small = ("inverter.power_w=1200", "inverter.surge_w=2400")
    far = none_fits("wiring.bank_inverter={length_m=40}", *small)
    assert "with little enough voltage drop" in far["positive bus to inverter"].message


def test_two_conductors_apart_carry_a_large_inverter_at_12_v():
    van = read_van(LONG, settings=["wiring.rules=us-rv"])
    check = check_van(van, people(), HERE)
    inverter = next(c for c in check.cables if c.circuit.key == "bank_inverter")
    assert (inverter.wire.name, inverter.fuse_a) == ("2 x 4/0 AWG (apart)", 450.0)
    said = next(f for f in check.findings if f.where == "positive bus to inverter")
    assert "each beside its own return" in said.advice
    # The van's own is read again, and bears as much.
    given = read_van(
        LONG,
        settings=["wiring.rules=us-rv", "wiring.bank_inverter={wire='2x4/0 (apart)', length_m=1}"],
    )
    again = next(
        c for c in check_van(given, people(), HERE).cables if c.circuit.key == "bank_inverter"
    )
    assert (again.given, again.ampacity_a) == (True, inverter.ampacity_a)
