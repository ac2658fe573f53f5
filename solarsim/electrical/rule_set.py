"""Which rules a van is built by: those of its kind and of the country where it stands."""

from __future__ import annotations

import dataclasses
import functools
import importlib.resources
from pathlib import Path
from typing import Any, NamedTuple

from solarsim.electrical.rules import Rule, rule
from solarsim.inputs.files.toml import read_toml
from solarsim.inputs.van import Van
from solarsim.inputs.wiring import RulesName
from solarsim.weather.record import Place

__all__ = [
    "AcRules",
    "AmpacityRules",
    "BondRules",
    "RuleSet",
    "RulesInForce",
    "rule_set",
    "rules_in_force",
]

# ISO 3166 codes by the name of a country's clocks, as the zones' own table gives them.
_ZONES = "zone.tab"


class AcRules(NamedTuple):
    """What is asked of the mains side: words with their sources, and conductors by breaker."""

    voltage_v: float
    breakers: tuple[float, ...]
    outlet_a: float
    protection: str
    rcd_ma: float
    source: str
    inlet: str
    transfer: str
    neutral: str
    cable_table: str
    cable_source: str
    conductor_source: str
    conductors: tuple[tuple[float, str, str], ...]


class AmpacityRules(NamedTuple):
    """Names of the tables of ampacity and bundling, and where they stand."""

    alone: str
    bundled: str
    bundles: str
    alone_source: str
    bundled_source: str
    bundles_source: str
    air_source: str


class BondRules(NamedTuple):
    """Least conductor from an earth to the chassis."""

    awg: str
    metric: str
    source: str


@dataclasses.dataclass(frozen=True)
class RuleSet:
    """The rules of one kind of vehicle.

    Attributes
    ----------
    name : str
        As in the van's file: ``"us-rv"``, ``"eu-caravan"`` or ``"boat"``.
    title : str
        Standards and laws, in words.
    """

    name: RulesName
    title: str

    def rule(self, name: str) -> Rule:
        """Return this set's own rule, or the one that holds for all.

        Raises
        ------
        KeyError
            No such rule.

        Examples
        --------
        >>> rule_set("boat").rule("fuse_most_ratio").value
        1.5
        >>> rule_set("us-rv").rule("pv_current_factor") == rule("pv_current_factor")
        True
        """
        own = _table(self.name).get(name)
        return rule(name) if own is None else Rule(float(own["value"]), str(own["source"]))

    @property
    def ac(self) -> AcRules:
        """What is asked of the mains side."""
        table = dict(_table(self.name)["ac"])
        rows = tuple((float(a), str(gauge), str(area)) for a, gauge, area in table["conductors"])
        breakers = tuple(float(size_a) for size_a in table["breakers"])
        return AcRules(**(table | {"conductors": rows, "breakers": breakers}))

    @property
    def ampacity(self) -> AmpacityRules:
        """Which tables of ampacity and bundling hold."""
        return AmpacityRules(**_table(self.name)["ampacity"])

    @property
    def thin_fuses(self) -> tuple[tuple[str, float], ...]:
        """Largest fuse of thin conductors by gauge, thickest last, A; may be empty."""
        rows = _table(self.name).get("small", {}).get("gauges", [])
        return tuple((str(gauge), float(fuse_a)) for gauge, fuse_a in rows)

    @property
    def thin_fuses_source(self) -> str:
        """Where the largest fuses of thin conductors stand."""
        return str(_table(self.name).get("small", {}).get("source", ""))

    @property
    def native_metric(self) -> bool:
        """Whether cable is chosen by its area in mm2 first, not by its gauge."""
        return self.name == "eu-caravan"

    @property
    def bond(self) -> BondRules:
        """What is asked of the bond to the chassis."""
        return BondRules(**_table(self.name)["bond"])


class RulesInForce(NamedTuple):
    """A van's rules, and why these: one sentence."""

    rules: RuleSet
    why: str


@functools.cache
def rule_set(name: RulesName) -> RuleSet:
    """Return one set of rules by its name."""
    return RuleSet(name, str(_table(name)["title"]))


def rules_in_force(van: Van, place: Place) -> RulesInForce:
    """Return the rules that the van's file names, or those of the country of a place.

    A country without rules here takes the European ones, which are close to those of the IEC.
    """
    named = van.wiring.rules
    if named is not None:
        rules = rule_set(named)
        return RulesInForce(rules, f"Rules: {rules.title} (wiring.rules = '{named}').")
    country = _countries().get(place.timezone)
    american = country in _table("us-rv")["countries"]
    rules = rule_set("us-rv" if american else "eu-caravan")
    if country is None:
        why = f"the country of {place.name} is not known"
    elif american or country in _european():
        why = f"by the stay's country, {country}"
    else:
        why = f"none of the stay's country, {country}, are here; these are close to the IEC's"
    return RulesInForce(rules, f"Rules: {rules.title} ({why}; or set wiring.rules).")


@functools.cache
def _table(name: RulesName) -> dict[str, Any]:
    return read_toml(Path(__file__).with_name("rule_sets") / f"{name}.toml")


@functools.cache
def _european() -> frozenset[str]:
    """Countries with any clock in Europe, their islands elsewhere with them."""
    named = _table("eu-caravan")["countries"]
    found = (country for zone, country in _countries().items() if zone.startswith("Europe/"))
    return frozenset((*found, *named))


@functools.cache
def _countries() -> dict[str, str]:
    text = (importlib.resources.files("tzdata") / "zoneinfo" / _ZONES).read_text("utf-8")
    rows = (line.split("\t") for line in text.splitlines() if line and not line.startswith("#"))
    return {row[2]: row[0] for row in rows}
