"""One run of a van's DC side: what it carries, at which voltage, and where its fuse belongs."""

from __future__ import annotations

import dataclasses

from solarsim.electrical.ampacity import ENGINE_SPACE_C, TABLE_AIR_C
from solarsim.electrical.rule_set import RuleSet
from solarsim.electrical.rules import rule
from solarsim.inputs.wiring import CableRun, RulesName

__all__ = [
    "AT_BANK",
    "FUSE_BLOCK",
    "Circuit",
    "circuit_of",
    "run_insulation_c",
    "run_length_m",
]

AT_BANK = "within 7 in (18 cm) of the bank's positive terminal"
FUSE_BLOCK = "at the DC fuse block"


@dataclasses.dataclass(frozen=True)
class Circuit:
    """One run.

    Attributes
    ----------
    rules : str
        Name of the rules that it is held to.
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
    insulation_c : int
        Temperature rating of its insulation, given or the rules' default, degrees C.
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
    upstream_a : tuple of (str, float)
        Runs between it and its source by their key, and the current that they carry then, A.
    count : int
        How many like ones there are, one for each string.
    fuse_place : str
        Where the fuse belongs.
    fused_at_source : bool
        Whether a source stands behind it that can melt it; not so for an array of few strings.
    interrupts_a : float or None
        Short-circuit current that its fuse must break; None where no rule asks.
    string_fuse_a : float or None
        Of an array's run: the fuse in each of its strings; None where none is needed.
    """

    rules: RulesName
    key: str
    name: str
    current_a: float
    design_a: float
    corrected_a: float
    running_a: float
    running_v: float
    run: CableRun
    insulation_c: int
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
    upstream_a: tuple[tuple[str, float], ...] = ()
    count: int = 1


def circuit_of(
    rules: RuleSet,
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
    """Return a run with what its table in the van's file says, or the defaults."""
    in_engine_space = engine_space if run.engine_space is None else run.engine_space
    ambient_c, ambient_source = TABLE_AIR_C, "the table's"
    if run.ambient_c is not None:
        ambient_c, ambient_source = run.ambient_c, "given"
    if in_engine_space and ambient_c <= ENGINE_SPACE_C:
        ambient_c, ambient_source = ENGINE_SPACE_C, "the engine space"
    design_a = rules.rule("continuous_factor").value * current_a
    return Circuit(
        rules=rules.name,
        key=key,
        name=name,
        current_a=current_a,
        design_a=design_a,
        # Stricter than NEC 215.2, which asks for the 125 % before the factors only (from memory);
        # the fuse that carries it must not exceed the ampacity after them anyhow.
        corrected_a=design_a,
        running_a=current_a,
        running_v=voltage_v,
        run=run,
        insulation_c=run_insulation_c(rules, run),
        length_m=run_length_m(key, run),
        engine_space=in_engine_space,
        ambient_c=ambient_c,
        ambient_source=ambient_source,
        critical=critical if run.critical is None else run.critical,
        fuse_place=fuse_place,
        interrupts_a=interrupts_a,
    )


def run_length_m(key: str, run: CableRun) -> float:
    """Length one way, given or the usual one of its key, m."""
    default_m = rule(f"length_{'branch' if key == 'branches' else key}_m").value
    return default_m if run.length_m is None else run.length_m


def run_insulation_c(rules: RuleSet, run: CableRun) -> int:
    """Temperature rating of a run's insulation, given or the rules' default, degrees C."""
    default_c = int(rules.rule("insulation_c").value)
    return default_c if run.insulation_c is None else run.insulation_c
