"""The bank against what draws from it and charges it, its layout, its cold and its gas."""

from __future__ import annotations

import math
from collections.abc import Iterator

from solarsim.electrical.currents import (
    absorption_v,
    charger_a,
    dc_current_a,
    engine_a,
    generator_a,
    inverter_input_a,
    inverter_surge_w,
    strings_of_bank,
    sum_of_chargers_a,
)
from solarsim.electrical.findings import Compared, Finding
from solarsim.electrical.loads import runs_in_week, worst_hour
from solarsim.electrical.rules import rule
from solarsim.electrical.site import Extremes
from solarsim.inputs.percent import percent
from solarsim.inputs.profile import Profile
from solarsim.inputs.van import Van
from solarsim.power.chemistry import load_chemistry
from solarsim.power.design import design_of
from solarsim.power.freezing import FREEZING_SOURCE, freezing_point_c, state_of_charge_to_keep

__all__ = ["BANK", "bank_findings", "charge_limit_a", "discharge_limit_a", "surge_limit_a"]

# Where its findings say that they are.
BANK = "bank"


def discharge_limit_a(van: Van) -> float:
    """Continuous current that the bank gives with paralleled units sharing unevenly, A."""
    return _of_bank(van, _unit_discharge_a(van))


def surge_limit_a(van: Van) -> float:
    """Current that the bank gives for seconds, A."""
    battery = van.battery
    given_a = battery.bms_surge_a
    default_a = rule("surge_ratio").value * _unit_discharge_a(van)
    return _of_bank(van, default_a if given_a is None else given_a)


def charge_limit_a(van: Van) -> float:
    """Current that the bank takes with paralleled units sharing unevenly, A."""
    battery = van.battery
    chemistry = load_chemistry(battery.chemistry)
    own_a = chemistry.charge_c_rate * battery.unit_capacity_ah
    return _of_bank(van, own_a if battery.bms_charge_a is None else battery.bms_charge_a)


def bank_findings(van: Van, profile: Profile, extremes: Extremes) -> Iterator[Finding]:
    """Check currents, layout, temperature and floor of the bank."""
    yield from _discharge(van, profile)
    yield from _charge(van)
    yield from _layout(van)
    yield from _cold(van, profile, extremes)
    yield from _frozen(van, profile, extremes)
    yield from _floor(van)
    yield from _gas(van)
    yield from _mixed(van)


def _unit_discharge_a(van: Van) -> float:
    battery = van.battery
    if battery.bms_discharge_a is not None:
        return battery.bms_discharge_a
    return load_chemistry(battery.chemistry).discharge_c_rate * battery.unit_capacity_ah


def _of_bank(van: Van, unit_a: float) -> float:
    parallel = strings_of_bank(van)
    return unit_a * parallel / (rule("sharing_margin").value if parallel > 1 else 1.0)


def _unit_source(given: float | None, van: Van) -> str:
    sharing = f"; {rule('sharing_margin').source}" if strings_of_bank(van) > 1 else ""
    if given is not None:
        return f"the battery's data{sharing}"
    return f"the usual limit of {load_chemistry(van.battery.chemistry).label}, from memory{sharing}"


def _discharge(van: Van, profile: Profile) -> Iterator[Finding]:
    battery = van.battery
    dc_a = dc_current_a(van, worst_hour(runs_in_week(profile, "dc")).power_w)
    rated_w = 0.0 if van.inverter is None else van.inverter.power_w
    drawn_a = inverter_input_a(van, rated_w) + dc_a
    limit_a = discharge_limit_a(van)
    lithium = battery.chemistry == "lfp"
    asked = (
        f"the inverter at its full {rated_w:,.0f} W on a low bank and the DC loads draw "
        f"{drawn_a:.0f} A"
        if van.inverter is not None
        else f"the DC loads draw {drawn_a:.0f} A"
    )
    usual_a, usual_source = _usual_discharge(van)
    if drawn_a > limit_a:
        yield Finding(
            "bank-discharge",
            "stop",
            BANK,
            Compared(drawn_a, limit_a, "A"),
            _unit_source(battery.bms_discharge_a, van),
            f"{asked}; the bank's units give {limit_a:.0f} A between them"
            + (" before their BMS cuts off" if lithium else ""),
            "more units in parallel, units with a larger limit, or a smaller inverter",
        )
    elif drawn_a > usual_a:
        yield Finding(
            "bank-c-rate",
            "warn",
            BANK,
            Compared(drawn_a, usual_a, "A"),
            usual_source,
            f"{asked}, {drawn_a / van.bank_capacity_ah:.1f} times the bank's capacity in an hour",
            "a larger bank, or a smaller inverter"
            if lithium
            else "a larger bank, lithium, or a smaller inverter",
        )
    surge_a = inverter_input_a(van, inverter_surge_w(van)) + dc_a
    surge_limit = surge_limit_a(van)
    if van.inverter is not None and surge_a > surge_limit and drawn_a <= limit_a:
        yield Finding(
            "bank-surge",
            "warn",
            BANK,
            Compared(surge_a, surge_limit, "A"),
            "the battery's data" if battery.bms_surge_a is not None else rule("surge_ratio").source,
            f"at its surge of {inverter_surge_w(van):,.0f} W the inverter and the DC loads draw "
            f"{surge_a:.0f} A; the bank's units give {surge_limit:.0f} A for seconds",
            "more units in parallel, or units with a larger surge current",
        )


def _charge(van: Van) -> Iterator[Finding]:
    battery = van.battery
    charged_a = sum_of_chargers_a(van)
    limit_a = charge_limit_a(van)
    if charged_a > limit_a:
        yield Finding(
            "bank-charge",
            "stop" if battery.chemistry == "lfp" else "warn",
            BANK,
            Compared(charged_a, limit_a, "A"),
            _unit_source(battery.bms_charge_a, van),
            f"{_chargers(van)} charge with up to {charged_a:.0f} A; the bank takes {limit_a:.0f} A",
            "a larger bank, or limit the chargers in their settings",
        )
        return
    chemistry = load_chemistry(battery.chemistry)
    usual_a = chemistry.charge_c_rate * van.bank_capacity_ah
    if charged_a > usual_a:
        yield Finding(
            "bank-charge-rate",
            "warn",
            BANK,
            Compared(charged_a, usual_a, "A"),
            f"the usual limit of {chemistry.label}, from memory",
            f"{_chargers(van)} charge with up to {charged_a:.0f} A, "
            f"{charged_a / van.bank_capacity_ah:.1f} times the bank's capacity in an hour; the "
            "BMS lets that pass, the cells age sooner",
            "limit the chargers in their settings, or ask the battery's maker",
        )


def _chargers(van: Van) -> str:
    """The chargers that run at once: a van that is plugged in does not drive."""
    others = {
        "engine": engine_a(van),
        "shore power": charger_a(van),
        "generator": generator_a(van),
    }
    largest = max(others, key=lambda name: others[name])
    return f"sun and {largest} together" if others[largest] else "the sun"


def _usual_discharge(van: Van) -> tuple[float, str]:
    """Current that the bank's cells give without wear, whatever their BMS lets pass, A."""
    if van.battery.chemistry != "lfp":
        gentle = rule("lead_discharge_c_rate")
        return gentle.value * van.bank_capacity_ah, gentle.source
    chemistry = load_chemistry(van.battery.chemistry)
    source = f"the usual limit of {chemistry.label} cells, from memory"
    return chemistry.discharge_c_rate * van.bank_capacity_ah, source


def _layout(van: Van) -> Iterator[Finding]:
    battery = van.battery
    parallel, most = strings_of_bank(van), rule("most_parallel")
    if parallel > most.value:
        yield Finding(
            "bank-parallel",
            "warn",
            BANK,
            Compared(parallel, most.value, "strings"),
            most.source,
            f"{parallel} strings in parallel share their current unevenly",
            "fewer and larger units",
        )
    if battery.max_in_series is not None and van.units_in_series > battery.max_in_series:
        yield Finding(
            "bank-series",
            "stop",
            BANK,
            Compared(van.units_in_series, battery.max_in_series, "units"),
            "the battery's data",
            f"{van.units_in_series} units in series; their maker lets {battery.max_in_series}: the "
            "switches of their BMS would not bear the voltage",
            f"units of {van.van.system_voltage_v} V",
        )
    highest_v, limit = absorption_v(van), rule("low_voltage_v")
    if highest_v >= limit.value:
        yield Finding(
            "bank-voltage",
            "note",
            BANK,
            Compared(highest_v, limit.value, "V"),
            limit.source,
            f"a {van.van.system_voltage_v} V bank charges to {highest_v:.1f} V: touching it can "
            "injure",
            "fuses and switches for its DC voltage, covered terminals, and an electrician",
        )
    if battery.chemistry == "lfp" and battery.unit_voltage_v == 2:
        yield Finding(
            "bank-unit-voltage",
            "stop",
            BANK,
            Compared(2.0, 3.2, "V"),
            "an LFP cell is of 3.2 V nominal: cell sheets, from memory",
            "there is no LFP unit of 2 V",
            "check battery.chemistry and battery.unit_voltage_v",
        )


def _cold(van: Van, profile: Profile, extremes: Extremes) -> Iterator[Finding]:
    battery = van.battery
    freezing = rule("freezing_c")
    if battery.chemistry != "lfp" or battery.self_heating or extremes.low_c >= freezing.value:
        return
    compared = Compared(extremes.low_c, freezing.value, "C")
    if not battery.bms_cold_cutoff:
        yield Finding(
            "bank-cold-unprotected",
            "stop",
            BANK,
            compared,
            freezing.source,
            f"it gets {extremes.low_c:.0f} C here, and nothing keeps a freezing bank from being "
            "charged: lithium plates out and the cells are ruined",
            "units whose BMS stops charging below freezing, or self-heating ones",
        )
        return
    reason = _why_unheated(van, profile)
    if reason is not None:
        yield Finding(
            "bank-cold-charging",
            "warn",
            BANK,
            compared,
            freezing.source,
            f"it gets {extremes.low_c:.0f} C here; a lithium bank {reason} takes no charge below "
            f"{freezing.value:g} C",
            "keep it inside the heated space, or take self-heating units",
        )


def _why_unheated(van: Van, profile: Profile) -> str | None:
    """Say why the bank gets as cold as the air, or None where it stands in a heated space."""
    if van.battery.location == "outside":
        return "outside"
    return "in a van that nobody heats" if profile.cabin.heater_set_point_c is None else None


def _frozen(van: Van, profile: Profile, extremes: Extremes) -> Iterator[Finding]:
    reason = _why_unheated(van, profile)
    if van.battery.chemistry == "lfp" or reason is None:
        return
    floor = design_of(van).floor_soc
    freezes_c = float(freezing_point_c(floor))
    if extremes.low_c > freezes_c:
        return
    keep = state_of_charge_to_keep(extremes.low_c)
    charged = (
        "take it inside before the frost: no charge keeps it from freezing"
        if keep is None
        else f"keep it charged above {percent(math.ceil(100.0 * keep) / 100.0)} with all loads "
        "disconnected, or take it inside before the frost"
    )
    yield Finding(
        "bank-freezing",
        "stop",
        BANK,
        Compared(extremes.low_c, freezes_c, "C"),
        FREEZING_SOURCE,
        f"it gets {extremes.low_c:.0f} C here; the acid of a lead-acid bank {reason}, used down to "
        f"{percent(floor)}, freezes at {freezes_c:.0f} C and bursts its cells",
        charged,
    )


def _floor(van: Van) -> Iterator[Finding]:
    battery = van.battery
    lithium = battery.chemistry == "lfp"
    least = rule("least_lfp_soc" if lithium else "least_lead_soc")
    if battery.floor_soc is not None and battery.floor_soc < least.value:
        yield Finding(
            "bank-floor",
            "note" if lithium else "warn",
            BANK,
            Compared(battery.floor_soc, least.value, "of its charge"),
            least.source,
            f"a bank used down to {percent(battery.floor_soc)} goes dark by its BMS, without notice"
            if lithium
            else f"a lead-acid bank used down to {percent(battery.floor_soc)} wears out early",
            f"battery.floor_soc = {least.value:g}, and a bank that is large enough for it",
        )


def _gas(van: Van) -> Iterator[Finding]:
    battery = van.battery
    if battery.chemistry == "lfp" or battery.location != "inside" or battery.vented:
        return
    flooded = battery.chemistry == "flooded"
    yield Finding(
        "bank-gas",
        "stop" if flooded else "note",
        BANK,
        Compared(0.0, 1.0, "vents to the outside"),
        "NEC 480.10(A), EN 1648-2 and IEC 62485-2: ventilation against explosive gas (from memory)",
        "a flooded bank inside gives off hydrogen while it charges"
        if flooded
        else "a sealed lead-acid bank gives off hydrogen when it is overcharged",
        "a sealed box with a vent to the outside (battery.vented = true)"
        + (", or sealed batteries" if flooded else ""),
    )


def _mixed(van: Van) -> Iterator[Finding]:
    mixed = van.battery.mixed
    if not mixed:
        return
    chemistry = "chemistry" in mixed
    yield Finding(
        "bank-mixed",
        "stop" if chemistry else "warn",
        BANK,
        Compared(float(len(mixed)), 0.0, "differences"),
        "common practice, no source: batteries' manuals ask for like units of one age",
        f"the units differ in {' and '.join(mixed)}: "
        + (
            "no charger's voltage is right for both, and one drains the other"
            if chemistry
            else "the weakest is overcharged and run down first"
        ),
        "one kind of unit, bought together",
    )
