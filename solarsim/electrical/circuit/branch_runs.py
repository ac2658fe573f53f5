"""The DC branches: those of the van's file, or one for each larger DC load of the profile."""

from __future__ import annotations

import dataclasses
from collections.abc import Collection, Iterator

from solarsim.electrical.circuit.circuit import FUSE_BLOCK, Circuit, circuit_of
from solarsim.electrical.converter import CONVERTER_V
from solarsim.electrical.currents import dc_current_a
from solarsim.electrical.loads import running_w
from solarsim.electrical.rule_set import RuleSet
from solarsim.inputs.profile import Profile
from solarsim.inputs.van import Van
from solarsim.inputs.wiring import CableRun

__all__ = ["AFTER_CONVERTER", "BEFORE_SWITCH", "branch_circuits"]

# Loads below this share a branch, where the van names none.
_OWN_BRANCH_W = 30.0
AFTER_CONVERTER = "at the converter's output: fuse block of the 12 V side"
BEFORE_SWITCH = "between main fuse and main switch, so that it stays on"
_NEEDS_ITS_VOLTAGE = ("fridge", "heater")


def branch_circuits(
    rules: RuleSet,
    van: Van,
    profile: Profile,
    behind: Collection[str],
    upstream: tuple[tuple[str, float], ...],
) -> Iterator[Circuit]:
    """Yield the DC branches; those of appliances in `behind` hang on the converter to 12 V.

    `upstream` are the runs that the others hang on, with their currents.
    """
    system_v = float(van.van.system_voltage_v)
    if van.wiring.branches:
        for branch in van.wiring.branches:
            converted = branch.load_v == CONVERTER_V != system_v
            place = BEFORE_SWITCH if branch.unswitched else FUSE_BLOCK
            one = circuit_of(
                rules,
                "branches",
                branch.name,
                branch.current_a,
                CONVERTER_V if converted else system_v,
                branch,
                AFTER_CONVERTER if converted else place,
            )
            on = upstream[:1] if branch.unswitched else upstream
            yield dataclasses.replace(one, upstream_a=() if converted else on)
        return
    default = CableRun()
    for name, power_w, converted, critical in _loads(profile, behind):
        one = circuit_of(
            rules,
            "branches",
            name,
            power_w / CONVERTER_V if converted else dc_current_a(van, power_w),
            CONVERTER_V if converted else system_v,
            default,
            AFTER_CONVERTER if converted else FUSE_BLOCK,
            critical=critical,
        )
        yield one if converted else dataclasses.replace(one, upstream_a=upstream)


def _loads(profile: Profile, behind: Collection[str]) -> Iterator[tuple[str, float, bool, bool]]:
    """Yield name, watts, whether it hangs on the converter, and whether it needs its voltage."""
    small_w, small_behind_w = 0.0, 0.0
    for appliance in profile.appliances:
        if not appliance.enabled or appliance.current != "dc":
            continue
        power_w = running_w(appliance)
        converted = appliance.name in behind
        if power_w < _OWN_BRANCH_W:
            small_w += 0.0 if converted else power_w
            small_behind_w += power_w if converted else 0.0
            continue
        yield appliance.name, power_w, converted, appliance.response in _NEEDS_ITS_VOLTAGE
    if profile.hourly is not None and profile.hourly.dc_w:
        small_w += max(profile.hourly.dc_w)
    if small_w > 0.0:
        yield "small DC loads", small_w, False, False
    if small_behind_w > 0.0:
        yield "small 12 V loads", small_behind_w, True, False
