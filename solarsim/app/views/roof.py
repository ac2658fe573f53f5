"""The roof from above: what fits around what stands on it, and what each thing costs."""

from __future__ import annotations

import dataclasses
from typing import Any, cast

import streamlit as st

from solarsim.answers.roof import RoofAnswer
from solarsim.answers.tune.candidates import tuned_design
from solarsim.app import state
from solarsim.app.answering import roof_answer
from solarsim.app.draft import Draft
from solarsim.app.pictures import show_figure, show_table
from solarsim.app.plain import one_line, plain
from solarsim.app.roof_costs import show_costs
from solarsim.app.roof_drawing import drawn_roof
from solarsim.app.roof_plan import KEY, changes_of, show_roof_plan
from solarsim.app.translate import tr, tr_count, tr_line
from solarsim.app.units.chosen import shown, told, units
from solarsim.app.views.save import file_name
from solarsim.app.widgets.cells import Edits, RefusedCell, cells_that_fit, show_refused
from solarsim.app.widgets.fields_in_views import ROOF
from solarsim.app.widgets.obstacle_table import (
    COLUMNS,
    KINDS,
    obstacle_frame,
    with_edits,
    with_obstacle,
    without_obstacle,
)
from solarsim.app.widgets.view_inputs import change, take_typed, view_fields
from solarsim.app.worded import capital, worded
from solarsim.errors import InputError
from solarsim.inputs.roof import ROOF_TEMPLATES, Roof
from solarsim.packing.layout import PlacedPanel
from solarsim.present.roof.plan import roof_plan_bytes
from solarsim.present.roof.text import roof_headline

__all__ = ["show"]

# Another design that is opened forgets them, as it does all inputs.
_ROWS = f"{state.INPUT}obstacle_rows"


@dataclasses.dataclass(frozen=True)
class _Rows:
    """What the table shows while it lives.

    Attributes
    ----------
    began : Roof
        The table's rows; it shows its own edits over these.
    typed : tuple of RefusedCell
        Cells that were refused before the table began, and stand in it as typed.
    held : mapping
        The edits that are taken over.
    refused : tuple of RefusedCell
        What was typed and not taken, now or before the table began.
    """

    began: Roof
    typed: tuple[RefusedCell, ...]
    held: Edits
    refused: tuple[RefusedCell, ...]


def show(design: Draft) -> None:
    """Draw the view."""
    if design.van.roof is None:
        st.title(tr("The van has no roof yet"), anchor=False)
        st.markdown(tr("Choose one of about its size; then type what you measured over it."))
        _template()
        return
    answer = roof_answer(design)
    st.title(plain(worded(roof_headline(answer))), anchor=False)
    for warning in answer.warnings:
        st.warning(plain(f"{capital(warning)}."))
    drawn = _choose(answer)
    show_figure(
        drawn_roof(drawn),
        key="roof_plan",
        alt=tr(
            "The roof from above to scale: numbered panels and what stands between them. The "
            "tables below hold their places."
        ),
    )
    st.markdown("".join(f"- {plain(worded(reason))}\n" for reason in answer.reasons))
    _places(drawn)
    show_costs(answer)
    _edit(design, design.van.roof, answer)
    show_table(
        "Other panels on this roof",
        {
            "panel": [tr_line(other.part) or other.part for other in answer.others],
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
            tr("Panels drawn"),
            counts,
            index=counts.index(own),
            key=f"roof_count_{own}_{counts[-1]}",
            width=140,
            help=tr("Every number that fits, in whole strings, each with a layout of its own."),
        )
        if count == answer.own_count:
            st.markdown(tr("The design has {number}.", number=count))
        else:
            label = tr_count("Take {number} panel", "Take {number} panels", count)
            st.button(label, key="roof_take", on_click=_take_count, args=(count,))
    return dataclasses.replace(answer, layout=answer.by_count[count])


def _take_count(count: int) -> None:
    van = state.design().van
    bank = van.battery
    needed_a = tuned_design(
        van, chemistry=bank.chemistry, units=bank.units, panels=count
    ).controller_max_a
    said = tr_count(
        "The design has {number} panel now.", "The design has {number} panels now.", count
    )
    if needed_a > van.controller.max_output_a:
        current = f"{needed_a:g} A"
        needs = tr("They need a controller of {current}; it comes with them.", current=current)
        said = f"{said} {needs}"
    changes = {"panels.count": count, "controller.max_output_a": needed_a, "roof.panels": None}
    _adopt(changes, said)


def _adopt(changes: dict[str, Any], said: str) -> None:
    """Change the design and fill all inputs anew, or say what is wrong."""
    take_typed()
    problem = change(changes)
    if problem is None:
        state.adopt(state.design())
    state.say(problem or said, refused=problem is not None)


def _places(answer: RoofAnswer) -> None:
    panels = answer.layout.panels
    show_table(
        "Where the panels lie, from the roof's rear left",
        {
            "panel": list(range(1, len(panels) + 1)),
            "forwards, m": [round(panel.x_m, 3) for panel in panels],
            "right, m": [round(panel.y_m, 3) for panel in panels],
            "lies": [tr("lengthwise" if panel.lengthwise else "crosswise") for panel in panels],
        },
    )
    st.download_button(
        tr("The plan, as SVG"),
        lambda: roof_plan_bytes(answer, ".svg"),
        file_name=file_name(answer.van.van.name, "van", "-roof.svg"),
        mime="image/svg+xml",
        on_click="ignore",
    )


def _edit(design: Draft, roof: Roof, answer: RoofAnswer) -> None:
    st.header(tr("The roof and what stands on it"), anchor=False)
    show_roof_plan(design.van, _lying(answer), _move)
    if roof.panels:
        st.button(tr("Let the program lay the panels out"), key="roof_lay_out", on_click=_lay_out)
    _template()
    if roof.outline:
        st.caption(tr("The outline of the van's file sets length and width."))
    view_fields([field for field in ROOF if not (roof.outline and "th_m" in field.path)], design)
    key = f"obstacles_{state.version()}"
    rows = _rows_of(key, roof)
    st.data_editor(
        show_refused(obstacle_frame(rows.began, units()), rows.typed),
        key=key,
        hide_index=True,
        on_change=_take_cells,
        args=(key,),
        column_order=COLUMNS,
        alt=tr("What stands on the roof: name, place, length, width and height"),
        column_config=_config(),
    )
    for cell in rows.refused:
        st.error(told(cell.message))
    if rows.refused:
        st.caption(tr("All other cells count; the answer leaves out what is said above."))
    st.caption(
        tr(
            "{unit}: x forwards from the roof's rear and y to the right from its left side, to "
            "the near corner; l along the van, w across it, h above the panels.",
            unit=tr("Inches" if units().feet else "Metres"),
        )
    )
    with st.container(horizontal=True, vertical_alignment="bottom"):
        st.selectbox(
            tr("Put on the roof"), list(KINDS), key="obstacle_kind", width=200, format_func=tr
        )
        st.button(tr("Put it there"), on_click=_add, args=("obstacle_kind",), key="obstacle_add")
    if roof.obstacles:
        with st.container(horizontal=True, vertical_alignment="bottom"):
            st.selectbox(
                tr("Take off the roof"),
                range(len(roof.obstacles)),
                format_func=lambda at: one_line(roof.obstacles[at].name),
                key=(key := f"obstacle_off_{len(roof.obstacles)}"),
                width=200,
            )
            st.button(tr("Take it off"), on_click=_remove, args=(key,), key="obstacle_remove")


def _config() -> dict[str, Any]:
    abouts = {
        "x": tr("From the rear."),
        "y": tr("From the left side."),
        "l": tr("Length, along the van."),
        "w": tr("Width, across the van."),
        "h": tr("Above the panels."),
    }
    return {
        "what": st.column_config.TextColumn(tr("what"), width=98, max_chars=100),
        **{
            label: st.column_config.TextColumn(label, width=50, alignment="right", help=about)
            for label, about in abouts.items()
        },
    }


def _lying(answer: RoofAnswer) -> tuple[PlacedPanel, ...]:
    """The design's own panels as they lie; where they have no room, where somebody put them."""
    if answer.own_layout is not None:
        return answer.own_layout.panels
    return ()


def _move() -> None:
    """Take over what was dragged on the plan."""
    value = st.session_state[KEY].get("moved")
    if value is None:
        return
    design = state.design()
    try:
        changes = changes_of(value, design.van, _lying(roof_answer(design)))
    except InputError as error:
        state.say(str(error), refused=True)
        return
    take_typed()
    problem = change(changes)
    if problem is None:
        state.adopt(state.design())
    else:
        state.say(problem, refused=True)


def _lay_out() -> None:
    _adopt({"roof.panels": None}, tr("The program has laid the panels out."))


def _template() -> None:
    st.selectbox(
        tr("Begin with the roof of a"),
        list(ROOF_TEMPLATES),
        index=None,
        # The browser keeps a box's choice: with the same key it would act again at every change.
        key=(key := f"{state.INPUT}roof_template_{state.version()}"),
        on_change=_take_template,
        args=(key,),
        placeholder=tr("choose a class"),
        format_func=lambda name: shown("{}, {} x {} m".format(tr(name), *ROOF_TEMPLATES[name])),
        help=tr("Round figures of the class, common practice, no source: measure yours."),
    )


def _take_template(key: str) -> None:
    name = st.session_state[key]
    if name is None:
        return
    length_m, width_m = ROOF_TEMPLATES[name]
    changes = {"roof.template": None, "roof.outline": None, "roof.panels": None}
    sizes = {"roof.length_m": length_m, "roof.width_m": width_m}
    said = tr("The roof is that of a {name} now: measure yours.", name=tr(name))
    _adopt(changes | sizes, said)


def _rows_of(key: str, roof: Roof) -> _Rows:
    """Return the table's rows; it begins anew when the view is opened again."""
    rows = cast("_Rows | None", st.session_state.get(_ROWS))
    if rows is None or key not in st.session_state:
        refused = () if rows is None else rows.refused
        rows = st.session_state[_ROWS] = _Rows(roof, refused, {}, refused)
    return rows


def _take_cells(key: str) -> None:
    """Take over the cells that fit; the table keeps showing the others as they were typed."""
    rows = cast("_Rows | None", st.session_state.get(_ROWS))
    if rows is None:
        # The same click opened another design, with rows of its own.
        return
    edits: dict[int, dict[str, Any]] = {}
    for cell in rows.typed:
        edits.setdefault(cell.row, {})[cell.column] = cell.value
    for row, cells in st.session_state[key]["edited_rows"].items():
        edits.setdefault(int(row), {}).update(cells)

    def take(cells: Edits) -> None:
        problem = change({"roof.obstacles": with_edits(rows.began, cells, units())})
        if problem is not None:
            raise InputError(problem)

    try:
        _, held, refused = cells_that_fit(edits, rows.held, take)
    except InputError as error:
        state.say(error.message, refused=True)
        return
    st.session_state[_ROWS] = dataclasses.replace(rows, held=held, refused=refused)


def _add(key: str) -> None:
    roof = state.design().van.roof
    assert roof is not None
    kind = st.session_state[key]
    try:
        rows = with_obstacle(roof, kind)
    except InputError as error:
        state.say(error.message, refused=True)
        return
    x, y = (f"{rows[-1][name]:.2f}" for name in ("x_m", "y_m"))
    said = tr("The {name} stands at x {x}, y {y} m.", name=tr(kind), x=x, y=y)
    _adopt({"roof.obstacles": rows}, said)


def _remove(key: str) -> None:
    roof = state.design().van.roof
    assert roof is not None
    position = st.session_state[key]
    said = tr("{name} is off the roof.", name=roof.obstacles[position].name)
    _adopt({"roof.obstacles": without_obstacle(roof, position)}, said)
