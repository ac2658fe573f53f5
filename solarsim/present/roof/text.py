"""The answer of `roof` on a terminal."""

from __future__ import annotations

from rich.console import Console
from rich.table import Table
from rich.text import Text

from solarsim.answers.roof import RoofAnswer, RoofCost
from solarsim.inputs.lengths import feet_text
from solarsim.inputs.percent import percent
from solarsim.packing.layout import Layout
from solarsim.present.stay.text import plain, print_list
from solarsim.present.words import CAUTIONS, month_name

__all__ = ["print_roof", "roof_headline"]


def roof_headline(answer: RoofAnswer) -> str:
    """Return the answer in one sentence."""
    layout = answer.layout
    if not layout.panels:
        names = " or ".join(size.part for size in answer.sizes)
        return f"No {names} fits on the roof of '{answer.van.van.name}'."
    counts: dict[str, int] = {}
    for panel in layout.panels:
        counts[panel.part] = counts.get(panel.part, 0) + 1
    what = " and ".join(f"{count} x {part}" for part, count in counts.items())
    proof = "the most possible" if layout.proved else f"at most {layout.bound_w:,.0f} W could be"
    return f"The roof of '{answer.van.van.name}' holds {what}: {layout.power_w:,.0f} W ({proof})."


def print_roof(answer: RoofAnswer, console: Console) -> None:
    """Print what fits and where, why no more does, and what each thing on the roof costs."""
    console.print(plain(roof_headline(answer), "bold"))
    roof = answer.roof
    own = answer.own_layout
    about = (
        f"Roof {roof.length_m:.2f} x {roof.width_m:.2f} m, {roof.margin_m:g} m free along the "
        f"edge, {roof.gap_m:g} m between panels; panels cover {answer.panels_m2:.1f} of "
        f"{answer.free_m2:.1f} m2 beside obstacles."
    )
    if answer.by_count:
        about += f" {_own_fit(answer)}"
    console.print(plain(about))
    console.print()
    if answer.layout.panels:
        console.print(_places("Where they lie, from the roof's rear left", answer.layout))
    if own is not None and len(own.panels) < len(answer.layout.panels):
        console.print(_places(f"The van's own {answer.own_count}", own))
    print_list("Why no more", answer.reasons, console)
    if answer.costs:
        table = Table(title="What more fits without each obstacle", title_justify="left")
        table.add_column("taken away")
        table.add_column("panels", justify="right")
        table.add_column("W", justify="right")
        table.add_column("shade, Wh a day", justify="right")
        for cost in answer.costs:
            table.add_row(
                plain(cost.name),
                f"{cost.panels_gained:+d}",
                f"{cost.gained_w:+,.0f}",
                "" if cost.shade_wh_per_day is None else f"{cost.shade_wh_per_day:z,.0f}",
            )
        console.print(table)
    shading = [cost for cost in answer.costs if (cost.shade_wh_per_day or 0.0) >= 0.5]
    lines = tuple(_shade_line(cost) for cost in shading)
    print_list("What the shade of each takes", lines, console)
    if answer.shade_share_by_month is not None:
        months = ", ".join(
            f"{month_name(month)[:3]} {percent(share)}"
            for month, share in enumerate(answer.shade_share_by_month, start=1)
        )
        console.print(f"Lost to shade of what stands on the roof: {months}.")
    table = Table(title="Other panels on this roof", title_justify="left")
    table.add_column("part")
    table.add_column("panels", justify="right")
    table.add_column("W", justify="right")
    for other in answer.others:
        table.add_row(plain(other.part), str(other.count), f"{other.power_w:,.0f}")
    console.print(table)
    print_list("Mind", answer.warnings, console)
    console.print(Text(CAUTIONS, style="italic"))


def _own_fit(answer: RoofAnswer) -> str:
    fits = answer.own_layout is not None
    if answer.own_count == 0:
        return "The van has no panels of its own."
    if answer.own_count == 1:
        return f"The van's own panel {'fits' if fits else 'does not fit'}."
    return f"The van's own {answer.own_count} panels {'fit' if fits else 'do not fit'}."


def _shade_line(cost: RoofCost) -> str:
    by_month = ", ".join(
        f"{month_name(month)[:3]} {wh:z,.0f}"
        for month, wh in enumerate(cost.month_shade_wh_per_day or (), start=1)
    )
    line = f"{cost.name}, Wh a day: {by_month}"
    if cost.move is not None:
        line += (
            f"; moved to {cost.move.x_m:.2f} m forwards, {cost.move.y_m:.2f} m right it spares "
            f"{cost.move.gained_wh_per_day:,.0f} of {cost.shade_wh_per_day or 0.0:,.0f} Wh a day, "
            "mean over the year"
        )
    return line


def _places(title: str, layout: Layout) -> Table:
    table = Table(title=title, title_justify="left")
    table.add_column("panel", justify="right")
    mixed = len({panel.part for panel in layout.panels}) > 1
    if mixed:
        table.add_column("part")
    table.add_column("lies")
    for name in ("forwards m", "ft in", "right m", "ft in"):
        table.add_column(name, justify="right")
    for number, panel in enumerate(layout.panels, start=1):
        table.add_row(
            str(number),
            *((plain(panel.part),) if mixed else ()),
            "lengthwise" if panel.lengthwise else "crosswise",
            f"{panel.x_m:.3f}",
            feet_text(panel.x_m),
            f"{panel.y_m:.3f}",
            feet_text(panel.y_m),
        )
    return table
