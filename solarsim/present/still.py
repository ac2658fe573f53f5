"""A drawn figure as a file's bytes."""

from __future__ import annotations

from typing import Any

__all__ = ["still_bytes"]


def still_bytes(figure: Any, kind: str) -> bytes:
    """Return a matplotlib figure as ``"png"`` or ``"svg"``; equal figures give equal bytes."""
    import io
    import warnings

    import matplotlib as mpl

    out = io.BytesIO()
    # Fixed identifiers and no date.
    with mpl.rc_context({"svg.hashsalt": "solarsim"}), warnings.catch_warnings():
        # A name in another script is drawn as boxes; the picture is no worse for it.
        warnings.filterwarnings("ignore", message="Glyph .* missing from font")
        metadata = {"Date": None} if kind == "svg" else None
        figure.savefig(out, format=kind, dpi=130, metadata=metadata, bbox_inches="tight")
    return out.getvalue()
