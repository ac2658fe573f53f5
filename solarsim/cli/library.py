"""Commands that look things up."""

from __future__ import annotations

from typing import Annotated

import typer

from solarsim.cli.options import JsonOption
from solarsim.cli.output import check_json, console, emit, tell
from solarsim.errors import InputError

__all__ = ["keys", "parts"]

WordArgument = Annotated[
    str | None, typer.Argument(metavar="[WORD]", help="A table, a key, or a word of its meaning.")
]
MarkdownOption = Annotated[bool, typer.Option("--markdown", help="Print the whole reference.")]


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


def keys(
    word: WordArgument = None, markdown: MarkdownOption = False, json: JsonOption = None
) -> None:
    """Every key of a van and the other files: unit, default, limits, meaning.

    The other files are load profiles, trips, prices and the answers of an interview.
    """
    check_json(json)
    from solarsim.inputs.find_keys import find_keys
    from solarsim.inputs.keys import key_tables
    from solarsim.present.keys.markdown import reference_markdown
    from solarsim.present.keys.text import keys_document, print_key_overview, print_keys

    if markdown and (word is not None or json is not None):
        raise InputError("prints the whole reference; leave the rest out", field="--markdown")
    if markdown:
        print(reference_markdown(), end="")
    elif word is None and json is None:
        print_key_overview(console())
    else:
        found = key_tables() if word is None else find_keys(word)
        tell(found, json, print_keys, keys_document)
