"""Every electrical check of one van, and what was taken for granted in it."""

from __future__ import annotations

import dataclasses
from collections.abc import Collection, Iterable, Iterator
from typing import ClassVar

import pandas as pd

from solarsim.electrical.array_findings import array_findings
from solarsim.electrical.bank import bank_findings
from solarsim.electrical.cable_findings import cable_findings
from solarsim.electrical.cables import Cable, cables_of
from solarsim.electrical.chargers import alternator_findings, generator_findings, set_point_findings
from solarsim.electrical.circuit.topology import Topology
from solarsim.electrical.circuit.whole import topology_of
from solarsim.electrical.circuit_findings import circuit_findings
from solarsim.electrical.cold_strings import ColdString, cold_strings
from solarsim.electrical.converter import converter_findings
from solarsim.electrical.findings import Finding, worst_first
from solarsim.electrical.inverter import inverter_findings, shore_findings
from solarsim.electrical.mains_findings import mains_findings
from solarsim.electrical.placement import placement_findings
from solarsim.electrical.rule_set import RuleSet, rules_in_force
from solarsim.electrical.site import Extremes, site_extremes
from solarsim.electrical.taken import assumed, not_looked_at
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
    rules : RuleSet
        By which rules.
    rules_why : str
        Why by these, one sentence.
    extremes : Extremes
        Its record low and high.
    findings : tuple of Finding
        Worst first; empty for a van that keeps every rule looked at.
    cables : tuple of Cable
        Every run with its wire and fuse.
    assumed : tuple of str
        Defaults that stand in for what the van's file does not say.
    not_looked_at : tuple of str
        What no rule here looks at, or what cannot be for want of data.
    """

    _face: ClassVar[str] = "check"

    van: Van
    profile: Profile
    place: Place
    rules: RuleSet
    rules_why: str
    extremes: Extremes
    findings: tuple[Finding, ...]
    cables: tuple[Cable, ...]
    assumed: tuple[str, ...]
    not_looked_at: tuple[str, ...]

    @property
    def strings(self) -> tuple[ColdString, ...]:
        """How every array's strings stand on the coldest morning."""
        return tuple(cold_strings(self.van, self.extremes.low_c))

    @property
    def stops(self) -> tuple[str, ...]:
        """What forbids building it so, one line each."""
        return tuple(
            f"{finding.where}: {finding.message}" if finding.where else finding.message
            for finding in self.findings
            if finding.severity == "stop"
        )

    @property
    def topology(self) -> Topology:
        """The whole circuit: what stands in it, and every numbered run between."""
        return topology_of(self.van, self.rules, self.cables, record_low_c=self.extremes.low_c)

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
    also: Iterable[Place] = (),
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
    also : iterable of Place
        Further places where the van is to stand, whose cold and heat count too.

    Raises
    ------
    InputError
        Panel numbers that no panel can have, or a place without climate data.
    """
    extremes = site_extremes(place, climate, series, also)
    rules, why = rules_in_force(van, place)
    cables = tuple(cables_of(van, profile, rules, record_high_c=extremes.high_c))
    return Check(
        van=van,
        profile=profile,
        place=place,
        rules=rules,
        rules_why=why,
        extremes=extremes,
        findings=worst_first(find_all(van, profile, rules, extremes, cables)),
        cables=cables,
        assumed=tuple(assumed(van, profile, rules, cables, extremes)),
        not_looked_at=tuple(not_looked_at(van)),
    )


def find_all(
    van: Van, profile: Profile, rules: RuleSet, extremes: Extremes, cables: tuple[Cable, ...]
) -> Iterator[Finding]:
    """Yield every finding, part by part."""
    yield from placement_findings(van)
    yield from array_findings(van, rules, extremes)
    yield from bank_findings(van, profile, extremes)
    yield from inverter_findings(van, profile)
    yield from converter_findings(van, profile)
    yield from shore_findings(van, profile)
    yield from alternator_findings(van)
    yield from generator_findings(van)
    yield from set_point_findings(van)
    yield from cable_findings(cables)
    yield from circuit_findings(van, rules, cables)
    yield from mains_findings(van, profile, rules)


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
