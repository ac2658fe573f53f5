"""Small components of our own: HTML, CSS and JavaScript that lie beside the module that draws them.

They run in the page itself and get their data as JSON, so that no text of a visitor's becomes code.
What comes back is whatever a visitor cares to send: whoever takes it reads it like a file.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import streamlit as st

__all__ = ["own_component"]


def own_component(folder: Path, name: str, *, isolated: bool = True) -> Any:
    """Return what draws the component of ``name.html``, ``name.css`` and ``name.js``.

    One that is not isolated shares the page's styles and names, which a list below a field of the
    page's own needs.
    """
    html, css, js = (
        (folder / f"{name}.{kind}").read_text(encoding="utf-8") for kind in ("html", "css", "js")
    )
    return st.components.v2.component(
        f"solarsim_{name}", html=html, css=css, js=js, isolate_styles=isolated
    )
