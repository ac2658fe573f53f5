"""The reference of all keys, as the Markdown that ships with the profiles."""

from __future__ import annotations

import textwrap

from solarsim.inputs.keys import Key, KeyTable, key_tables
from solarsim.present.keys.text import key_facts, part_example

__all__ = ["reference_markdown"]

_HEAD = """\
# Every key of a van, of a load profile, of a trip, of prices and of an interview

Made from the records by `python -m solarsim.data.reference`; `solarsim keys` shows the same, by
table (`solarsim keys battery`), key (`solarsim keys transfer_a`) or word (`solarsim keys snow`).

* A van is one TOML file of the tables below, a load profile another, a trip a third, prices a
  fourth, a client's answers (`solarsim interview`) a fifth. Only what is marked as required must
  be given; an unknown key is refused with the nearest known one.
* Names carry their unit: `_w` watts, `_wh` watt-hours, `_a` amperes, `_v` volts, `_ah`
  ampere-hours, `_c` degrees Celsius, `_m` metres, `_deg` degrees, `_h` hours, `_hour` an hour of
  the local clock. A share (`_share`, `_soc`, `_efficiency`, `_chance`) of 1 is all of it.
* A length may be typed as text with its unit: `"340 cm"`, `"11ft 2in"`, `"62 1/2 in"`.
* `part = "..."` fills in a part's numbers (`solarsim parts` lists them); what a table gives itself
  stands over them.
* `--set TABLE.FIELD=VALUE` changes any key on the command line. One table of a list is reached by
  its name or its number: `--set appliances.kettle.enabled=false`, `--set arrays.0.count=2`.
* A trip may also be a CSV: a row for each stop, under headings that are the keys of `[[stops]]`.
* Prices are yours, in any one currency: `panels.cost` and `battery.cost`, or a file of them for
  `solarsim buy --prices`.

A suitcase that is set up beside the van by day, on a controller of its own:

```toml
[[arrays]]
name = "suitcase"
kind = "ground"
part = "100 W rigid"
count = 2
aim = "morning and afternoon"   # turned at noon; or azimuth_deg, or neither: to the equator
controller = { max_output_a = 15 }
```

The commented vans and profiles beside this file are meant to be copied.

## Where x and y lie on the roof

Looked at from above, the van driving to the right of this page. The origin is the rear left corner
of the flat roof; `x_m` runs forwards, `y_m` to the right-hand side of the van. An obstacle's `x_m`
and `y_m` are those of its own rear left corner.

```text
   left side of the van
   (0, 0) ----------------------------------> x_m, forwards
     |       x_m = 1.0, y_m = 0.85
     |         +--------+
rear |         | length |  width_m      front
     |         +--------+
     v
   y_m, to the right
   right side of the van
```
"""


def reference_markdown() -> str:
    """Return the whole reference."""
    parts = [_HEAD]
    for file, title in (
        ("van", "A van's file"),
        ("profile", "A load profile"),
        ("trip", "A trip"),
        ("prices", "Prices and weights"),
        ("interview", "A client's answers"),
    ):
        parts.append(f"## {title}\n")
        parts += [_table(table) for table in key_tables() if table.file == file]
    return "\n".join(parts).rstrip() + "\n"


def _table(table: KeyTable) -> str:
    headers = [table.header, *(f"[{other}]" for other in table.also)]
    need = " (required)" if table.required else ""
    title = ", ".join(f"`{header}`" for header in headers)
    lines = [f"### {title}{need}\n", f"{table.meaning}\n"]
    if table.keys:
        lines += ["| key | unit, allowed, default | meaning |", "|---|---|---|"]
        lines += [_row(key) for key in table.keys]
        lines.append("")
    if table.like:
        lines.append(f"And every key of `[{table.like}]`.\n")
    elif table.part_kind:
        text = part_example(table.part_kind)
        lines.append(
            textwrap.fill(text, 100, break_on_hyphens=False, break_long_words=False) + "\n"
        )
    return "\n".join(lines)


def _row(key: Key) -> str:
    return f"| `{key.name}` | {key_facts(key)} | {key.meaning} |".replace("\n", " ")
