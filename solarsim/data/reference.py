"""``python -m solarsim.data.reference``: write the reference of all keys anew."""

from __future__ import annotations

from pathlib import Path

from solarsim.present.keys.markdown import reference_markdown

__all__ = ["REFERENCE", "main"]

REFERENCE = Path(__file__).resolve().parents[2] / "profiles" / "REFERENCE.md"


def main() -> None:
    """Write the reference beside the profiles."""
    REFERENCE.write_text(reference_markdown(), encoding="utf-8")
    print(f"{REFERENCE.name} written")


if __name__ == "__main__":
    main()
