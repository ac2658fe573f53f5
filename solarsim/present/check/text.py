"""The electrical check on a terminal: cautions, findings worst first, the table for the bench."""

from __future__ import annotations

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from solarsim.electrical.cables import Cable
from solarsim.electrical.check import Check
from solarsim.electrical.circuit.topology import Run
from solarsim.electrical.findings import SEVERITIES, Finding
from solarsim.inputs.percent import percent
from solarsim.present.check.documents import RULES_CAUTION
from solarsim.present.stay.text import plain, print_list
from solarsim.present.words import CAUTIONS

__all__ = ["check_headline", "figure", "fuse_lines", "heat_lines", "print_check", "run_table"]

_WORDS = {"stop": "STOP", "warn": "WARN", "note": "NOTE"}
_MEANINGS = {"stop": "do not build or connect it so", "warn": "to settle", "note": "worth knowing"}


def check_headline(check: Check) -> str:
    """Return the outcome in one sentence."""
    name = check.van.van.name
    counts = {
        severity: sum(finding.severity == severity for finding in check.findings)
        for severity in SEVERITIES
    }
    if not check.findings:
        return f"The van '{name}' keeps every rule that was looked at."
    found = ", ".join(
        f"{count} {_WORDS[severity]} ({_MEANINGS[severity]})"
        for severity, count in counts.items()
        if count
    )
    return f"The van '{name}': {found}."


def print_check(check: Check, console: Console) -> None:
    """Print the cautions first, then what is wrong, then wires and fuses."""
    console.print(Text(f"{CAUTIONS} {RULES_CAUTION}", style="italic"))
    console.print()
    console.print(plain(check.rules_why))
    console.print(plain(check_headline(check), "bold"))
    console.print(
        plain(
            f"Air at {check.place.name}: {check.extremes.low_c:z.0f} to "
            f"{check.extremes.high_c:z.0f} C ({check.extremes.source})."
        )
    )
    for finding in check.findings:
        _print_finding(finding, console)
    console.print()
    topology = check.topology
    console.print(run_table(topology.runs))
    print_list("Where the fuses go", fuse_lines(check.cables), console)
    print_list("Cables in hot air", heat_lines(check.cables), console)
    print_list("Strings in the cold", tuple(one.line for one in check.strings), console)
    print_list("The main switch cuts", topology.switched_off, console)
    print_list("It leaves on", topology.stays_on, console)
    print_list("Taken as given", check.assumed, console)
    print_list("Not looked at", check.not_looked_at, console)


def fuse_lines(cables: tuple[Cable, ...]) -> tuple[str, ...]:
    """Say where the fuses go, and what those at the bank must break."""
    places = dict.fromkeys(cable.circuit.fuse_place for cable in cables)
    return tuple(
        f"{', '.join(c.circuit.name for c in cables if c.circuit.fuse_place == place)}: "
        f"{place}{_breaking(cables, place)}"
        for place in places
    )


def heat_lines(cables: tuple[Cable, ...]) -> tuple[str, ...]:
    """Say which runs lie in hot air, and what it leaves of their ampacity."""
    return tuple(
        f"{cable.circuit.name}: {cable.circuit.ambient_c:.0f} C leave "
        f"{percent(cable.heat_share)} of the ampacity of {cable.circuit.insulation_c} C "
        "insulation"
        for cable in cables
        if cable.heat_share < 1.0
    )


def figure(value: float) -> str:
    """Return a finding's value or limit in few digits.

    Examples
    --------
    >>> figure(12.3456), figure(12345.6)
    ('12.35', '12,346')
    """
    return f"{value:,.0f}" if abs(value) >= 1000.0 else f"{value:.4g}"


def _print_finding(finding: Finding, console: Console) -> None:
    value, limit, unit = finding.compared
    lead = f"{_WORDS[finding.severity]} {finding.id}, {finding.where}: {finding.message}."
    console.print(plain(lead))
    detail = (
        f"{figure(value)} against {figure(limit)} {unit}; {finding.source}. "
        f"Change: {finding.advice}."
    )
    console.print(Padding(plain(detail), (0, 0, 0, 2)))


def run_table(runs: tuple[Run, ...]) -> Table:
    """Return the table of every run of a circuit."""
    table = Table(title="Every run of the circuit", title_justify="left")
    table.add_column("no.", justify="right")
    table.add_column("run")
    for name in ("A", "m", "wire", "or", "drop", "fuse A"):
        table.add_column(name, justify="right")
    for run in runs:
        other = run.awg if "mm2" in run.wire else run.metric
        table.add_row(
            str(run.number),
            plain(run.name if run.count == 1 else f"{run.count} x {run.name}"),
            "-" if run.current_a == 0.0 else f"{run.current_a:.1f}",
            f"{run.length_m:.2g}",
            f"{run.wire}{' *' if run.given else ''}",
            other or "-",
            "-" if run.drop_end_share is None else percent(run.drop_end_share, 1),
            "-" if run.protection is None else f"{run.protection.rating_a:g}",
        )
    table.caption = (
        "A: largest continuous current; m: one way. Wire: the smallest that the rules allow, or "
        "the van's own (*). Drop: from the source to the run's end and back, of mains at the "
        "breaker's current from inlet or inverter. Copper; "
        "--cables FILE.csv and --json have all figures and sources."
    )
    table.caption_justify = "left"
    return table


def _breaking(cables: tuple[Cable, ...], place: str) -> str:
    breaks = [c.circuit.interrupts_a for c in cables if c.circuit.fuse_place == place]
    most_a = max((amperes for amperes in breaks if amperes is not None), default=None)
    return "" if most_a is None else f"; it must interrupt {most_a:,.0f} A"
