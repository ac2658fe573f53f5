"""Voltages, currents, cables and fuses against published rules, the worst first."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import streamlit as st

from solarsim.app.answering import electrical_answer
from solarsim.app.draft import Draft
from solarsim.app.pictures import show_table, table_html
from solarsim.app.plain import plain
from solarsim.app.translate import tr, tr_line
from solarsim.app.units.chosen import shown, told, units
from solarsim.app.units.wires import wire_at_least
from solarsim.app.views.plan import show_plan
from solarsim.app.views.save import file_name
from solarsim.app.widgets.fields_in_views import RATINGS, RULES, RUNS
from solarsim.app.widgets.view_inputs import view_fields
from solarsim.app.worded import worded
from solarsim.electrical.cables import Cable
from solarsim.electrical.check import Check
from solarsim.electrical.circuit.topology import Run
from solarsim.electrical.findings import Finding
from solarsim.present.check.documents import RULES_CAUTION, cables_csv
from solarsim.present.check.text import check_headline, figure, fuse_lines

__all__ = ["show"]

# Told apart by their word and their shape; the box's colour only repeats it.
_BOXES = {
    "stop": (st.error, "⬣ STOP"),
    "warn": (st.warning, "▲ WARN"),
    "note": (st.info, "● NOTE"),
}


def show(design: Draft) -> None:
    """Draw the view."""
    check = electrical_answer(design)
    st.caption(tr_line(RULES_CAUTION) or RULES_CAUTION)
    st.markdown(told(check.rules_why))
    st.title(plain(_headline(check)), anchor=False)
    extremes = check.extremes
    span = shown(f"{extremes.low_c:z.0f} to {extremes.high_c:z.0f} °C")
    low, _, high = span.partition(" to ")
    st.markdown(
        plain(
            tr(
                "Air at {place}: {low} to {high} ({source}).",
                place=check.place.name,
                low=low,
                high=high,
                source=worded(extremes.source),
            )
        )
    )
    for string in check.strings:
        st.markdown(plain(tr("In the cold, {line}.", line=worded(string.line))))
    for finding in check.findings:
        _show_finding(finding)
    _cables(check)
    show_plan(check)
    st.header(tr("What the check stands on"), anchor=False)
    aboard = {cable.circuit.key for cable in check.cables}
    view_fields(
        list(RULES)
        + [field for field in RUNS if field.path.split(".")[1] in aboard]
        + [field for field in RATINGS if getattr(design.van, field.path.partition(".")[0])],
        design,
    )
    for lead, lines in (
        (tr("Not looked at:"), check.not_looked_at),
        (tr("Taken as given:"), check.assumed),
    ):
        st.markdown(f"{lead}\n\n" + "".join(f"- {told(line)}\n" for line in lines))
    st.caption(
        tr("Wire sizes, fuses and branches that are settled go into the van's file: [wiring].")
    )


def _headline(check: Check) -> str:
    """The outcome as `check_headline` says it, each severity by itself."""
    said, van = check_headline(check), check.van.van.name
    _, _, counts = said.partition(f"'{van}': ")
    if not check.findings:
        return worded(said)
    found = []
    for one in counts.removesuffix(".").split(", "):
        number, _, severity = one.partition(" ")
        found.append(tr("{number} " + severity, number=number))
    return tr("The van '{van}': {found}.", van=van, found=", ".join(found))


def _show_finding(finding: Finding) -> None:
    box, word = _BOXES[finding.severity]
    value, limit, unit = finding.compared
    compared = tr(
        "Worked out: {value}. Limit: {limit}.",
        value=shown(f"{figure(value)} {unit}"),
        limit=shown(f"{figure(limit)} {unit}"),
    )
    where = f", {plain(worded(finding.where))}" if finding.where else ""
    lines = (
        f"**{tr(word)}**{where}: {told(finding.message)}.",
        plain(compared),
        tr("**Change:** {advice}.", advice=told(finding.advice)),
        tr("Source: {source}.", source=told(finding.source)),
    )
    box("  \n".join(lines))


def _cables(check: Check) -> None:
    st.header(tr("Cables and fuses"), anchor=False)
    cables = check.cables
    columns: dict[str, Sequence[Any]] = {
        tr("run"): [cable.circuit.name for cable in cables],
        "A": [round(cable.circuit.current_a, 1) for cable in cables],
        tr("wire"): [
            tr("none fits") if c.wire is None else f"{c.wire.name}{' *' if c.given else ''}"
            for c in cables
        ],
        tr("fuse A"): ["–" if c.fuse_a is None else f"{c.fuse_a:g}" for c in cables],
    }
    thick = [wire_at_least(cable.wire, units()) for cable in cables]
    if any(thick):
        columns[tr("at least, AWG" if units().feet else "at least, mm²")] = thick
    # A grid would cut the names of the runs on a phone.
    st.html(table_html("Cables and fuses", columns))
    lines = [
        tr(
            "A: largest continuous current. Wire: the smallest that the rules allow, or the van's "
            "own (*)."
        )
    ]
    if any(thick):
        lines.append(tr("At least: the thinnest of your sizes that is no thinner."))
    lines.append(
        tr(
            "Copper, insulation for {temperature} °C where the van's file names none, 90 °C for "
            "panels.",
            temperature=f"{check.rules.rule('insulation_c').value:g}",
        )
    )
    st.caption(" ".join(lines))
    show_table(
        "Lengths, sizes and drops",
        {
            "run": [cable.circuit.name for cable in cables],
            "one way, m": [cable.circuit.length_m for cable in cables],
            "AWG": [tr("none fits") if c.gauge is None else c.gauge.name for c in cables],
            "mm²": [tr("none fits") if c.metric is None else c.metric.name for c in cables],
            "drop, %": [round(100.0 * cable.drop_end_share, 1) for cable in cables],
            "allowed, %": [round(100.0 * cable.drop_limit_share, 1) for cable in cables],
            "air, °C": [round(cable.circuit.ambient_c) for cable in cables],
            "heat leaves, %": [round(100.0 * cable.heat_share) for cable in cables],
            "carries, A": [round(cable.ampacity_a) for cable in cables],
            "heat, W": [round(cable.loss_w, 1) for cable in cables],
        },
    )
    _runs(check.topology.runs)
    with st.expander(tr("Where the fuses go")):
        st.markdown("".join(f"- {plain(line)}\n" for line in _fuse_lines(cables)))
    st.download_button(
        tr("Cables and fuses, as CSV"),
        cables_csv(check),
        file_name=file_name(check.van.van.name, "van", "-cables.csv"),
        mime="text/csv",
        on_click="ignore",
    )


def _fuse_lines(cables: tuple[Cable, ...]) -> list[str]:
    """Where the fuses go, as `fuse_lines` says it, runs and places each by themselves."""
    places = dict.fromkeys(cable.circuit.fuse_place for cable in cables)
    found = []
    for line, place in zip(fuse_lines(cables), places, strict=True):
        names = [c.circuit.name for c in cables if c.circuit.fuse_place == place]
        breaks = line.removeprefix(f"{', '.join(names)}: {place}")
        found.append(
            tr(
                "{runs}: {place}{breaks}",
                runs=", ".join(map(worded, names)),
                place=worded(place),
                breaks=worded(breaks) if breaks else "",
            )
        )
    return found


def _runs(runs: tuple[Run, ...]) -> None:
    show_table(
        "The whole circuit, run by run",
        {
            "no.": [run.number for run in runs],
            "run": [f"{run.count} x {run.name}" if run.count > 1 else run.name for run in runs],
            "conductors": [" ".join(run.poles) for run in runs],
            "wire": [run.wire for run in runs],
            "of all conductors, m": [round(run.both_m * run.count, 1) for run in runs],
            "carries, A": [
                "–" if run.ampacity_a is None else f"{run.ampacity_a:.0f}" for run in runs
            ],
            "drop to its end, %": [
                "–" if run.drop_end_share is None else f"{100.0 * run.drop_end_share:.1f}"
                for run in runs
            ],
            "fuse or breaker, A": [
                "–" if run.protection is None else f"{run.protection.rating_a:g}" for run in runs
            ],
            "why none": [run.unprotected_why or "–" for run in runs],
        },
    )
