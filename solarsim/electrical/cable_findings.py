"""The van's own cables and fuses against the rules."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Iterator

from solarsim.electrical.ampacity import ENGINE_SPACE_C, INSULATIONS_C, TABLE_AIR_C
from solarsim.electrical.cable_words import sizes_in_words, table_in_words
from solarsim.electrical.cables import (
    Cable,
    borne,
    choose_awg,
    choose_native,
    held,
    with_pairs,
)
from solarsim.electrical.circuit.circuit import Circuit
from solarsim.electrical.findings import Compared, Finding
from solarsim.electrical.fuse_findings import fuse_findings, string_fuse_findings
from solarsim.electrical.rule_set import rule_set
from solarsim.electrical.rules import rule
from solarsim.electrical.wire import Wire, awg, awg_sizes
from solarsim.inputs.percent import percent

__all__ = ["cable_findings"]

_PARALLEL = "NEC 310.10(G): 1/0 AWG or larger in parallel (from memory)"
# PV wire and USE-2, 90 C when wet: NEC 690.31, from memory.
_SUNLIT_C = 90
_SMALLEST_IN_PARALLEL_MM2 = awg("1/0").area_mm2
# Runs that others hang on: held to their own loss, what hangs on them to the whole.
_SHARED = ("main", "bank_bus", "bank_string", "panels_string")


def cable_findings(cables: Iterable[Cable]) -> Iterator[Finding]:
    """Check conductor, voltage drop and fuse of every run."""
    for cable in cables:
        yield from _conductor(cable)
        if cable.circuit.fused_at_source:
            yield from fuse_findings(cable)
        elif cable.circuit.key == "panels_string":
            yield from string_fuse_findings(cable)


def _conductor(cable: Cable) -> Iterator[Finding]:
    circuit = cable.circuit
    if cable.wire is None:
        yield _no_conductor(cable)
        return
    if cable.wire.count > 1:
        yield from _in_parallel(cable)
    yield from _current(cable, cable.wire)
    yield from _drop(cable, cable.wire)
    strong = rule_set(circuit.rules).rule("least_area_mm2")
    # A thousandth is rounding of the sizes' areas.
    if cable.wire.single_mm2 < strong.value * 0.999:
        yield Finding(
            "cable-thin",
            "warn",
            circuit.name,
            Compared(cable.wire.single_mm2, strong.value, "mm2"),
            strong.source,
            f"{cable.wire.name} is too thin to be strong enough in a vehicle",
            _larger(cable),
        )


def _drop(cable: Cable, wire: Wire) -> Iterator[Finding]:
    """The voltage lost from the source to the run's end, and back."""
    circuit, limit = cable.circuit, cable.drop_limit_share
    lost = cable.drop_share if circuit.key in _SHARED else cable.drop_end_share
    if lost <= limit * (1.0 + 1e-9):
        return
    source = "panels" if circuit.key.startswith("panels") else "bank"
    before = (
        f"; from the {source} on it is {percent(lost, 1)}"
        if lost > cable.drop_share * (1.0 + 1e-9)
        else ""
    )
    least = choose_native(circuit, cable.upstream_share)
    thicker = least is None or wire.area_mm2 < least.area_mm2 * 0.999
    shared = "" if thicker else "; what lies before it takes much of that"
    yield Finding(
        "cable-drop",
        "warn",
        circuit.name,
        Compared(100.0 * lost, 100.0 * limit, "%"),
        _drop_source(cable),
        f"{wire.name} over {circuit.length_m:g} m loses {cable.drop_v:.2f} V, "
        f"{percent(cable.drop_share, 1)} of {circuit.running_v:g} V{before}{shared}",
        _larger(cable) if thicker else f"thicker or shorter cables between the {source} and here",
    )


def _no_conductor(cable: Cable) -> Finding:
    """No size will do, be it for the heat alone or at all."""
    circuit = cable.circuit
    if choose_awg(_in_the_table_s_air(circuit)) is not None:
        return _hot(cable)
    none = f"no conductor up to {awg_sizes()[-1].name}, and no two of them, "
    over = f"{circuit.current_a:.0f} A over {circuit.length_m:g} m{_lying(circuit)}"
    largest_a, fuse_a = _largest_a(cable), circuit.run.fuse_a or cable.fuse_a
    must_a, source = circuit.design_a, table_in_words(circuit, cable.wire)
    advice = "a higher system voltage, or a shorter run"
    if must_a > largest_a:
        because = f"bears the {must_a:.0f} A that {over} ask of it"
        advice = "a higher system voltage"
    elif fuse_a is not None and fuse_a > largest_a:
        # It would bear the current, and the fuse for it would not protect it.
        must_a = fuse_a
        because = f"is protected by the fuse of {fuse_a:g} A that {over} ask for"
        advice = f"a higher system voltage, or a fuse of at most {largest_a:.0f} A (fuse_a)"
    else:
        because = f"carries {over} with little enough voltage drop"
        source += f"; {_drop_source(cable)}"
    return Finding(
        "cable-none",
        "stop",
        circuit.name,
        Compared(must_a, largest_a, "A"),
        source,
        none + because,
        advice,
    )


def _current(cable: Cable, wire: Wire) -> Iterator[Finding]:
    """What the conductor bears against what it must bear."""
    circuit = cable.circuit
    must_a, bears_a = pair = held(circuit, wire)
    if pair.enough:
        return
    if held(_in_the_table_s_air(circuit), wire).enough:
        yield _hot(cable)
        return
    lying = "" if must_a > circuit.corrected_a else _lying(circuit)
    yield Finding(
        "cable-ampacity",
        "stop",
        circuit.name,
        Compared(must_a, bears_a, "A"),
        f"{table_in_words(circuit, cable.wire)}; {_current_source(circuit, must_a)}",
        f"{wire.name} of {circuit.insulation_c} C insulation bears {bears_a:.0f} A{lying}; "
        f"the run must bear {must_a:.0f} A",
        _larger(cable),
    )


def _hot(cable: Cable) -> Finding:
    """What bears the current in the air of the table does not in that of the run."""
    circuit, wire = cable.circuit, cable.wire
    named = f"{circuit.insulation_c} C insulation"
    where = "" if circuit.ambient_source == "the engine space" else f" ({circuit.ambient_source})"
    lying = f"{_lying(circuit)}{where}"
    must_a = circuit.corrected_a
    roof = f"{rule('roof_sun_rise_c').source}; " if circuit.roof_heat else ""
    if wire is None:
        bears_a = _largest_a(cable)
        message = f"no conductor of {named} bears {must_a:.0f} A over {circuit.length_m:g} m{lying}"
    else:
        bears_a = cable.ampacity_a
        message = f"{wire.name} of {named} bears {bears_a:.0f} A{lying}; "
        message += f"the run must bear {must_a:.0f} A there"
    return Finding(
        "cable-hot",
        "stop",
        circuit.name,
        Compared(must_a, bears_a, "A"),
        f"{table_in_words(circuit, wire)}; {rule_set(circuit.rules).ampacity.air_source}; "
        f"{roof}{_current_source(circuit, must_a)}",
        message,
        _cooler(circuit),
    )


def _cooler(circuit: Circuit) -> str:
    """Which sizes do in this air, of the run's insulation and of one that bears more heat."""
    wire, advice = choose_native(circuit), []
    if wire is not None:
        advice.append(f"{sizes_in_words(circuit)} at least")
    for insulation_c in INSULATIONS_C:
        if insulation_c <= circuit.insulation_c or insulation_c < _SUNLIT_C:
            continue
        hardier = dataclasses.replace(circuit, insulation_c=insulation_c)
        thinner = choose_native(hardier)
        if thinner is not None and (wire is None or thinner.area_mm2 < wire.area_mm2):
            advice.append(f"{sizes_in_words(hardier)} of {insulation_c} C insulation")
            break
    branch = circuit.key == "branches"
    field = "its branch's ambient_c" if branch else f"wiring.{circuit.key}.ambient_c"
    advice.append(f"a cooler way for it ({field})")
    return ", or ".join(advice)


def _in_parallel(cable: Cable) -> Iterator[Finding]:
    circuit = cable.circuit
    assert cable.wire is not None
    if cable.wire.single_mm2 < _SMALLEST_IN_PARALLEL_MM2 * 0.999:
        yield Finding(
            "cable-parallel-thin",
            "stop",
            circuit.name,
            Compared(cable.wire.single_mm2, _SMALLEST_IN_PARALLEL_MM2, "mm2"),
            _PARALLEL,
            f"{cable.wire.name}: so thin a conductor may not lie in parallel with another; if one "
            "comes loose, the other burns",
            _larger(cable),
        )
    elif not cable.given:
        largest = awg_sizes()[-1]
        apart = "each beside its own return and away from the other, " if cable.wire.apart else ""
        yield Finding(
            "cable-parallel",
            "warn",
            circuit.name,
            Compared(2.0, 1.0, "conductors"),
            f"{table_in_words(circuit, cable.wire)}; {_drop_source(cable)}; {_PARALLEL}",
            f"no single conductor up to {largest.name} carries {circuit.current_a:.0f} A over "
            f"{circuit.length_m:g} m{_lying(circuit)}; {cable.wire.name} will do",
            "a higher system voltage or a shorter run; else two of the same size, length and lugs, "
            f"{apart}laid out by an electrician",
        )


def _largest_a(cable: Cable) -> float:
    return max(borne(cable.circuit, wire).ampacity_a for wire in with_pairs(awg_sizes()))


def _lying(circuit: Circuit) -> str:
    engine = " in the engine space" if circuit.engine_space else ""
    bundled = circuit.run.bundled
    air = f" in air of {circuit.ambient_c:.0f} C" if _heated(circuit) else ""
    return engine + (f" in a bundle of {bundled}" if bundled > 2 else "") + air


def _heated(circuit: Circuit) -> bool:
    """Whether the air is hotter than the table's, and than the engine space's where it is there."""
    return circuit.ambient_c > (ENGINE_SPACE_C if circuit.engine_space else TABLE_AIR_C)


def _in_the_table_s_air(circuit: Circuit) -> Circuit:
    return dataclasses.replace(circuit, ambient_c=TABLE_AIR_C)


def _current_source(circuit: Circuit, must_a: float) -> str:
    rules = rule_set(circuit.rules)
    if not circuit.key.startswith("panels"):
        return rules.rule("continuous_factor").source
    before = must_a > circuit.corrected_a
    return rules.rule("pv_conductor_factor" if before else "pv_corrected_factor").source


def _larger(cable: Cable) -> str:
    circuit = cable.circuit
    wire = choose_native(circuit, cable.upstream_share)
    if wire is None and _heated(circuit):
        return _cooler(circuit)
    if wire is None:
        return "a shorter run or a higher system voltage: no conductor nor a pair will do"
    return f"{sizes_in_words(circuit, cable.upstream_share)} at least"


def _drop_source(cable: Cable) -> str:
    name = "drop_critical" if cable.circuit.critical else "drop_other"
    return rule_set(cable.circuit.rules).rule(name).source
