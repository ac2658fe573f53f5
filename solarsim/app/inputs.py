"""The inputs beside every view: they read the design and leave the next one."""

from __future__ import annotations

import dataclasses
import datetime as dt
import re
from collections.abc import Mapping
from typing import Any

import streamlit as st

from solarsim.app import state
from solarsim.app.building import Problem, built
from solarsim.app.design import Design, WeatherFile, shipped_profile, shipped_profiles
from solarsim.app.fields import FIELDS, GROUPS, Field, limits_of
from solarsim.app.plain import one_line, plain
from solarsim.app.tables import KIND_OF_PART, shipped_part
from solarsim.present.words import month_name
from solarsim.spec.parts import part_tables
from solarsim.spec.van import Alternator, Inverter, Shore

__all__ = ["MAX_UPLOAD_BYTES", "show_inputs"]

MAX_UPLOAD_BYTES = 5_000_000
_OWN_NUMBERS = "its own numbers, as opened"
# What a table starts with when it is switched on; the rest are the record's own defaults.
_SWITCHES: Mapping[str, tuple[str, Any]] = {
    "inverter": ("Inverter aboard", Inverter(power_w=1200.0)),
    "alternator": ("DC-DC charger aboard", Alternator(dcdc_a=30.0)),
    "shore": ("Shore charger aboard", Shore(charger_a=20.0)),
}
_WORDS = {
    "mppt": "MPPT",
    "pwm": "PWM",
    "morning": "every morning",
    "never": "never",
    "inside": "inside the heated space",
    "outside": "outside of it",
}


def show_inputs() -> tuple[Problem, ...]:
    """Draw the inputs, take over what fits together, and return what does not."""
    design = state.design()
    changes: dict[str, Any] = {}
    # Where a message stands: under the input at fault, or under its group.
    spots: dict[str, Any] = {}
    weather = None
    with st.sidebar:
        _input_name(design, changes)
        for group, title in GROUPS.items():
            with st.expander(title, expanded=group == "where"):
                _GROUP_INPUTS[group](design, changes, spots)
                if group == "where":
                    weather = _weather_file()
                    spots["weather"] = st.container()
            spots[group] = st.container()
    found, problems = built(design, changes, weather)
    for problem in problems:
        spot = spots.get(problem.field, spots[problem.group])
        spot.error(plain(problem.message))
        if problem.field == "stay.place":
            _offer_places(problem.message, spot)
    state.set_design(found)
    return problems


def _input_name(design: Design, changes: dict[str, Any]) -> None:
    key = f"{state.INPUT}van.name"
    _seed(key, design.van.van.name)
    name = st.text_input("The van", key=key, max_chars=200, help="What the answers call it.")
    if name and name != design.van.van.name:
        changes["van.name"] = name


def _where(design: Design, changes: dict[str, Any], spots: dict[str, Any]) -> None:
    _draw("where", design, changes, spots)


def _roof(design: Design, changes: dict[str, Any], spots: dict[str, Any]) -> None:
    _draw("roof", design, changes, spots)


def _bank(design: Design, changes: dict[str, Any], spots: dict[str, Any]) -> None:
    _draw("bank", design, changes, spots)
    for table, (label, default) in _SWITCHES.items():
        key = f"{state.INPUT}{table}"
        present = getattr(design.van, table) is not None
        _seed(key, present)
        aboard = st.toggle(label, key=key)
        if aboard and not present:
            changes[table] = default.model_dump(exclude_unset=True)
        if present and not aboard:
            changes[table] = None
        if aboard:
            _draw("bank", design, changes, spots, switched=table)


def _people(design: Design, changes: dict[str, Any], spots: dict[str, Any]) -> None:
    st.selectbox(
        "Ready-made crews",
        list(shipped_profiles()),
        index=None,
        placeholder=one_line(design.profile.profile.name),
        key=f"{state.INPUT}crew",
        on_change=_take_crew,
        help="Brings its own appliances and habits, in place of those that are aboard.",
    )
    _draw("people", design, changes, spots)
    st.caption("What they use, and for how long: under Appliances.")


_GROUP_INPUTS = {"where": _where, "roof": _roof, "bank": _bank, "people": _people}


def _take_crew() -> None:
    name = st.session_state[f"{state.INPUT}crew"]
    if name is not None:
        profile = shipped_profile(shipped_profiles()[name])
        state.adopt(dataclasses.replace(state.design(), profile=profile))


def _draw(
    group: str,
    design: Design,
    changes: dict[str, Any],
    spots: dict[str, Any],
    *,
    switched: str = "",
) -> None:
    """Draw a group's inputs: those of a table that can be switched off, or all others."""
    for field in FIELDS:
        table = field.path.partition(".")[0]
        if field.group == group and switched == (table if table in _SWITCHES else ""):
            _input(field, design, changes)
            spots[field.path] = st.container()


def _input(field: Field, design: Design, changes: dict[str, Any]) -> None:
    table, _, name = field.path.partition(".")
    record = getattr(design.profile if table == "cabin" else design.van, table)
    if record is None:
        record = _SWITCHES[table][1]
    now = getattr(record, name)
    if name == "part":
        given = _part(field, table, record)
        if given is not None:
            changes[field.path] = given
        return
    given = _widget(field, now, design)
    if given != now:
        changes[field.path] = given


def _part(field: Field, table: str, record: Any) -> str | None:
    """Ask for a part; None where the van's own numbers stay."""
    kind = KIND_OF_PART[table]
    shipped = shipped_part({"part": record.part}, kind)
    options = [*([] if shipped else [_OWN_NUMBERS]), *part_tables(kind)]
    key = f"{state.INPUT}{field.path}{'' if shipped else '.own'}"
    _seed(key, shipped or _OWN_NUMBERS)
    chosen = st.selectbox(field.label, options, key=key, help=field.help)
    return None if chosen in {_OWN_NUMBERS, shipped} else chosen


def _widget(field: Field, now: Any, design: Design) -> Any:
    key = f"{state.INPUT}{field.path}"
    about: dict[str, Any] = {"key": key, "help": field.help}
    limits = limits_of(field.path)
    if field.path == "stay.month":
        _seed(key, now)
        about["disabled"] = design.van.stay.start is not None
        return st.selectbox(field.label, range(1, 13), format_func=month_name, **about)
    if limits.choices:
        _seed(key, now)
        return st.selectbox(field.label, limits.choices, format_func=_word, **about)
    if limits.kind is bool:
        _seed(key, now)
        return st.toggle(field.label, **about)
    if limits.kind is str:
        _seed(key, now)
        return st.text_input(field.label, max_chars=200, **about)
    if limits.kind is dt.date:
        _seed(key, now)
        about |= {"min_value": dt.date(1950, 1, 1), "max_value": dt.date(2100, 12, 31)}
        return st.date_input(field.label, **about)
    return _number(field, now, about)


def _number(field: Field, now: Any, about: dict[str, Any]) -> Any:
    limits = limits_of(field.path)
    whole = limits.kind is int
    scale = 100.0 if field.percent else 1.0

    def shown(value: Any) -> Any:
        if value is None:
            return None
        return int(value) if whole else round(float(value) * scale, 6)

    _seed(about["key"], shown(now))
    typed = st.number_input(
        field.label,
        min_value=shown(limits.least),
        max_value=shown(limits.most),
        step=1 if whole else 10.0**-field.places,
        format=None if whole else f"%.{field.places}f",
        placeholder="left open" if field.optional else None,
        **about,
    )
    # What was not touched stays as it was, to the last digit.
    if typed == shown(now) or (typed is None and not field.optional):
        return now
    return typed if whole or typed is None else typed / scale


def _word(choice: Any) -> str:
    return _WORDS.get(str(choice), str(choice))


def _seed(key: str, value: Any) -> None:
    if key not in st.session_state:
        st.session_state[key] = value


def _weather_file() -> WeatherFile | None:
    given = st.file_uploader(
        "Weather file instead of the climate",
        type=["epw", "csv", "tm2"],
        key=f"weather_{state.uploads()}",
        help="EPW, TMY3 or TMY2, up to 5 MB. Its own place is used; every window of the stay's "
        "length that starts in the month is a run.",
    )
    if given is None:
        return None
    if given.size > MAX_UPLOAD_BYTES:
        st.error("The file is larger than 5 MB.")
        return None
    return WeatherFile(one_line(given.name), given.getvalue())


def _offer_places(message: str, spot: Any) -> None:
    """Let the towns that a message lists be chosen."""
    towns = re.findall(r"'([^']+)'(?: at '([^']+)')? \(", message)
    if not towns:
        return
    with spot:
        st.selectbox(
            "Which one?",
            [coordinates or label for label, coordinates in towns],
            index=None,
            key=f"{state.INPUT}town",
            on_change=_take_town,
        )


def _take_town() -> None:
    chosen = st.session_state[f"{state.INPUT}town"]
    if chosen:
        st.session_state[f"{state.INPUT}stay.place"] = chosen
