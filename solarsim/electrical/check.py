"""Every electrical check of one van, and what was taken for granted in it."""

from __future__ import annotations

import dataclasses
from collections.abc import Collection, Iterator
from typing import ClassVar

import pandas as pd

from solarsim.electrical.array_findings import array_findings
from solarsim.electrical.bank import bank_findings
from solarsim.electrical.cable_findings import cable_findings
from solarsim.electrical.cables import Cable, cables_of
from solarsim.electrical.chargers import alternator_findings, set_point_findings
from solarsim.electrical.circuits import Circuit
from solarsim.electrical.converter import converter_findings, converter_load
from solarsim.electrical.currents import short_circuit_a
from solarsim.electrical.findings import Finding, worst_first
from solarsim.electrical.inverter import inverter_findings, shore_findings
from solarsim.electrical.placement import placement_findings
from solarsim.electrical.rules import rule
from solarsim.electrical.site import Extremes, site_extremes
from solarsim.electrical.string_voltage import cold_string_v
from solarsim.electrical.wire import ENGINE_SPACE_C, TABLE_AIR_C
from solarsim.electrical.wired_arrays import arrays_by_controller
from solarsim.inputs.profile import Profile
from solarsim.inputs.van import Van
from solarsim.records import Answer
from solarsim.weather.climate.site import SiteClimate
from solarsim.weather.record import Place
from solarsim.weather.years.series import YearSeries

__all__ = ["Check", "check_van", "find_all", "stop_warnings"]


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Check(Answer):
    """The answer of `check_van`.

    Attributes
    ----------
    van : Van
        What was checked.
    profile : Profile
        Whose loads it carries.
    place : Place
        Where.
    extremes : Extremes
        Its record low and high.
    findings : tuple of Finding
        Worst first; empty for a van that keeps every rule looked at.
    cables : tuple of Cable
        Every run with its wire and fuse.
    assumed : tuple of str
        Defaults that stand in for what the van's file does not say.
    """

    _face: ClassVar[str] = "check"

    van: Van
    profile: Profile
    place: Place
    extremes: Extremes
    findings: tuple[Finding, ...]
    cables: tuple[Cable, ...]
    assumed: tuple[str, ...]

    def cables_frame(self) -> pd.DataFrame:
        """Return every run with its wire and fuse as a table; columns carry their units."""
        table: pd.DataFrame = self._shown().cables(self)
        return table


def check_van(
    van: Van,
    profile: Profile,
    place: Place,
    *,
    climate: SiteClimate | None = None,
    series: YearSeries | None = None,
) -> Check:
    """Check the electrical side of a van.

    Parameters
    ----------
    van : Van
        Parts and wiring.
    profile : Profile
        Loads.
    place : Place
        Where its coldest night and hottest day are looked up.
    climate : SiteClimate, optional
        The place's climate, if it is at hand.
    series : YearSeries, optional
        A weather file, whose extremes count where they go further.

    Raises
    ------
    InputError
        Panel numbers that no panel can have, or a place without climate data.
    """
    extremes = site_extremes(place, climate, series)
    cables = tuple(cables_of(van, profile, record_high_c=extremes.high_c))
    return Check(
        van=van,
        profile=profile,
        place=place,
        extremes=extremes,
        findings=worst_first(find_all(van, profile, extremes, cables)),
        cables=cables,
        assumed=tuple(_assumed(van, profile, cables, extremes)),
    )


def find_all(
    van: Van, profile: Profile, extremes: Extremes, cables: tuple[Cable, ...]
) -> Iterator[Finding]:
    """Yield every finding, part by part."""
    yield from placement_findings(van)
    yield from array_findings(van, extremes)
    yield from bank_findings(van, profile, extremes)
    yield from inverter_findings(van, profile)
    yield from converter_findings(van, profile)
    yield from shore_findings(van, profile)
    yield from alternator_findings(van)
    yield from set_point_findings(van)
    yield from cable_findings(cables)


def stop_warnings(
    van: Van,
    profile: Profile,
    place: Place,
    *,
    climate: SiteClimate | None = None,
    series: YearSeries | None = None,
    leave_out: Collection[str] = (),
) -> tuple[str, ...]:
    """Return the findings that forbid building a van, one line each; otherwise as `check_van`.

    Kinds of finding in `leave_out` are told elsewhere.
    """
    checked = check_van(van, profile, place, climate=climate, series=series)
    return tuple(
        f"{finding.where}: {finding.message}: {finding.advice} ({finding.source})"
        for finding in checked.findings
        if finding.severity == "stop" and finding.id not in leave_out
    )


def _assumed(
    van: Van, profile: Profile, cables: tuple[Cable, ...], extremes: Extremes
) -> Iterator[str]:
    battery, alternator, inverter = van.battery, van.alternator, van.inverter
    default = [cable for cable in cables if cable.circuit.run.length_m is None]
    if default:
        lengths = ", ".join(
            f"{name} {length_m:g} m"
            for name, length_m in dict.fromkeys(
                (_branch_or_name(cable.circuit), cable.circuit.length_m) for cable in default
            )
        )
        yield f"lengths one way: {lengths}"
    if any(not cable.given for cable in cables):
        yield (
            "copper conductors of 105 C insulation where none is given, those of panels of 90 C, "
            f"in air of {TABLE_AIR_C:g} C, or of {ENGINE_SPACE_C:g} C in the engine space, bundled "
            "with no other run where none is given; cable sold by SAE gauge has up to 12 % less "
            "copper than AWG of the same number (from memory): take one size larger"
        )
    aired = [cable.circuit for cable in cables if cable.circuit.key == "panels_controller"]
    for circuit in aired:
        if circuit.run.ambient_c is None:
            yield (
                f"air of {circuit.ambient_c:.0f} C along the run '{circuit.name}' "
                f"({circuit.ambient_source})"
            )
    arrays = [array for group in arrays_by_controller(van) for array in group]
    coldest_v = max((cold_string_v(a.panels, extremes.low_c)[0] for a in arrays), default=0.0)
    if coldest_v >= rule("low_voltage_v").value:
        yield "the table of conductors for systems below 50 V for the panels, which exceed it"
    if battery.bms_discharge_a is None or battery.bms_charge_a is None:
        yield "the chemistry's usual current limits for what the battery's data do not say"
    if battery.short_circuit_a is None:
        yield f"{short_circuit_a(van):,.0f} A from a short-circuited bank, estimated by its Ah"
    if alternator is not None and alternator.dcdc_a > 0.0 and alternator.rating_a is None:
        yield f"an alternator of {rule('alternator_rating_a').value:g} A"
    hanging = converter_load(van, profile)
    if hanging.power_w > 0.0 and (van.converter is None or van.converter.power_w is None):
        yield f"a converter to 12 V that carries the {hanging.power_w:,.0f} W behind it"
    if inverter is not None and inverter.surge_w is None:
        yield f"an inverter's surge of {rule('surge_rating_ratio').value:g} times its rating"
    if inverter is not None and van.shore is not None and inverter.transfer_a is None:
        yield "a transfer switch that carries the post's breaker"
    if battery.charger_absorption_v is None:
        yield "chargers set to the chemistry's voltage, without equalising"
    if battery.chemistry == "lfp" and battery.bms_cold_cutoff and not battery.self_heating:
        yield "a BMS that stops charging below freezing"


def _branch_or_name(circuit: Circuit) -> str:
    return "each branch" if circuit.key == "branches" else circuit.name
