"""The wiring plan on a terminal: cautions, what is stopped, every run, what is measured."""

from __future__ import annotations

from rich.console import Console
from rich.table import Table
from rich.text import Text

from solarsim.answers.wiring.step import STAGES
from solarsim.answers.wiring.wiring import WiringAnswer
from solarsim.present.check.text import check_headline, run_table
from solarsim.present.stay.text import plain, print_list
from solarsim.present.wiring.document import PLAN_CAUTIONS

__all__ = ["print_wiring"]


def print_wiring(answer: WiringAnswer, console: Console) -> None:
    """Print what a builder wires by, but for the picture."""
    check, topology = answer.check, answer.check.topology
    console.print(Text(" ".join(PLAN_CAUTIONS), style="italic"))
    console.print()
    for stop in answer.stops:
        console.print(plain(f"STOP, do not build or connect it so: {stop}", "bold red"))
    console.print(plain(check.rules_why))
    console.print(plain(check_headline(check), "bold"))
    console.print()
    console.print(run_table(topology.runs))
    print_list("The main switch cuts", topology.switched_off, console)
    print_list("It leaves on", topology.stays_on, console)
    print_list("Taken as given", check.assumed, console)
    print_list("Not looked at", check.not_looked_at, console)
    console.print()
    for stage, title in STAGES.items():
        steps = [step for step in answer.steps if step.stage == stage]
        if not steps:
            continue
        table = Table(title=title, title_justify="left")
        for name in ("no.", "what", "expected"):
            table.add_column(name, justify="right" if name == "no." else "left")
        for step in steps:
            table.add_row(str(step.number), plain(step.what), plain(step.expected))
        console.print(table)
    console.print("-o plan.svg or .png draws it; .pdf and .html add runs and test sheet to sign.")
