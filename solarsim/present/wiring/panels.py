"""The plan's panels: bank and buses, the DC branches, the mains side; each drawn by itself."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from solarsim.electrical.circuit.topology import Node, Run, Topology
from solarsim.present.wiring.canvas import DARK, GREEN, INK, PLAIN, PLUS, QUIET, Canvas
from solarsim.present.wiring.labels import LINE, SMALL, Words, node_words, run_text, run_words
from solarsim.present.wiring.measure import text_width, wrapped
from solarsim.present.wiring.trees import Tree, fed_by, feeders_of, loads_of

__all__ = ["plan_panels"]

_COLUMN = 152.0
_STEM = 24.0  # from a column's left edge to its line
_ASIDE = 18.0  # from the line to what is written beside it
_GAP = 10.0  # between columns
_PAD = 8.0
_MOST_COLUMNS = 5
_INLINE = {"fuse", "switch", "shunt", "isolator"}
_PLUS_BAR, _MINUS_BAR = "positive bus", "negative bus"


def plan_panels(topology: Topology, *, stopped: Collection[int]) -> list[dict[str, Any]]:
    """Return every panel of a plan, each with its title, size and what it is drawn of.

    Parameters
    ----------
    topology : Topology
        The whole circuit.
    stopped : collection of int
        Numbers of the runs that must not be built so: they are drawn in red.
    """
    known = {node.id for node in topology.nodes}
    panels = []
    if _PLUS_BAR in known:
        feeders = feeders_of(topology, _PLUS_BAR)
        for index, trees in enumerate(_rows(feeders)):
            title = "Bank, chargers and buses" + (", continued" if index else "")
            panels.append(_Panel(topology, stopped).buses(trees, first=index == 0, title=title))
    for start, hanging in loads_of(topology).items():
        panels.append(_Panel(topology, stopped).branches(topology.node(start), hanging))
    if {"outlets", "earth bar"} & known:
        panels.append(_Panel(topology, stopped).mains())
    return panels


def _rows(trees: tuple[Tree, ...]) -> list[list[Tree]]:
    """What hangs on the positive bus in rows that fit on a page; the bank's is the first."""
    # The first row has the negative bus beside it.
    rows: list[list[Tree]] = [[]]
    room = _MOST_COLUMNS - 1
    for tree in sorted(trees, key=lambda tree: tree.node.kind not in {"switch", "fuse", "bank"}):
        if rows[-1] and tree.columns > room:
            rows.append([])
            room = _MOST_COLUMNS
        rows[-1].append(tree)
        room -= tree.columns
    return rows


class _Panel:
    """Draws one panel; the bar lies at y = 0, what feeds it above."""

    def __init__(self, topology: Topology, stopped: Collection[int]) -> None:
        self.topology = topology
        self.stopped = stopped
        self.canvas = Canvas()
        self.boxes: dict[str, tuple[float, float]] = {}  # upper and lower edge of what is drawn
        self.stretched: dict[int, float] = {}  # height that a run has more than it needs, by number
        # First column and number of columns of what is drawn of the mains side; None on others.
        self.spans: dict[str, tuple[int, int]] | None = None

    # --- bank and buses ---

    def buses(self, trees: list[Tree], *, first: bool, title: str) -> dict[str, Any]:
        """Draw the positive bus with what feeds it, and in the first row the bank's own side."""
        canvas, bus = self.canvas, self.topology.node(_PLUS_BAR)
        if first:
            self._raise_bank()
        column = 1 if first else 0
        for tree in trees:
            self._grow(tree, column, 0.0, -1)
            column += tree.columns
        left = _COLUMN if first else 0.0
        below = fed_by(self.topology, _PLUS_BAR) if first else ()
        right = max(column, (1 if first else 0) + len(below)) * _COLUMN - _GAP
        name = f"{bus.name}: {bus.rating}" if first else f"{bus.name}, continued"
        low = canvas.bar(left, 0.0, right - left, Words(name, bold=True), fill=PLUS)
        for index, tree in enumerate(below, start=1):
            self._grow(tree, index, low, +1)
        if first:
            self._negative(low)
        return canvas.panel(title)

    def _raise_bank(self) -> None:
        """Stretch the run at the bank's plus where its negative side needs more height."""
        runs = self.topology.runs
        behind = [r for r in runs if r.key == "main" and r.poles == ("+",)]
        before = [r for r in runs if r.key == "main" and r.poles == ("-",)]
        highs = []
        for chain in (behind, before):
            nodes = (self.topology.node(run.end) for run in chain)
            inline = sum(self._inline_high(node) for node in nodes if node.kind in _INLINE)
            highs.append(inline + sum(self._run_high(run) for run in chain))
        if behind and highs[1] > highs[0]:
            self.stretched[behind[0].number] = highs[1] - highs[0]

    def _negative(self, low: float) -> None:
        """Draw the bank's negative side left of it: shunt, negative bus, its bond."""
        canvas, topology = self.canvas, self.topology
        chain = [r for r in topology.runs if r.poles == ("-",) and r.key == "main"]
        if not chain:
            return
        *_, last = chain
        stem = _STEM
        canvas.bar(0.0, 0.0, _COLUMN - _GAP, Words("negative bus", bold=True), fill=DARK)
        y = self._run(last, stem, 0.0, -1)
        bank_low = self.boxes["bank"][1]
        if len(chain) > 1:
            y = self._inline(topology.node(last.start), stem, y, -1)
            room = y - bank_low
            self._run(chain[0], stem, y, -1, long=max(room, 0.0))
        else:
            canvas.line(stem, y, stem, bank_low)
        returns = [str(r.number) for r in topology.runs if r.return_end == _MINUS_BAR]
        words = [
            Words(line, size=SMALL)
            for line in wrapped(
                f"negative conductors of runs {', '.join(returns)}", _COLUMN - _GAP, SMALL
            )
        ]
        bond = next((r for r in topology.runs if r.start == _MINUS_BAR and r.side == "earth"), None)
        y = low
        if bond is not None:
            y = self._run(bond, stem, low, +1, colour=GREEN)
            canvas.earth(stem, y)
            canvas.write(Words("chassis", bold=True), stem + _ASIDE, y + 8.0)
            y += 18.0
        canvas.column(words, 0.0, y + 4.0)

    # --- branches ---

    def branches(self, node: Node, trees: tuple[Tree, ...]) -> dict[str, Any]:
        """Draw what hangs on a fuse block or a converter as rungs below each other."""
        canvas = self.canvas
        wide = _MOST_COLUMNS * _COLUMN - _GAP
        name = node.name
        if node.kind in {"fuse", "bank"}:
            name = f"{node.name}: before the main switch, stays on"
        y = canvas.bar(0.0, 0.0, wide, Words(name, bold=True), fill=PLUS) + 4.0
        box_x, high = 0.56 * wide, 36.0
        for tree in trees:
            run, red = tree.run, tree.run.number in self.stopped
            middle = y + high / 2.0 + 3.0
            canvas.line(_STEM / 2.0, middle, box_x, middle, colour=PLUS if red else INK)
            canvas.badge(run.number, _STEM + 16.0, middle, red=red)
            if run.protection is not None:
                canvas.fuse(_STEM + 52.0, middle, upright=False)
            text = Words(_no_wider(run_text(run), box_x - 116.0), red=red)
            canvas.write(text, 100.0, middle - 6.0)
            amps = f"{run.current_a:.1f} A"
            room = wide - box_x - 2.0 * _PAD - text_width(f"  {amps}", 13.0)
            label = wrapped(tree.node.name, room, 13.0, bold=True)
            canvas.box(box_x, middle - 13.5, wide - box_x, 27.0)
            canvas.write(Words(_cut(label), bold=True), box_x + _PAD, middle + 4.5)
            end = wide - _PAD - text_width(amps, 13.0)
            canvas.write(Words(amps), end, middle + 4.5)
            y += high
        canvas.line(_STEM / 2.0, 22.0, _STEM / 2.0, y - high / 2.0 + 3.0, thick=3.0, colour=PLUS)
        return canvas.panel(f"Branches: {node.name}")

    # --- mains and earth ---

    def mains(self) -> dict[str, Any]:
        """Draw inlet, protection, transfer switch and outlets, and the bonds to the chassis."""
        topology = self.topology
        known = {node.id for node in topology.nodes}
        column = 0
        self.spans = {}
        for root in ("shore inlet", "inverter"):
            if root in known and any(r.start == root and r.side == "mains" for r in topology.runs):
                column += self._down(topology.node(root), column, 0.0)
        bonds = [r for r in topology.runs if r.side == "earth" and r.start == "earth bar"]
        for bond in bonds:
            self._earth(bond, column)
        return self.canvas.panel("Mains side and earth")

    def _down(self, node: Node, column: int, y: float) -> int:
        """Draw a node and what it feeds below it, and return its columns; joins what is drawn."""
        assert self.spans is not None
        runs = [r for r in self.topology.runs if r.start == node.id and r.side == "mains"]
        joined = [run for run in runs if run.end in self.spans]
        fresh = [run for run in runs if run.end not in self.spans]
        wide = max(1, sum(self._columns(run.end) for run in fresh))
        self.spans[node.id] = (column, wide)
        if joined:
            # The inverter stands beside what it feeds: at the height of its box.
            upper = self.boxes[joined[0].end][0]
            words = node_words(node, wide * _COLUMN - _GAP - 2.0 * _PAD, *self._aside(node))
            run_high = self._run_high(joined[0])
            high = self._box_high(words)
            self._box(node, column, wide, upper - run_high - high, +1)
            self._run(joined[0], column * _COLUMN + _STEM, upper, -1)
            return wide
        # The box of what two sources feed reaches below the second, which comes right of it.
        more = sum(r.end == node.id and r.side == "mains" for r in self.topology.runs) - 1
        low = self._box(node, column, wide + max(more, 0), y, +1)
        at = column
        for run in fresh:
            end = self._run(run, at * _COLUMN + _STEM, low, +1)
            at += self._down(self.topology.node(run.end), at, end)
        return wide

    def _columns(self, identity: str) -> int:
        runs = [r for r in self.topology.runs if r.start == identity and r.side == "mains"]
        return max(1, sum(self._columns(run.end) for run in runs))

    def _earth(self, bond: Run, column: int) -> None:
        x = column * _COLUMN
        y = self._box(self.topology.node(bond.start), column, 1, 0.0, +1)
        y = self._run(bond, x + _STEM, y, +1, colour=GREEN)
        self.canvas.earth(x + _STEM, y)
        self.canvas.write(Words("chassis", bold=True), x + _STEM + _ASIDE, y + 8.0)
        lines = wrapped("the PE of every mains run ends here", _COLUMN - _GAP, SMALL)
        if bond.start == "earth bar":
            self.canvas.column([Words(one, size=SMALL) for one in lines], x, y + 22.0)

    # --- pieces ---

    def _grow(self, tree: Tree, column: int, y: float, way: int) -> None:
        """Draw a tree away from its bar: run, node, and what hangs on that."""
        x = column * _COLUMN + _STEM
        y = self._run(tree.run, x, y, way)
        if tree.node.kind in _INLINE:
            y = self._inline(tree.node, x, y, way)
        else:
            y = self._box(tree.node, column, tree.columns, y, way)
        for child in tree.children:
            self._grow(child, column, y, way)
            column += child.columns

    def _run_high(self, run: Run) -> float:
        return max(LINE * len(self._words(run)) + 14.0, 84.0 if _signed(self.topology, run) else 52)

    def _words(self, run: Run) -> list[Words]:
        most = _COLUMN - _STEM - _ASIDE - _GAP
        signed = _signed(self.topology, run)
        return run_words(run, most, with_fuse=signed, red=run.number in self.stopped)

    def _run(
        self, run: Run, x: float, y: float, way: int, *, long: float = 0.0, colour: str = INK
    ) -> float:
        """Draw a run from y on, and return where it ends; `long` where its end is given."""
        canvas, red = self.canvas, run.number in self.stopped
        words = self._words(run)
        high = max(long, self._run_high(run) + self.stretched.get(run.number, 0.0))
        end = y + way * high
        top, low = min(y, end), max(y, end)
        canvas.line(x, y, x, end, colour=PLUS if red else colour, thick=2.0)
        middle = (top + low) / 2.0
        if _signed(self.topology, run) and run.protection is not None:
            # At the source, which is the bus for chargers too; all other runs start above.
            source_above = run.end != _PLUS_BAR
            place = top + 22.0 if source_above else low - 22.0
            (canvas.fuse if run.protection.kind == "fuse" else canvas.breaker)(x, place)
            middle += 15.0 if source_above else -15.0
        canvas.badge(run.number, x, middle, red=red)
        canvas.column(words, x + _ASIDE, (top + low) / 2.0 - LINE * len(words) / 2.0)
        return end

    def _inline(self, node: Node, x: float, y: float, way: int) -> float:
        """Draw what stands in a line with its sign, and return where it ends."""
        canvas = self.canvas
        words, high = self._inline_words(node), self._inline_high(node)
        middle = y + way * high / 2.0
        canvas.line(x, y, x, y + way * high, thick=2.0)
        {"fuse": canvas.fuse, "shunt": canvas.shunt}.get(node.kind, canvas.switch)(x, middle)
        canvas.column(words, x + _ASIDE, middle - LINE * len(words) / 2.0)
        self.boxes[node.id] = (min(y, y + way * high), max(y, y + way * high))
        return y + way * high

    def _inline_words(self, node: Node) -> list[Words]:
        return node_words(node, _COLUMN - _STEM - _ASIDE - _GAP, self._class(node))

    def _inline_high(self, node: Node) -> float:
        return max(LINE * len(self._inline_words(node)) + 8.0, 40.0)

    def _class(self, node: Node) -> str:
        """The class of a fuse that is a node of its own."""
        guards = (r.protection for r in self.topology.runs if r.start == node.id)
        return next((g.fuse_class for g in guards if g is not None and node.kind == "fuse"), "")

    def _aside(self, node: Node) -> tuple[str, ...]:
        """What else to write in a node's box: where it goes on, on another panel."""
        topology = self.topology
        if node.kind == "starter battery":
            source = next(one for one in topology.nodes if one.kind == "alternator")
            return (f"{source.name} {source.rating}".strip() + ": the vehicle's own cable",)
        if node.kind not in {"inverter", "shore charger"}:
            return ()
        runs = [r for r in topology.runs if node.id in {r.start, r.end}]
        here = "mains" if self.spans is not None else "dc"
        others = [f"{r.number}" for r in runs if (r.side == "mains") != (here == "mains")]
        side = "DC" if here == "mains" else "mains"
        return (f"{side}: run {', '.join(others)}",) if others else ()

    @staticmethod
    def _box_high(words: list[Words]) -> float:
        return LINE * len(words) + 10.0

    def _box(self, node: Node, column: int, columns: int, y: float, way: int) -> float:
        """Draw a node's box, and return its far edge."""
        canvas, x, wide = self.canvas, column * _COLUMN, columns * _COLUMN - _GAP
        words = node_words(node, wide - 2.0 * _PAD, *self._aside(node))
        high = self._box_high(words)
        top = y if way > 0 else y - high
        if node.id == "bank":
            # It stands above both buses.
            x, wide = x - _COLUMN, wide + _COLUMN
        canvas.box(x, top, wide, high, fill=PLAIN if node.planned else "#EEF4F2",
                   edge=QUIET if node.planned else INK, dashed=node.planned)  # fmt: skip
        canvas.column(words, x + _PAD, top + 5.0)
        self.boxes[node.id] = (top, top + high)
        return top + high if way > 0 else top


def _signed(topology: Topology, run: Run) -> bool:
    """Whether a run's protection has a sign of its own: a main fuse is a node of the plan."""
    return run.protection is not None and topology.node(run.start).kind != "fuse"


def _no_wider(text: str, most: float) -> str:
    return _cut(wrapped(text, most, 13.0))


def _cut(lines: list[str]) -> str:
    """The first of several lines, marked as cut where there are more."""
    return lines[0] if len(lines) == 1 else f"{lines[0].rstrip()[:-1]}…"
