"""The fuses of the van's runs against their cables, their currents and the bank."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator

from solarsim.electrical.cable_words import sizes_in_words, table_in_words
from solarsim.electrical.cables import Cable, held
from solarsim.electrical.circuit.circuit import Circuit
from solarsim.electrical.currents import next_up
from solarsim.electrical.findings import Compared, Finding
from solarsim.electrical.rule_set import rule_set
from solarsim.electrical.rules import fuse_sizes_a, read_table, rule

__all__ = ["fuse_findings", "string_fuse_findings"]


def fuse_findings(cable: Cable) -> Iterator[Finding]:
    """Check the fuse at a run's source: rating, place, what it breaks."""
    if cable.fuse_a is None:
        yield _no_fuse(cable)
        return
    yield from _rating(cable, cable.fuse_a)
    yield from _place(cable)
    yield from _interrupting(cable)


def _fuse_size(circuit: Circuit) -> str:
    """The next size up from what the run needs, in words."""
    needed_a = next_up(fuse_sizes_a(), circuit.design_a)
    return f"{needed_a:g} A" if needed_a is not None else f"at least {circuit.design_a:.0f} A"


def _no_fuse(cable: Cable) -> Finding:
    circuit = cable.circuit
    if not circuit.run.fused:
        return Finding(
            "cable-fuse-missing",
            "stop",
            circuit.name,
            Compared(0.0, circuit.design_a, "A"),
            "33 CFR 183.455(b), NEC 240.21 and HD 60364-4-43 (the latter two from memory)",
            "there is no fuse: in a short circuit the cable burns",
            f"a fuse of {_fuse_size(circuit)} {circuit.fuse_place}",
        )
    return Finding(
        "cable-fuse-none",
        "stop",
        circuit.name,
        Compared(circuit.design_a, fuse_sizes_a()[-1], "A"),
        "ratings of NEC 240.6(A) (from memory)",
        f"no fuse is made for {circuit.current_a:.0f} A for hours",
        "a higher system voltage, or several inverters or chargers with a fuse each",
    )


def _rating(cable: Cable, fuse_a: float) -> Iterator[Finding]:
    """The fuse carries the run's current, and melts before the cable does."""
    circuit, most_a = cable.circuit, cable.fuse_most_a
    if cable.wire is None:
        return
    needed_a = next_up(fuse_sizes_a(), circuit.design_a)
    fits = needed_a is not None and needed_a <= most_a * (1.0 + 1e-9)
    if fuse_a < circuit.design_a * (1.0 - 1e-9):
        size = "a fuse of " + _fuse_size(circuit)
        yield Finding(
            "cable-fuse-small",
            "warn",
            circuit.name,
            Compared(fuse_a, circuit.design_a, "A"),
            rule_set(circuit.rules).rule("continuous_factor").source,
            f"a fuse of {fuse_a:g} A is loaded with {circuit.current_a:.0f} A for hours and will "
            "blow in time",
            size if fits else f"{size}, and {_larger_for(cable, needed_a)} for it",
        )
    # A cable that is too thin for its current is told as that.
    thin = not held(circuit, cable.wire).enough
    if fuse_a > most_a * (1.0 + 1e-9) and (not thin or circuit.run.fuse_a is not None):
        larger = _larger_for(cable, fuse_a)
        yield Finding(
            "cable-fuse-large",
            "stop",
            circuit.name,
            Compared(fuse_a, most_a, "A"),
            _fuse_source(cable),
            f"a fuse of {fuse_a:g} A does not protect {cable.wire.name} that bears "
            f"{cable.ampacity_a:.0f} A there; the largest is {most_a:.0f} A",
            f"a fuse of {needed_a:g} A, or {larger}" if fits else larger,
        )


def string_fuse_findings(cable: Cable) -> Iterator[Finding]:
    """Check that the fuse of a string of panels protects the string's own cable."""
    fuse_a, wire = cable.fuse_a, cable.wire
    if wire is None or fuse_a is None or not held(cable.circuit, wire).enough:
        return
    if fuse_a > cable.fuse_most_a * (1.0 + 1e-9):
        yield Finding(
            "cable-fuse-large",
            "stop",
            cable.circuit.name,
            Compared(fuse_a, cable.fuse_most_a, "A"),
            _fuse_source(cable),
            f"a string fuse of {fuse_a:g} A does not protect {wire.name}; the largest there is "
            f"{cable.fuse_most_a:.0f} A",
            f"a cable of {sizes_in_words(cable.circuit, cable.upstream_share)}",
        )


def _larger_for(cable: Cable, fuse_a: float | None) -> str:
    """The cable that a fuse protects, in words."""
    run = cable.circuit.run.model_copy(update={"fuse_a": fuse_a, "fused": True})
    sizes = sizes_in_words(dataclasses.replace(cable.circuit, run=run), cable.upstream_share)
    return f"a cable of {sizes}" if sizes else "a higher system voltage: no cable is thick enough"


def _fuse_source(cable: Cable) -> str:
    rules = rule_set(cable.circuit.rules)
    ratio = rules.rule("fuse_most_ratio")
    thin = cable.fuse_most_a < ratio.value * cable.ampacity_a
    return (
        rules.thin_fuses_source
        if thin
        else f"{ratio.source}; {table_in_words(cable.circuit, cable.wire)}"
    )


def _interrupting(cable: Cable) -> Iterator[Finding]:
    """The fuse breaks the bank's short-circuit current, at its voltage."""
    circuit, run = cable.circuit, cable.circuit.run
    known = next(
        (row for row in read_table("fuse_classes") if row["class"] == run.fuse_class), None
    )
    breaks_a, given_a = circuit.interrupts_a, run.fuse_interrupts_a
    rated_v = run.fuse_voltage_v
    by_class = "" if known is None else f" of class {run.fuse_class}"
    if known is not None:
        given_a = float(known["interrupts_a"]) if given_a is None else given_a
        rated_v = float(known["voltage_v"]) if rated_v is None else rated_v
    if breaks_a is not None and given_a is not None and given_a < breaks_a:
        yield Finding(
            "cable-fuse-interrupting",
            "stop",
            circuit.name,
            Compared(given_a, breaks_a, "A"),
            rule("interrupting_bank_ah").source
            + ("; smaller lead-acid banks by ABYC E-11's table, from memory"),
            f"the fuse{by_class} breaks {given_a:,.0f} A; the bank drives {breaks_a:,.0f} A or "
            "more into a short circuit and would arc across it",
            f"a fuse that interrupts {breaks_a:,.0f} A at the bank's voltage"
            + (", such as class T" if run.fuse_class != "T" else ""),
        )
    least_v = rule("charging_voltage_ratio").value * circuit.running_v
    if rated_v is not None and rated_v < least_v:
        yield Finding(
            "cable-fuse-voltage",
            "stop",
            circuit.name,
            Compared(rated_v, least_v, "V"),
            "the fuse's rating; IEC 60269 and UL 248: never above its DC voltage",
            f"the fuse{by_class} is made for {rated_v:g} V; the bank charges to {least_v:.1f} V, "
            "at which it may go on arcing",
            f"a fuse for at least {least_v:.0f} V DC",
        )


def _place(cable: Cable) -> Iterator[Finding]:
    run = cable.circuit.run
    rules = rule_set(cable.circuit.rules)
    limit = rules.rule("fuse_place_sheathed_m" if run.sheathed else "fuse_place_m")
    far_m = run.fuse_from_source_m
    if far_m is not None and far_m > limit.value:
        yield Finding(
            "cable-fuse-place",
            "stop",
            cable.circuit.name,
            Compared(far_m, limit.value, "m"),
            limit.source,
            f"{far_m:g} m of cable before the fuse are not protected",
            f"move the fuse: {cable.circuit.fuse_place}",
        )
