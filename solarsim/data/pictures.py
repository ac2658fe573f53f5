"""``python -m solarsim.data.pictures``: draw the README's pictures of an answer and a sheet anew.

A picture's bytes depend on the drawing packages' versions, so none is compared. What a picture says
(every figure and word on it, as it is printed) stands beside it in ``drawn_from.json``, with the
sum of the file that was drawn from it; a test holds both against what is answered now.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import hashlib
import io
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from solarsim.answers.question import ask
from solarsim.answers.sheet.sheet import sheet
from solarsim.answers.stay import stay
from solarsim.present.sheet.document import sheet_document
from solarsim.present.sheet.glyphs import Cleaner
from solarsim.present.sheet.make import sheet_bytes
from solarsim.present.sheet.page import sheet_page
from solarsim.present.sheet.texts import load_texts
from solarsim.present.stay.charts import plot_bytes
from solarsim.present.words import headline, ledger_rows

__all__ = ["DRAWINGS", "DRAWN_FROM", "PICTURES", "Drawing", "main", "sheet_drawing", "stay_drawing"]

PICTURES = Path(__file__).resolve().parents[2] / "profiles" / "pictures"
DRAWN_FROM = PICTURES / "drawn_from.json"

_VAN = "weekender"
_DAY = dt.date(2026, 3, 1)
# The sheet asks for four seasons of three ways of living; this many runs are enough for a picture.
_SHEET_RUNS = 200
_WIDTH_PX, _COLOURS = 760, 48


@dataclasses.dataclass(frozen=True)
class Drawing:
    """What a picture says, and how it is drawn."""

    says: Any
    draw: Callable[[], bytes]


def stay_drawing() -> Drawing:
    """Answer the shipped stay."""
    answer = stay(ask(_VAN))
    rows = [[group, words, f"{watt_hours:.0f}"] for group, words, watt_hours in ledger_rows(answer)]
    return Drawing([headline(answer), *rows], lambda: plot_bytes(answer, ".png"))


def sheet_drawing() -> Drawing:
    """Answer for the shipped van's sheet."""
    document = sheet_document(sheet(ask(_VAN, runs=_SHEET_RUNS)), date=_DAY)
    page = sheet_page(document, load_texts("en"), units="metric", clean=Cleaner(limited=True))
    return Drawing(_rounded(page), lambda: sheet_bytes(document, ".png"))


DRAWINGS = {"stay.png": stay_drawing, "sheet.png": sheet_drawing}


def main() -> None:
    """Draw the pictures beside the profiles, and write down what they say."""
    PICTURES.mkdir(exist_ok=True)
    said = {}
    for name, answered in DRAWINGS.items():
        drawing = answered()
        content = _small(drawing.draw())
        (PICTURES / name).write_bytes(content)
        said[name] = {"says": drawing.says, "sha256": hashlib.sha256(content).hexdigest()}
        print(f"{name}: {len(content) / 1000:.0f} kB")
    text = json.dumps(said, indent=1, ensure_ascii=False, sort_keys=True)
    DRAWN_FROM.write_text(text + "\n", encoding="utf-8")


def _rounded(value: Any) -> Any:
    """Lengths of bars as fine as an eye tells them; all else on a page is text already."""
    if isinstance(value, dict):
        return {key: _rounded(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [_rounded(each) for each in value]
    return round(value, 2) if isinstance(value, float) else value


def _small(content: bytes) -> bytes:
    """A picture in few colours and no wider than a page shows it."""
    from PIL import Image

    picture = Image.open(io.BytesIO(content)).convert("RGB")
    picture.thumbnail((_WIDTH_PX, 2 * _WIDTH_PX), Image.Resampling.LANCZOS)
    out = io.BytesIO()
    picture.quantize(_COLOURS, dither=Image.Dither.NONE).save(out, "PNG", optimize=True)
    return out.getvalue()


if __name__ == "__main__":
    main()
