"""Commands that look things up."""

from __future__ import annotations

from solarsim.cli.options import (
    JsonOption,
)
from solarsim.cli.output import (
    check_json,
    console,
    emit,
)

__all__ = ["parts"]


def parts(json: JsonOption = None) -> None:
    """List the parts library: panels, batteries and appliances, with their sources."""
    check_json(json)
    from solarsim.inputs.parts import part_tables

    kinds = {kind: part_tables(kind) for kind in ("panels", "batteries", "appliances")}
    if json is None:
        from solarsim.present.stay.text import print_parts

        print_parts(kinds, console())
    else:
        emit({"schema": 1, **kinds}, json)
