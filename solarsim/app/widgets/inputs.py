"""The inputs beside every view: they read the design and leave the next one."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from typing import Any

import streamlit as st

from solarsim.app import state
from solarsim.app.draft import Draft, WeatherFile, shipped_profile, shipped_profiles
from solarsim.app.language import show_language
from solarsim.app.plain import one_line, plain
from solarsim.app.tables import KIND_OF_PART, shipped_part
from solarsim.app.translate import ENGLISH, catalogue, tr, tr_line
from solarsim.app.units.chosen import digits, show_units, told
from solarsim.app.uploads.opening import horizon_of
from solarsim.app.widgets.building import Problem, built, problem_of
from solarsim.app.widgets.field import Field
from solarsim.app.widgets.fields import GROUPS
from solarsim.app.widgets.fields_beside import BESIDE, MAIN
from solarsim.app.widgets.fields_in_views import DATASHEETS
from solarsim.app.widgets.view_inputs import take_typed
from solarsim.app.widgets.widgets import field_widget, key_of, seed
from solarsim.errors import InputError
from solarsim.inputs.chargers import Alternator, Shore
from solarsim.inputs.inverter import Inverter
from solarsim.inputs.parts import part_tables

__all__ = ["MAX_UPLOAD_BYTES", "show_inputs"]

MAX_UPLOAD_BYTES = 5_000_000
_OWN_NUMBERS = "own numbers, from a datasheet"
# What a table starts with when it is switched on; the rest are the record's own defaults.
_SWITCHES: Mapping[str, tuple[str, Any]] = {
    "inverter": ("Inverter aboard", Inverter(power_w=1200.0)),
    "alternator": ("DC-DC charger aboard", Alternator(dcdc_a=30.0)),
    "shore": ("Shore charger aboard", Shore(charger_a=20.0)),
}


def show_inputs(*, ask_language: bool = True) -> tuple[Problem, ...]:
    """Draw the inputs, take over what fits together, and return what does not.

    The box of languages is among them unless a view has it.
    """
    design = state.design()
    changes: dict[str, Any] = {}
    # Where a message stands: under the input at fault, or under its group.
    spots: dict[str, Any] = {}
    weather = None
    with st.sidebar:
        st.markdown(f"**{tr('The design')}**")
        _main_inputs(design, changes, spots)
        st.markdown(f"**{tr('More')}**")
        for group, title in GROUPS.items():
            with st.expander(tr(title)):
                _GROUP_INPUTS[group](design, changes, spots)
                if group == "where":
                    weather = _weather_file()
                    spots["weather"] = st.container()
                    _horizon_file(design)
            spots[group] = st.container()
        # Whoever cannot read the page finds it.
        own = "" if catalogue()["language"] == ENGLISH else " (Language)"
        with st.expander(tr("Language and units") + own):
            _language(ask=ask_language)
            show_units()
    refused = tuple(changes.pop(path) for path in list(changes) if _is_problem(changes[path]))
    found, problems = built(design, changes, weather, design.horizon)
    problems = (*refused, *problems)
    for problem in problems:
        spot = spots.get(problem.field, spots[problem.group])
        spot.error(told(problem.message))
        if problem.choices:
            _offer_places(problem.choices, spot)
    state.set_design(found)
    return problems


def _language(*, ask: bool) -> None:
    if ask:
        show_language()
    if catalogue()["language"] != ENGLISH:
        st.caption(
            tr("Findings of the check, the wiring picture, refusals and some notes are in English.")
        )


def _is_problem(value: Any) -> bool:
    return isinstance(value, Problem)


def _main_inputs(design: Draft, changes: dict[str, Any], spots: dict[str, Any]) -> None:
    """Draw what is changed most, each with the room for what is wrong with it."""
    with st.container(key="main_inputs"):
        for field in MAIN:
            with st.container():
                _input(field, design, changes, about=False)
                spots[field.path] = st.container()
    with st.expander(tr("What these mean")):
        st.markdown(
            "".join(f"- **{tr(field.label)}**: {plain(tr(field.help))}\n" for field in MAIN)
        )


def _input_name(design: Draft, changes: dict[str, Any]) -> None:
    key = key_of("van.name")
    seed(key, design.van.van.name)
    name = st.text_input(
        tr("The van"), key=key, max_chars=200, help=tr("What the answers call it.")
    )
    if name and name != design.van.van.name:
        changes["van.name"] = name


def _where(design: Draft, changes: dict[str, Any], spots: dict[str, Any]) -> None:
    _input_name(design, changes)
    _draw("where", design, changes, spots)


def _roof(design: Draft, changes: dict[str, Any], spots: dict[str, Any]) -> None:
    _draw("roof", design, changes, spots)


def _bank(design: Draft, changes: dict[str, Any], spots: dict[str, Any]) -> None:
    _draw("bank", design, changes, spots)
    for table, (label, default) in _SWITCHES.items():
        key = key_of(table)
        present = getattr(design.van, table) is not None
        seed(key, present)
        aboard = st.toggle(tr(label), key=key)
        if aboard and not present:
            changes[table] = default.model_dump(exclude_unset=True)
        if present and not aboard:
            changes[table] = None
        if aboard:
            _draw("bank", design, changes, spots, switched=table)


def _people(design: Draft, changes: dict[str, Any], spots: dict[str, Any]) -> None:
    st.selectbox(
        tr("Ready-made crews"),
        list(shipped_profiles()),
        index=None,
        format_func=_crew_name,
        placeholder=_crew_name(design.profile.profile.name),
        key=_once("crew"),
        on_change=_take_crew,
        args=(_once("crew"),),
        help=tr("Brings its own appliances and habits, in place of those that are aboard."),
    )
    _draw("people", design, changes, spots)
    st.caption(tr("What they use, and for how long: under Design, Appliances."))


_GROUP_INPUTS = {"where": _where, "roof": _roof, "bank": _bank, "people": _people}


def _once(what: str) -> str:
    """Return the key of a box that acts once: the browser keeps its choice, and would act anew."""
    return f"{key_of(what)}_{state.version()}"


def _crew_name(name: str) -> str:
    return one_line(tr_line(name) or name)


def _take_crew(key: str) -> None:
    name = st.session_state[key]
    if name is not None:
        take_typed()
        profile = shipped_profile(shipped_profiles()[name])
        if not state.take(dataclasses.replace(state.design(), profile=profile)):
            # Else the box would say that they are aboard.
            st.session_state[key] = None


def _draw(
    group: str,
    design: Draft,
    changes: dict[str, Any],
    spots: dict[str, Any],
    *,
    switched: str = "",
) -> None:
    """Draw a group's inputs: those of a table that can be switched off, or all others."""
    for field in BESIDE:
        table = field.path.partition(".")[0]
        if (
            field.group == group
            and field not in MAIN
            and switched == (table if table in _SWITCHES else "")
        ):
            _input(field, design, changes)
            spots[field.path] = st.container()


def _input(field: Field, design: Draft, changes: dict[str, Any], *, about: bool = True) -> None:
    table, _, name = field.path.partition(".")
    record = getattr(design.profile if table == "cabin" else design.van, table)
    if name == "part":
        _part(field, table, record, changes)
        return
    if record is None:
        record = _SWITCHES[table][1]
    now = getattr(record, name)
    # What one input says, another has no say in.
    stay = design.van.stay
    disabled = (field.path == "stay.month" and stay.start is not None) or (
        field.path == "stay.parking" and design.horizon is not None
    )
    _ask(field, now, changes, disabled=disabled, about=about)


def _ask(
    field: Field,
    now: Any,
    changes: dict[str, Any],
    *,
    disabled: bool = False,
    about: bool = True,
) -> None:
    """Draw a field; note its new value, or what is wrong with it."""
    try:
        given = field_widget(field, now, disabled=disabled, about=about)
    except InputError as error:
        given = problem_of(error)
    if given != now:
        changes[field.path] = given


def _part(field: Field, table: str, record: Any, changes: dict[str, Any]) -> None:
    """Ask for a part of the library, or for the numbers of one that is not in it."""
    kind = KIND_OF_PART[table]
    shipped = shipped_part({"part": record.part}, kind)
    key = key_of(field.path)
    seed(key, shipped or _OWN_NUMBERS)
    options = [*part_tables(kind), _OWN_NUMBERS]
    chosen = st.selectbox(
        tr(field.label), options, key=key, format_func=_part_name, help=tr(field.help)
    )
    if chosen != (shipped or _OWN_NUMBERS):
        # Own numbers begin with those of the part.
        changes[field.path] = None if chosen == _OWN_NUMBERS else chosen
    if chosen != _OWN_NUMBERS:
        return
    # All at once: numbers that are typed one by one disagree on the way.
    with st.form(f"{table}_datasheet"):
        for own in DATASHEETS[table]:
            _ask(own, getattr(record, own.path.partition(".")[2]), changes)
        st.form_submit_button(tr("Take these numbers"))


def _part_name(option: str) -> str:
    return tr("own numbers, from a datasheet") if option == _OWN_NUMBERS else option


def _weather_file() -> WeatherFile | None:
    given = st.file_uploader(
        tr("Weather file instead of the climate"),
        type=["epw", "csv", "tm2"],
        key=f"weather_{state.uploads()}",
        help=tr(
            "EPW, TMY3, TMY2, NSRDB, or a CSV that says its place and clock itself (`solarsim "
            "weather check --out` writes one). Its own place is used; every window of the stay's "
            "length that starts in the month is a run."
        ),
    )
    if given is None:
        return _held_weather()
    state.forget_weather_held()
    if given.size > MAX_UPLOAD_BYTES:
        st.error(tr("The file is larger than 5 MB."))
        return None
    return WeatherFile(one_line(given.name), given.getvalue())


def _held_weather() -> WeatherFile | None:
    """The file that came back with an undone change; the box itself is empty then."""
    held = state.weather_held()
    if held is not None:
        st.caption(tr("Weather of {name}.", name=plain(held.name)))
        st.button(tr("Leave the weather file out"), key="no_weather", on_click=_drop_weather)
    return held


def _drop_weather() -> None:
    state.take(dataclasses.replace(state.design(), weather=None))


def _horizon_file(design: Draft) -> None:
    key = f"horizon_{state.version()}"
    st.file_uploader(
        tr("Horizon profile instead of how it is parked"),
        type=["csv"],
        max_upload_size=1,
        key=key,
        on_change=_take_horizon,
        args=(key,),
        help=tr(
            "CSV of azimuth (clockwise from north) and elevation in degrees, with as many "
            "directions as the hills, trees and houses need; straight lines between them."
        ),
    )
    if design.horizon is not None:
        st.caption(
            tr(
                "Horizon of {name}: {directions} directions, up to {most}° high.",
                name=plain(design.horizon.source or tr("a file")),
                directions=len(design.horizon.azimuth_deg),
                most=digits(f"{max(design.horizon.elevation_deg):g}"),
            )
        )
        st.button(tr("Leave the horizon out"), key="no_horizon", on_click=_drop_horizon)


def _take_horizon(key: str) -> None:
    given, horizon = st.session_state[key], None
    if given is not None:
        try:
            horizon = horizon_of(one_line(given.name), given.getvalue())
        except InputError as error:
            state.say(str(error), refused=True)
            return
    state.set_design(dataclasses.replace(state.design(), horizon=horizon))


def _drop_horizon() -> None:
    state.adopt(dataclasses.replace(state.design(), horizon=None))


def _offer_places(choices: Sequence[str], spot: Any) -> None:
    """Let one of the towns that may be meant be chosen."""
    with spot:
        st.selectbox(
            tr("Which one?"),
            choices,
            index=None,
            key=(key := f"{key_of('town')}_{hash(tuple(choices))}"),
            on_change=_take_town,
            args=(key,),
        )


def _take_town(key: str) -> None:
    chosen = st.session_state[key]
    if chosen:
        st.session_state[key_of("stay.place")] = chosen
