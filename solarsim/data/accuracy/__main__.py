"""``python -m solarsim.data.accuracy``: write the README's table anew."""

from __future__ import annotations

from pathlib import Path

from solarsim.data.accuracy.table import all_checks, readme_table, replace_table


def main() -> None:
    """Write the table into the README beside the package and say how many checks pass."""
    readme = Path(__file__).resolve().parents[3] / "README.md"
    checks = all_checks()
    text = replace_table(readme.read_text(encoding="utf-8"), readme_table(checks))
    readme.write_text(text, encoding="utf-8")
    passed = sum(abs(check.value - check.expected) <= check.tolerance for check in checks)
    print(f"{passed} of {len(checks)} checks within their tolerance; README.md written")


if __name__ == "__main__":
    main()
