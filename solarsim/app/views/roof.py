"""The roof from above: what fits around what stands on it, and what each thing costs."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import Any

import streamlit as st

from solarsim.answers.roof import RoofAnswer
from solarsim.app import state
from solarsim.app.answering import roof_answer
from solarsim.app.draft import Draft
from solarsim.app.pictures import page_palette, show_figure, show_table
from solarsim.app.plain import one_line, plain
from solarsim.app.views.save import file_name
from solarsim.app.widgets.fields_in_views import ROOF
from solarsim.app.widgets.obstacle_table import (
    COLUMNS,
    KINDS,
    obstacle_frame,
    with_edits,
    with_obstacle,
    without_obstacle,
)
from solarsim.app.widgets.view_inputs import change, view_fields
from solarsim.errors import InputError
from solarsim.inputs.lengths import feet_text
from solarsim.inputs.roof import ROOF_TEMPLATES, Roof
from solarsim.present.roof.plan import roof_figure, roof_plan_bytes
from solarsim.present.roof.text import roof_headline
from solarsim.present.words import month_name

__all__ = ["show"]

_PROBLEM = "obstacle_problem"


def show(design: Draft) -> None:
    """Draw the view."""
    if design.van.roof is None:
        st.subheader("The van has no roof yet", anchor=False)
        st.markdown("Choose one of about its size; then type what you measured over it.")
        _template()
        return
    answer = roof_answer(design)
    st.subheader(plain(roof_headline(answer)), anchor=False)
    for warning in answer.warnings:
        st.warning(plain(warning[:1].upper() + warning[1:] + "."))
    drawn = _choose(answer)
    show_figure(
        _plan(drawn),
        key="roof_plan",
        alt="The roof from above to scale: numbered panels and what stands between them. The "
        "tables below hold their places.",
    )
    st.markdown("".join(f"- {plain(reason)}\n" for reason in answer.reasons))
    _places(drawn)
    _costs(answer)
    _edit(design, design.van.roof)
    show_table(
        "Other panels on this roof",
        {
            "panel": [other.part for other in answer.others],
            "panels": [other.count for other in answer.others],
            "W": [round(other.power_w) for other in answer.others],
        },
    )


def _choose(answer: RoofAnswer) -> RoofAnswer:
    """Let the count be chosen; return the answer with the layout of that many panels."""
    if not answer.by_count:
        return answer
    counts = list(answer.by_count)
    own = answer.own_count if answer.own_count in counts else counts[-1]
    with st.container(horizontal=True, gap="medium", vertical_alignment="bottom"):
        count = st.selectbox(
            "Panels drawn",
            counts,
            index=counts.index(own),
            key=f"roof_count_{own}_{counts[-1]}",
            width=140,
            help="Every number that fits, in whole strings, each with a layout of its own.",
        )
        if count == answer.own_count:
            st.markdown(f"The design has {count}.")
        else:
            st.button(f"Take {count} panels", key="roof_take", on_click=_take_count, args=(count,))
    return dataclasses.replace(answer, layout=answer.by_count[count])


def _take_count(count: int) -> None:
    _adopt({"panels.count": count}, f"The design has {count} panels now.")


def _adopt(changes: dict[str, Any], said: str) -> None:
    """Change the design and fill all inputs anew, or say what is wrong."""
    problem = change(changes)
    if problem is None:
        state.adopt(state.design())
    state.say(problem or said, refused=problem is not None)


def _plan(answer: RoofAnswer) -> Any:
    figure = roof_figure(answer, page_palette())
    figure.update_traces(textfont_size=12)
    figure.update_layout(height=300, margin={"l": 40, "r": 0, "t": 0, "b": 60})
    return figure


def _places(answer: RoofAnswer) -> None:
    panels = answer.layout.panels
    show_table(
        "Where the panels lie, from the roof's rear left",
        {
            "panel": list(range(1, len(panels) + 1)),
            "forwards, m": [round(panel.x_m, 3) for panel in panels],
            "right, m": [round(panel.y_m, 3) for panel in panels],
            "forwards": [feet_text(panel.x_m) for panel in panels],
            "right": [feet_text(panel.y_m) for panel in panels],
            "lies": ["lengthwise" if panel.lengthwise else "crosswise" for panel in panels],
        },
    )
    st.download_button(
        "The plan, as SVG",
        lambda: roof_plan_bytes(answer, ".svg"),
        file_name=file_name(answer.van.van.name, "van", "-roof.svg"),
        mime="image/svg+xml",
        on_click="ignore",
    )


def _costs(answer: RoofAnswer) -> None:
    st.subheader("What each thing up there costs", anchor=False)
    if not answer.costs:
        st.markdown("Nothing stands on the roof.")
        return
    shades = [cost.shade_wh_per_day for cost in answer.costs]
    st.dataframe(
        {
            "without": [one_line(cost.name) for cost in answer.costs],
            "panels": [f"{cost.panels_gained:+d}" for cost in answer.costs],
            "W": [f"{cost.gained_w:+,.0f}" for cost in answer.costs],
            "shade": [None if wh is None else round(wh) for wh in shades],
        },
        hide_index=True,
        column_config={
            "without": st.column_config.TextColumn(width=130),
            "panels": st.column_config.TextColumn(width=62),
            "W": st.column_config.TextColumn(width=62),
            "shade": st.column_config.NumberColumn(width=78),
        },
    )
    st.caption(
        "What would fit more if it were taken away; shade: Wh a day that its shadow takes, mean "
        "over the year."
    )
    moves = [(cost, cost.move) for cost in answer.costs if cost.move is not None]
    if moves:
        lines = (
            f"The {plain(cost.name)} costs less at x {move.x_m:.2f}, y {move.y_m:.2f} m: "
            f"{move.gained_wh_per_day:,.0f} Wh a day more, mean over the year, the panels staying."
            for cost, move in moves
        )
        st.markdown("".join(f"- {line}\n" for line in lines))
    shares = answer.shade_share_by_month
    if shares is None:
        return
    columns: dict[str, Sequence[Any]] = {
        "month": [month_name(month) for month in range(1, 13)],
        "lost, %": [round(100.0 * share, 1) for share in shares],
    }
    for number, cost in enumerate(answer.costs, start=1):
        if cost.month_shade_wh_per_day is not None:
            name = f"{number}: {one_line(cost.name)}, Wh a day"
            columns[name] = [round(wh) for wh in cost.month_shade_wh_per_day]
    show_table("Lost to shade of what stands on the roof, by month", columns)


def _edit(design: Draft, roof: Roof) -> None:
    st.subheader("The roof and what stands on it", anchor=False)
    _template()
    if roof.outline:
        st.caption("The outline of the van's file sets length and width.")
    view_fields([field for field in ROOF if not (roof.outline and "th_m" in field.path)], design)
    key = f"obstacles_{state.version()}"
    if key not in st.session_state:
        # While the table lives it shows its own edits over the rows that it began with.
        st.session_state.obstacles_of = roof
    problem = st.session_state.pop(_PROBLEM, None)
    number = st.column_config.NumberColumn
    st.data_editor(
        obstacle_frame(st.session_state.obstacles_of),
        key=key,
        hide_index=True,
        on_change=_take_cells,
        args=(key,),
        column_order=COLUMNS,
        alt="What stands on the roof: name, place, length, width and height in metres",
        column_config={
            "what": st.column_config.TextColumn("what", width=98, max_chars=100),
            "x": number("x", width=50, min_value=0.0, format="%.2f", help="From the rear, m."),
            "y": number("y", width=50, min_value=0.0, format="%.2f", help="From the left side, m."),
            "l": number("l", width=50, min_value=0.0, format="%.2f", help="Length, along the van."),
            "w": number("w", width=50, min_value=0.0, format="%.2f", help="Width, across the van."),
            "h": number("h", width=50, min_value=0.0, format="%.2f", help="Above the panels."),
        },
    )
    if problem is not None:
        st.error(plain(problem))
        st.caption("The answer is still the one for the last values that fit.")
    st.caption(
        "Metres: x forwards from the roof's rear and y to the right from its left side, to the "
        "near corner; l along the van, w across it, h above the panels."
    )
    with st.container(horizontal=True, vertical_alignment="bottom"):
        kind = st.selectbox("Put on the roof", list(KINDS), key="obstacle_kind", width=200)
        st.button("Put it there", on_click=_add, args=(kind,), key="obstacle_add")
    if roof.obstacles:
        with st.container(horizontal=True, vertical_alignment="bottom"):
            position = st.selectbox(
                "Take off the roof",
                range(len(roof.obstacles)),
                format_func=lambda at: one_line(roof.obstacles[at].name),
                key=f"obstacle_off_{len(roof.obstacles)}",
                width=200,
            )
            st.button("Take it off", on_click=_remove, args=(position,), key="obstacle_remove")


def _template() -> None:
    st.selectbox(
        "Begin with the roof of a",
        list(ROOF_TEMPLATES),
        index=None,
        key=f"{state.INPUT}roof_template",
        on_change=_take_template,
        placeholder="choose a class",
        format_func=lambda name: f"{name}, {ROOF_TEMPLATES[name][0]} x {ROOF_TEMPLATES[name][1]} m",
        help="Round figures of the class, common practice, no source: measure yours.",
    )


def _take_template() -> None:
    name = st.session_state[f"{state.INPUT}roof_template"]
    if name is None:
        return
    length_m, width_m = ROOF_TEMPLATES[name]
    changes = {"roof.template": None, "roof.outline": None}
    sizes = {"roof.length_m": length_m, "roof.width_m": width_m}
    _adopt(changes | sizes, f"The roof is that of a {name} now: measure yours.")


def _take_cells(key: str) -> None:
    """Take the edits over where they fit; the table keeps showing them where they do not."""
    edits = st.session_state[key]["edited_rows"]
    try:
        rows = with_edits(st.session_state.obstacles_of, edits)
    except InputError as error:
        st.session_state[_PROBLEM] = str(error)
        return
    problem = change({"roof.obstacles": rows})
    if problem is not None:
        st.session_state[_PROBLEM] = problem


def _add(kind: str) -> None:
    roof = state.design().van.roof
    assert roof is not None
    _adopt({"roof.obstacles": with_obstacle(roof, kind)}, f"The {kind} stands in the middle.")


def _remove(position: int) -> None:
    roof = state.design().van.roof
    assert roof is not None
    said = f"{roof.obstacles[position].name} is off the roof."
    _adopt({"roof.obstacles": without_obstacle(roof, position)}, said)
