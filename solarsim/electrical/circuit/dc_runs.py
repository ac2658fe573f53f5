"""Every run of a van's DC side, from the bank outwards, and what it must carry."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from typing import NamedTuple

from solarsim.electrical.circuit.array_runs import array_circuits
from solarsim.electrical.circuit.branch_runs import branch_circuits
from solarsim.electrical.circuit.circuit import (
    AT_BANK,
    FUSE_BLOCK,
    Circuit,
    circuit_of,
)
from solarsim.electrical.converter import CONVERTER_V, converter_load
from solarsim.electrical.currents import (
    charger_a,
    dc_current_a,
    dcdc_a,
    dcdc_input_a,
    generator_a,
    inverter_input_a,
    next_up,
    second_alternator_a,
    short_circuit_a,
    strings_of_bank,
    sum_of_chargers_a,
)
from solarsim.electrical.loads import runs_in_week, worst_hour
from solarsim.electrical.rule_set import RuleSet
from solarsim.electrical.rules import fuse_sizes_a, read_table, rule
from solarsim.electrical.wired_arrays import WiredArray, arrays_by_controller
from solarsim.inputs.chargers import Alternator
from solarsim.inputs.profile import Profile
from solarsim.inputs.van import Van
from solarsim.inputs.wiring import CableRun

__all__ = ["circuits_of", "interrupting_a", "main_fuse_of", "strings_fused"]

_AT_BUS = "at the positive bus"
_SECOND = "second_alternator"


def interrupting_a(van: Van) -> float:
    """Short-circuit current that a fuse at the bank must break, A.

    References
    ----------
    .. [1] ABYC E-11.10.1.3 (quoted second-hand): above 500 Ah the battery's short-circuit current,
       or 20 kA at 125 V DC or more. It is kept for every lithium bank here.
    .. [2] ABYC E-11, from memory: for smaller banks of lead-acid by cold-cranking amperes.
    """
    large = van.bank_capacity_ah > rule("interrupting_bank_ah").value
    if van.battery.chemistry == "lfp" or large:
        return min(short_circuit_a(van), rule("interrupting_enough_a").value)
    cranking_a = rule("cold_cranking_per_ah").value * van.bank_capacity_ah
    column = "of_12_v" if van.van.system_voltage_v == CONVERTER_V else "of_24_v"
    return next(
        float(row[column])
        for row in read_table("lead_interrupting")
        if cranking_a <= float(row["most_cca"])
    )


def circuits_of(
    van: Van, profile: Profile, rules: RuleSet, *, record_high_c: float | None = None
) -> Iterator[Circuit]:
    """Yield every DC run that carries anything, from the bank outwards.

    Parameters
    ----------
    van : Van
        Parts and wiring.
    profile : Profile
        Loads.
    rules : RuleSet
        What it is held to.
    record_high_c : float, optional
        Hottest air of the van's place, degrees C, where that is known.
    """
    flows = _flows(van, profile)
    yield from _of_bank(rules, van, flows)
    yield from _feeders(rules, van, flows)
    if dcdc_a(van) > 0.0:
        assert van.alternator is not None
        if van.wiring.alternator.wire is not None:
            yield _of_alternator(rules, van.alternator, van.wiring.alternator)
        yield circuit_of(
            rules,
            "dcdc_in",
            "starter battery to DC-DC",
            dcdc_input_a(van),
            float(van.alternator.vehicle_voltage_v),
            van.wiring.dcdc_in,
            "within 7 in (18 cm) of the starter battery's positive terminal",
            engine_space=True,
        )
    for group in arrays_by_controller(van):
        in_parallel = sum(one.strings for one in group)
        for one in group:
            yield from array_circuits(rules, van.wiring, one, in_parallel, record_high_c)
    behind = converter_load(van, profile)
    upstream = (("main", flows.drawn_a), ("bank_bus", flows.loads_a))
    if behind.from_bank_w > 0.0:
        converter = circuit_of(
            rules,
            "converter",
            "fuse block to converter",
            dc_current_a(van, behind.from_bank_w),
            float(van.van.system_voltage_v),
            van.wiring.converter,
            FUSE_BLOCK,
        )
        yield dataclasses.replace(converter, upstream_a=upstream)
    yield from branch_circuits(rules, van, profile, behind.names, upstream)


def _of_alternator(rules: RuleSet, alternator: Alternator, run: CableRun) -> Circuit:
    """The vehicle's own run from the alternator, at all that it gives."""
    rating_a = alternator.rating_a
    given_a = rule("alternator_rating_a").value if rating_a is None else rating_a
    vehicle_v = float(alternator.vehicle_voltage_v)
    place = "at the starter battery, which can melt it"
    name = "alternator to starter battery"
    return circuit_of(
        rules, "alternator", name, given_a, vehicle_v, run, place, engine_space=True, critical=False
    )


class _Flows(NamedTuple):
    """What the inverter, the DC loads and the chargers draw or give at most, A."""

    inverter_a: float
    loads_a: float
    charged_a: float

    @property
    def drawn_a(self) -> float:
        """Inverter and DC loads at once, A."""
        return self.inverter_a + self.loads_a


def _flows(van: Van, profile: Profile) -> _Flows:
    behind = converter_load(van, profile)
    dc_w = worst_hour(runs_in_week(profile, "dc")).power_w
    return _Flows(
        inverter_a=inverter_input_a(van, 0.0 if van.inverter is None else van.inverter.power_w),
        loads_a=dc_current_a(van, dc_w + behind.from_bank_w - behind.power_w),
        charged_a=sum_of_chargers_a(van),
    )


def _of_bank(rules: RuleSet, van: Van, flows: _Flows) -> Iterator[Circuit]:
    """Yield the run of each battery string, where there are several, and the bank's own."""
    wiring, strings = van.wiring, strings_of_bank(van)
    main_a = max(flows.drawn_a, flows.charged_a)
    if main_a == 0.0:
        return
    main = circuit_of(
        rules,
        "main",
        "bank to positive bus",
        main_a,
        float(van.van.system_voltage_v),
        wiring.main,
        AT_BANK,
        interrupts_a=interrupting_a(van),
    )
    if strings > 1:
        fused = strings_fused(van)
        string = circuit_of(
            rules,
            "bank_string",
            "each battery string to the bank's terminals",
            main_a * rule("sharing_margin").value / strings,
            float(van.van.system_voltage_v),
            wiring.bank_string,
            "at the positive terminal of each string" if fused else "the main fuse protects it",
            interrupts_a=interrupting_a(van) if fused else None,
        )
        string = dataclasses.replace(string, fused_at_source=fused, count=strings)
        if not fused:
            main_fuse_a = main_fuse_of(main)
            string = dataclasses.replace(string, design_a=main_fuse_a, corrected_a=main_fuse_a)
        yield string
    yield main


def _feeders(rules: RuleSet, van: Van, flows: _Flows) -> Iterator[Circuit]:
    """Yield what hangs on the positive bus."""
    wiring = van.wiring
    loads = (
        (
            "bank_inverter",
            "positive bus to inverter",
            flows.inverter_a,
            wiring.bank_inverter,
        ),
        ("bank_bus", "positive bus to fuse block", flows.loads_a, wiring.bank_bus),
    )
    chargers = (
        *(_from_controller(group[0]) for group in arrays_by_controller(van)),
        ("dcdc_out", "DC-DC charger to positive bus", dcdc_a(van), wiring.dcdc_out),
        ("charger_bank", "shore charger to positive bus", charger_a(van), wiring.charger_bank),
        (
            "generator_bank",
            "generator's charger to positive bus",
            generator_a(van),
            wiring.generator_bank,
        ),
        (
            _SECOND,
            "second alternator to positive bus",
            second_alternator_a(van),
            wiring.second_alternator,
        ),
    )
    system_v, breaks_a = float(van.van.system_voltage_v), interrupting_a(van)
    for group, main_a in ((loads, flows.drawn_a), (chargers, flows.charged_a)):
        for key, name, current_a, run in group:
            if current_a > 0.0:
                feeder = circuit_of(
                    rules,
                    key,
                    name,
                    current_a,
                    system_v,
                    run,
                    _AT_BUS,
                    interrupts_a=breaks_a,
                    engine_space=key == _SECOND,
                )
                yield dataclasses.replace(feeder, upstream_a=(("main", main_a),))


def main_fuse_of(main: Circuit) -> float:
    """The main fuse, given or the next size above the design current, A."""
    if main.run.fuse_a is not None:
        return main.run.fuse_a
    return next_up(fuse_sizes_a(), main.design_a) or main.design_a


def strings_fused(van: Van) -> bool:
    """Whether battery strings have fuses of their own, or are planned to."""
    given = van.wiring.bank_fuses
    if given is not None:
        return given > 0
    return strings_of_bank(van) > rule("bank_strings_without_fuses").value


def _from_controller(array: WiredArray) -> tuple[str, str, float, CableRun]:
    """The run of a controller to the bank, at its rated output; named by its own array."""
    name = "solar controller to positive bus"
    named = name if array.van_controller else f"{array.name}: {name}"
    return "controller_bank", named, array.controller.max_output_a, array.feeder
