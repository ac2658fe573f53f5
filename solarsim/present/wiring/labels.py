"""What stands beside a run and in a box of the plan."""

from __future__ import annotations

from typing import NamedTuple

from solarsim.electrical.circuit.topology import Node, Protection, Run
from solarsim.electrical.wire import awg_sizes, parse_wire
from solarsim.inputs.percent import percent
from solarsim.present.wiring.measure import wrapped

__all__ = ["LINE", "SIZE", "SMALL", "Words", "node_words", "other_size", "protection_text",
           "run_text", "run_words", "size_text"]  # fmt: skip

SIZE, SMALL = 13.0, 11.5
LINE = 15.5


class Words(NamedTuple):
    """One line of text: bold, small, or in the colour of a warning."""

    text: str
    size: float = SIZE
    bold: bool = False
    red: bool = False


def size_text(run: Run) -> str:
    """A run's conductor as it is bought, one for each string; a star marks the van's own."""
    own = " *" if run.given else ""
    times = f"{run.count} × " if run.count > 1 else ""
    return f"{times}{run.wire.replace('mm2', 'mm²')}{own}"


def other_size(run: Run) -> str:
    """The same conductor in the other kind of size; empty where none fits.

    One that is chosen has its like in the other kind, the smallest that the rules allow; the van's
    own is told as it is: its area, or the gauge that it is at least as thick as.
    """
    if run.wire == "none fits":
        return ""
    metric = "mm2" in run.wire
    if not run.given:
        other = run.awg if metric else run.metric
        return f"or {other.replace('mm2', 'mm²')}" if other else ""
    wire = parse_wire(run.wire)
    times = f"{wire.count} × " if wire.count > 1 else ""
    if not metric:
        return f"{times}{wire.single_mm2:.3g} mm²"
    thinner = [one.name for one in awg_sizes() if one.area_mm2 <= wire.single_mm2 * 1.001]
    return f"over {times}{thinner[-1]}" if thinner else ""


def protection_text(protection: Protection) -> str:
    """The fuse or breaker of a run in one line."""
    parts = [f"{protection.kind} {protection.rating_a:g} A{' *' if protection.given else ''}"]
    if protection.fuse_class:
        parts.append(_short_class(protection.fuse_class))
    return ", ".join(parts)


def run_text(run: Run) -> str:
    """A run in one line: size in both kinds, length, fuse."""
    other = other_size(run)
    parts = [
        f"{size_text(run)} {other}".strip(),
        f"{run.length_m:.2g} m{_pole(run)}",
        *([protection_text(run.protection)] if run.protection else []),
    ]
    return " · ".join(parts)


def run_words(run: Run, most: float, *, with_fuse: bool, red: bool) -> list[Words]:
    """The lines beside a run, at most `most` wide."""
    other = other_size(run)
    texts = [Words(f"{size_text(run)}", bold=True, red=red)]
    texts.append(Words(other, red=red) if other else Words("", red=red))
    texts.append(Words(f"{run.length_m:.2g} m{_pole(run)}"))
    if run.side == "mains" and run.ampacity_a is not None and run.drop_end_share is not None:
        texts.append(Words(f"carries {run.ampacity_a:.0f} A", red=red))
        texts.append(Words(f"drop {percent(run.drop_end_share, 1)}", red=red))
    if with_fuse and run.protection is not None:
        fuse, _, kind = protection_text(run.protection).partition(", ")
        texts += [Words(one, red=red) for one in (fuse, kind) if one]
    elif red and "+" in run.poles and run.unprotected_why.startswith("no "):
        texts.append(Words("no fuse", red=red))
    return [
        one._replace(text=line)
        for one in texts
        for line in wrapped(one.text, most, one.size, bold=one.bold)
    ]


def node_words(node: Node, most: float, *more: str) -> list[Words]:
    """The lines in a node's box: what it is, what it must bear, and more in small letters."""
    count = f"{node.count} × " if node.count > 1 and node.kind != "array" else ""
    planned = " (planned)" if node.planned else ""
    texts = [Words(f"{count}{node.name}{planned}", bold=True)]
    texts += [Words(one, size=SMALL) for one in (node.rating, *more) if one]
    return [
        one._replace(text=line)
        for one in texts
        for line in wrapped(one.text, most, one.size, bold=one.bold)
    ]


def _pole(run: Run) -> str:
    """What a single conductor is, where it is no pair."""
    single = {"+": " +", "-": " −"}
    return single.get(run.poles[0], "") if len(run.poles) == 1 else ""


def _short_class(words: str) -> str:
    """The class of a fuse, where room is short."""
    return words.partition(" (")[0]
