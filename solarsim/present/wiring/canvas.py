"""One panel of the plan as lines, boxes, signs and words with their places, and nothing else."""

from __future__ import annotations

from typing import Any

from solarsim.present.wiring.labels import LINE, Words
from solarsim.present.wiring.measure import text_width

__all__ = ["DARK", "GREEN", "INK", "PLAIN", "PLUS", "QUIET", "Canvas"]

INK, QUIET, PLAIN = "#1D2B2A", "#5B6866", "#FFFFFF"
PLUS, DARK, GREEN = "#B3261E", "#1D2B2A", "#1F6E63"
_PALE = "#EEF4F2"
_BADGE = 10.5


class Canvas:
    """What a panel is drawn of; y grows downwards."""

    def __init__(self) -> None:
        # In the order in which they lie on each other.
        self.marks: list[dict[str, Any]] = []

    def line(
        self, x0: float, y0: float, x1: float, y1: float, *, colour: str = INK, thick: float = 1.6
    ) -> None:
        """Add a straight line."""
        self.marks.append(
            {"kind": "line", "x0": x0, "y0": y0, "x1": x1, "y1": y1, "colour": colour,
             "thick": thick}
        )  # fmt: skip

    def box(
        self, x: float, y: float, w: float, h: float, *, fill: str = _PALE, edge: str = INK,
        dashed: bool = False,
    ) -> None:  # fmt: skip
        """Add a rectangle by its upper left corner."""
        self.marks.append(
            {"kind": "box", "x": x, "y": y, "w": w, "h": h, "fill": fill, "edge": edge,
             "dashed": dashed}
        )  # fmt: skip

    def write(
        self, words: Words, x: float, y: float, *, colour: str = "", middle: bool = False
    ) -> None:
        """Add a line of text by the left end, or the middle, of its baseline."""
        wide = text_width(words.text, words.size, bold=words.bold)
        self.marks.append(
            {"kind": "text", "text": words.text, "x": x - wide / 2.0 if middle else x, "y": y,
             "w": wide, "size": words.size, "bold": words.bold,
             "colour": colour or (PLUS if words.red else INK)}
        )  # fmt: skip

    def column(self, words: list[Words], x: float, top: float) -> None:
        """Write lines of text below each other, the first below `top`."""
        for index, one in enumerate(words):
            self.write(one, x, top + LINE * index + 0.8 * LINE)

    def badge(self, number: int, x: float, y: float, *, red: bool = False) -> None:
        """Mark a run with its number."""
        fill = PLUS if red else PLAIN
        self.marks.append(
            {"kind": "disc", "x": x, "y": y, "r": _BADGE, "fill": fill,
             "edge": PLUS if red else INK}
        )  # fmt: skip
        text = Words(str(number), size=11.0 if number < 100 else 9.5, bold=True)
        self.write(text, x, y + 4.0, colour=PLAIN if red else INK, middle=True)

    def fuse(self, x: float, y: float, *, upright: bool = True) -> None:
        """Add a fuse on a line through its middle: IEC 60617 (from memory), a box on the line."""
        w, h = (11.0, 24.0) if upright else (24.0, 11.0)
        self.box(x - w / 2.0, y - h / 2.0, w, h, fill=PLAIN)
        if upright:
            self.line(x, y - h / 2.0, x, y + h / 2.0, thick=1.2)
        else:
            self.line(x - w / 2.0, y, x + w / 2.0, y, thick=1.2)

    def breaker(self, x: float, y: float) -> None:
        """Add a breaker: IEC 60617 (from memory), an open contact with a cross."""
        self.switch(x, y, cross=True)

    def switch(self, x: float, y: float, *, cross: bool = False) -> None:
        """Add an open switch on an upright line: IEC 60617 (from memory)."""
        half = 12.0
        self.box(x - 7.0, y - half, 14.0, 2.0 * half, fill=PLAIN, edge=PLAIN)
        self.line(x, y + half, x - 9.0, y - half + 3.0)
        if cross:
            for lean in (-4.0, 4.0):
                self.line(x - lean, y - half - 4.0, x + lean, y - half + 4.0)

    def shunt(self, x: float, y: float) -> None:
        """Add a shunt: a resistor with its two sense leads (IEC 60617, from memory)."""
        self.box(x - 6.5, y - 15.0, 13.0, 30.0, fill=PLAIN)
        for side in (-9.0, 9.0):
            self.line(x - 13.0, y + side, x - 6.5, y + side, thick=1.2)

    def earth(self, x: float, y: float) -> None:
        """Add the sign of the frame or chassis below a line that ends at y (IEC 60617)."""
        self.line(x - 14.0, y, x + 14.0, y, thick=2.0)
        for step in (-12.0, 0.0, 12.0):
            self.line(x + step, y, x + step - 6.0, y + 9.0, thick=1.4)

    def bar(self, x: float, y: float, w: float, words: Words, *, fill: str) -> float:
        """Add a bus bar with its name in it, and return its lower edge."""
        high = 22.0
        w = max(w, text_width(words.text, words.size, bold=words.bold) + 16.0)
        self.box(x, y, w, high, fill=fill, edge=fill)
        self.write(words, x + 8.0, y + 15.5, colour=PLAIN)
        return y + high

    def panel(self, title: str) -> dict[str, Any]:
        """Return all of it moved to the corner, with its size."""
        margin = 4.0
        spans = [_span(mark) for mark in self.marks]
        left = min(span[0] for span in spans) - margin
        top = min(span[1] for span in spans) - margin
        moved = [
            {
                name: round(value - (left if name[0] == "x" else top), 2)
                if name in {"x", "y", "x0", "x1", "y0", "y1"}
                else value
                for name, value in mark.items()
            }
            for mark in self.marks
        ]
        return {
            "title": title,
            "w": max(span[2] for span in spans) + margin - left,
            "h": max(span[3] for span in spans) + margin - top,
            "marks": moved,
        }


def _span(mark: dict[str, Any]) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of a mark."""
    if mark["kind"] == "line":
        xs, ys = (mark["x0"], mark["x1"]), (mark["y0"], mark["y1"])
        return min(xs), min(ys), max(xs), max(ys)
    x, y = mark["x"], mark["y"]
    if mark["kind"] == "disc":
        return x - mark["r"], y - mark["r"], x + mark["r"], y + mark["r"]
    if mark["kind"] == "text":
        return x, y - 0.75 * mark["size"], x + mark["w"], y + 0.25 * mark["size"]
    return x, y, x + mark["w"], y + mark["h"]
