"""The runs of a van's DC side: what each carries, at which voltage, and where its fuse belongs."""

from __future__ import annotations

import dataclasses
from collections.abc import Collection, Iterator

from solarsim.electrical.converter import CONVERTER_V, converter_load
from solarsim.electrical.currents import (
    array_short_circuit_a,
    charger_a,
    dc_current_a,
    dcdc_a,
    dcdc_input_a,
    inverter_input_a,
    short_circuit_a,
    string_fuse_a,
    sum_of_chargers_a,
)
from solarsim.electrical.loads import running_w, runs_in_week, worst_hour
from solarsim.electrical.rules import rule
from solarsim.electrical.wire import ENGINE_SPACE_C, TABLE_AIR_C
from solarsim.electrical.wired_arrays import WiredArray, arrays_by_controller
from solarsim.inputs.profile import Profile
from solarsim.inputs.van import Van
from solarsim.inputs.wiring import CableRun, PanelsRun, Wiring

__all__ = ["Circuit", "circuits_of", "interrupting_a"]

# Loads below this share a branch, where the van names none.
_OWN_BRANCH_W = 30.0
_FUSE_BLOCK = "at the DC bus: fuse block"
_AFTER_CONVERTER = "at the converter's output: fuse block of the 12 V side"
_NEEDS_ITS_VOLTAGE = ("fridge", "heater")


@dataclasses.dataclass(frozen=True)
class Circuit:
    """One run.

    Attributes
    ----------
    key : str
        Its table in the van's file: ``"bank_inverter"``, or ``"branches"``.
    name : str
        What it joins, or the branch's name.
    current_a : float
        Largest continuous current, A.
    design_a : float
        What conductor and fuse must bear, A; the conductor before any factor for heat and bundling.
    corrected_a : float
        What the conductor must bear after those factors, A.
    running_a, running_v : float
        Current and voltage at which its drop counts.
    run : CableRun
        What the van's file says of it.
    length_m : float
        One way, given or the default.
    engine_space, critical : bool
        Given or the default.
    ambient_c : float
        Hottest air along it, given or the default, degrees C.
    ambient_source : str
        Where that temperature is from.
    roof_heat : bool
        Whether what a roof in the sun adds is counted in it.
    fuse_place : str
        Where the fuse belongs.
    fused_at_source : bool
        Whether a source stands behind it that can melt it; not so for an array of few strings.
    interrupts_a : float or None
        Short-circuit current that its fuse must break; None where no rule asks.
    string_fuse_a : float or None
        Of an array's run: the fuse in each of its strings; None where none is needed.
    """

    key: str
    name: str
    current_a: float
    design_a: float
    corrected_a: float
    running_a: float
    running_v: float
    run: CableRun
    length_m: float
    engine_space: bool
    ambient_c: float
    ambient_source: str
    critical: bool
    fuse_place: str
    fused_at_source: bool = True
    interrupts_a: float | None = None
    string_fuse_a: float | None = None
    roof_heat: bool = False


def interrupting_a(van: Van) -> float | None:
    """Short-circuit current that a fuse at the bank must break, A; None where no rule asks.

    References
    ----------
    .. [1] ABYC E-11.10.1.3 (quoted second-hand): above 500 Ah the battery's short-circuit current,
       or 20 kA at 125 V DC or more. It is kept for every lithium bank here.
    """
    lithium = van.battery.chemistry == "lfp"
    if not lithium and van.bank_capacity_ah <= rule("interrupting_bank_ah").value:
        return None
    return min(short_circuit_a(van), rule("interrupting_enough_a").value)


def circuits_of(
    van: Van, profile: Profile, *, record_high_c: float | None = None
) -> Iterator[Circuit]:
    """Yield every run that carries anything, from the bank outwards.

    Parameters
    ----------
    van : Van
        Parts and wiring.
    profile : Profile
        Loads.
    record_high_c : float, optional
        Hottest air of the van's place, degrees C, where that is known.
    """
    wiring, system_v = van.wiring, float(van.van.system_voltage_v)
    breaks_a = interrupting_a(van)
    at_bank = "within 7 in (18 cm) of the bank's positive terminal"
    dc_w = worst_hour(runs_in_week(profile, "dc")).power_w
    rated_w = 0.0 if van.inverter is None else van.inverter.power_w
    behind = converter_load(van, profile)
    lost_w = behind.from_bank_w - behind.power_w
    bus_a = max(dc_current_a(van, dc_w + lost_w), sum_of_chargers_a(van))
    arrays = arrays_by_controller(van)
    from_bank = (
        ("bank_inverter", "bank to inverter", inverter_input_a(van, rated_w), wiring.bank_inverter),
        ("bank_bus", "bank to DC bus", bus_a, wiring.bank_bus),
        *(_from_controller(wiring, group[0]) for group in arrays),
        ("dcdc_out", "DC-DC charger to bank", dcdc_a(van), wiring.dcdc_out),
        ("charger_bank", "shore charger to bank", charger_a(van), wiring.charger_bank),
    )
    for key, name, current_a, run in from_bank:
        if current_a > 0.0:
            yield _circuit(key, name, current_a, system_v, run, at_bank, interrupts_a=breaks_a)
    if dcdc_a(van) > 0.0:
        assert van.alternator is not None
        yield _circuit(
            "dcdc_in",
            "starter battery to DC-DC",
            dcdc_input_a(van),
            float(van.alternator.vehicle_voltage_v),
            wiring.dcdc_in,
            "within 7 in (18 cm) of the starter battery's positive terminal",
            engine_space=True,
        )
    for group in arrays:
        in_parallel = sum(one.strings for one in group)
        for one in group:
            yield _array(wiring, one, in_parallel, record_high_c)
    if behind.from_bank_w > 0.0:
        yield _circuit(
            "converter",
            "DC bus to converter",
            dc_current_a(van, behind.from_bank_w),
            system_v,
            wiring.converter,
            _FUSE_BLOCK,
        )
    yield from _branches(van, profile, behind.names)


def _circuit(
    key: str,
    name: str,
    current_a: float,
    voltage_v: float,
    run: CableRun,
    fuse_place: str,
    *,
    engine_space: bool = False,
    critical: bool = True,
    interrupts_a: float | None = None,
) -> Circuit:
    default_m = rule(f"length_{'branch' if key == 'branches' else key}_m").value
    in_engine_space = engine_space if run.engine_space is None else run.engine_space
    ambient_c, ambient_source = TABLE_AIR_C, "the table's"
    if run.ambient_c is not None:
        ambient_c, ambient_source = run.ambient_c, "given"
    if in_engine_space and ambient_c <= ENGINE_SPACE_C:
        ambient_c, ambient_source = ENGINE_SPACE_C, "the engine space"
    design_a = rule("continuous_factor").value * current_a
    return Circuit(
        key=key,
        name=name,
        current_a=current_a,
        design_a=design_a,
        # Stricter than NEC 215.2, which asks for the 125 % before the factors only (from memory);
        # the law of table 5, which is kept here, has no such leave.
        corrected_a=design_a,
        running_a=current_a,
        running_v=voltage_v,
        run=run,
        length_m=default_m if run.length_m is None else run.length_m,
        engine_space=in_engine_space,
        ambient_c=ambient_c,
        ambient_source=ambient_source,
        critical=critical if run.critical is None else run.critical,
        fuse_place=fuse_place,
        interrupts_a=interrupts_a,
    )


def _from_controller(wiring: Wiring, array: WiredArray) -> tuple[str, str, float, CableRun]:
    """The run of a controller to the bank, at its rated output; named by its own array."""
    name, rated_a = "solar controller to bank", array.controller.max_output_a
    if array.van_controller:
        return "controller_bank", name, rated_a, wiring.controller_bank
    return "controller_bank", f"{array.name}: {name}", rated_a, CableRun()


def _array(
    wiring: Wiring, array: WiredArray, in_parallel: int, record_high_c: float | None
) -> Circuit:
    """Conductors by NEC 690.8(B) in the heat of a roof in the sun; the drop at maximum power.

    They bear 125 % of 125 % of the short-circuit current before any factor for heat and bundling,
    and 125 % of it after those: the larger of the two counts, never both at once.
    """
    panels, on_roof = array.panels, array.on_roof
    run = wiring.panels_controller if array.own_panels else PanelsRun()
    roof_c = wiring.panels_controller.ambient_c
    if not array.own_panels and on_roof and roof_c is not None:
        run = PanelsRun(ambient_c=roof_c)
    own_fuses = in_parallel > rule("strings_without_fuses").value
    circuit = _circuit(
        "panels_controller",
        "panels to controller" if array.own_panels else f"{array.name}: panels to controller",
        array_short_circuit_a(array),
        array.string_vmp_v,
        run,
        "in each string, at the panels"
        if own_fuses
        else "none needed: the array limits its own current; a switch at the controller",
    )
    if run.ambient_c is None:
        air_c, air_source = _array_air(record_high_c, on_roof=on_roof)
        circuit = dataclasses.replace(
            circuit, ambient_c=air_c, ambient_source=air_source, roof_heat=on_roof
        )
    return dataclasses.replace(
        circuit,
        design_a=rule("pv_conductor_factor").value * circuit.current_a,
        corrected_a=rule("pv_corrected_factor").value * circuit.current_a,
        running_a=panels.imp_a * array.strings,
        fused_at_source=False,
        string_fuse_a=string_fuse_a(panels, wiring, in_parallel),
    )


def _array_air(record_high_c: float | None, *, on_roof: bool) -> tuple[float, str]:
    """Hottest air along an array's cables, degrees C, and where it is from."""
    air_c, source = rule("roof_summer_air_c").value, "summer air"
    if record_high_c is not None and record_high_c > air_c:
        air_c, source = record_high_c, "the place's record"
    words = f"{source} of {air_c:.0f} C"
    if not on_roof:
        return air_c, words
    rise = rule("roof_sun_rise_c")
    return air_c + rise.value, f"{words}, and {rise.value:g} K more on a roof in the sun"


def _branches(van: Van, profile: Profile, behind: Collection[str]) -> Iterator[Circuit]:
    """Yield the DC branches; those of appliances in `behind` hang on the converter to 12 V."""
    system_v = float(van.van.system_voltage_v)
    if van.wiring.branches:
        for branch in van.wiring.branches:
            yield _circuit("branches", branch.name, branch.current_a, system_v, branch, _FUSE_BLOCK)
        return
    small_w, small_behind_w = 0.0, 0.0
    default = CableRun()
    for appliance in profile.appliances:
        if not appliance.enabled or appliance.current != "dc":
            continue
        power_w = running_w(appliance)
        converted = appliance.name in behind
        if power_w < _OWN_BRANCH_W:
            small_w += 0.0 if converted else power_w
            small_behind_w += power_w if converted else 0.0
            continue
        yield _circuit(
            "branches",
            appliance.name,
            power_w / CONVERTER_V if converted else dc_current_a(van, power_w),
            CONVERTER_V if converted else system_v,
            default,
            _AFTER_CONVERTER if converted else _FUSE_BLOCK,
            critical=appliance.response in _NEEDS_ITS_VOLTAGE,
        )
    if profile.hourly is not None and profile.hourly.dc_w:
        small_w += max(profile.hourly.dc_w)
    if small_w > 0.0:
        small_a = dc_current_a(van, small_w)
        name = "small DC loads"
        yield _circuit("branches", name, small_a, system_v, default, _FUSE_BLOCK, critical=False)
    if small_behind_w > 0.0:
        yield _circuit(
            "branches",
            "small 12 V loads",
            small_behind_w / CONVERTER_V,
            CONVERTER_V,
            default,
            _AFTER_CONVERTER,
            critical=False,
        )
