"""After hand-over: the van held against its battery monitor's log."""

from __future__ import annotations

import dataclasses
from typing import Any, cast

import pandas as pd
import streamlit as st

from solarsim.answers.calibrate.calibrate import CalibrateAnswer
from solarsim.answers.calibrate.estimates import Estimate
from solarsim.app import state
from solarsim.app.answering import check, log_answer, log_headings, log_read
from solarsim.app.draft import Draft
from solarsim.app.figures_in_words import show_days
from solarsim.app.link import profile_from_tables
from solarsim.app.pictures import page_palette, show_figure, show_table
from solarsim.app.plain import one_line, plain
from solarsim.app.translate import tr, tr_line
from solarsim.app.units.chosen import digits, shown, told
from solarsim.app.uploads.log_file import QUANTITIES, LogFile, LogRead, LogStatement
from solarsim.app.views.save import file_name
from solarsim.app.widgets.widgets import seed
from solarsim.app.worded import worded
from solarsim.errors import InputError
from solarsim.inputs.files.van import van_from_data
from solarsim.present.calibrate.chart import calibrate_figure
from solarsim.present.calibrate.text import (
    calibrate_headline,
    calibrated_files,
    estimate_words,
)

__all__ = ["MAX_LOG_BYTES", "show"]

MAX_LOG_BYTES = 5_000_000
# What a session holds: the file, how it is said to be read, and the van before it was calibrated.
_FILE, _SAID, _TAKEN, _ROUND = "log_file", "log_said", "log_taken", "log_round"
_WAYS = {"": "guessed", "in": "into the bank", "out": "out of the bank"}


@dataclasses.dataclass(frozen=True)
class _Taken:
    """A calibrated van that was taken over, the van before it, and the session's version then."""

    before: Draft
    after: Draft
    version: int


def show(design: Draft) -> None:
    """Draw the view."""
    st.title(tr("The battery monitor's log"), anchor=False)
    st.markdown(
        tr(
            "After hand-over: was the promise true? The log of a few weeks tells the load, the "
            "light and the bank as they are. The place among the inputs must be where the van "
            "stood then."
        )
    )
    asked = _before_it_was_taken(design)
    log = _log()
    if log is None:
        return
    headings = log_headings(log)
    said = cast("LogStatement", st.session_state.get(_SAID, LogStatement()))
    st.header(tr("How it was read"), anchor=False)
    try:
        read = log_read(asked, log, said)
    except InputError as error:
        spot = st.container()
        _say_otherwise(headings, said, wrong=True)
        # A guess that fails is said first; a statement that does, below the button that sent it.
        (spot if said == LogStatement() else st).error(told(str(error)))
        return
    st.markdown("".join(f"- {told(line)}\n" for line in read.log.guesses))
    _say_otherwise(headings, said, wrong=False)
    with st.spinner(tr("Holding the van against its log")):
        answer = log_answer(asked, log, said)
    _show_answer(answer, asked, read)
    _take_along(answer, asked, taken=asked is not design)


# --- the log ---


def _log() -> LogFile | None:
    """Ask for a log; one that was given stays while other views are looked at."""
    turn = st.session_state.setdefault(_ROUND, 0)
    key = f"log_upload_{turn}"
    given = st.file_uploader(
        tr("A battery monitor's export as CSV, up to 5 MB"),
        type=["csv", "txt", "tsv"],
        max_upload_size=5,
        key=key,
        on_change=_take_log,
        args=(key,),
        help=tr(
            "A heading and a row each minute to each hour, over three days at least: the time, "
            "and the bank's state of charge or Ah, its current or power; voltage and solar power "
            "if there. A month or more tells most. Leave out days of driving and of shore power."
        ),
    )
    log = cast("LogFile | None", st.session_state.get(_FILE))
    if log is None:
        st.caption(
            tr(
                "It should hold the time and the bank's state of charge or Ah, with current or "
                "power, voltage and solar power as far as they are there."
            )
        )
        return None
    st.caption(
        tr(
            "Log of {name}. It stays here until the page is loaded anew; the link and the saved "
            "files leave it out.",
            name=plain(log.name),
        )
    )
    if given is None:
        # The box forgot its file while another view was looked at.
        st.button(tr("Leave the log out"), key="log_drop", on_click=_drop_log)
    return log


def _take_log(key: str) -> None:
    given = st.session_state[key]
    if given is None:
        _drop_log()
        return
    name = one_line(given.name)
    if given.size > MAX_LOG_BYTES:
        said = tr("{name}: is larger than 5 MB; give a part of it", name=name)
        state.say(said, refused=True)
        return
    st.session_state[_FILE] = LogFile(name, given.getvalue())
    # What was said of another file's headings says nothing of these.
    st.session_state.pop(_SAID, None)
    _forget_form()


def _drop_log() -> None:
    st.session_state[_ROUND] += 1
    for key in (_FILE, _SAID):
        st.session_state.pop(key, None)
    _forget_form()


def _forget_form() -> None:
    for key in (*QUANTITIES, "timezone", "positive"):
        st.session_state.pop(_form_key(key), None)


def _form_key(what: str) -> str:
    return f"log_form_{what}"


def _say_otherwise(headings: tuple[str, ...], said: LogStatement, *, wrong: bool) -> None:
    """Let a person say how the log is to be read."""
    named = dict(said.columns)
    with st.expander(tr("Say otherwise"), expanded=wrong), st.form("log_form"):
        st.caption(tr("What is left as guessed goes on being guessed."))
        spots: list[Any] = []
        for what, label in QUANTITIES.items():
            # Row by row, so that one column on a phone keeps their order.
            spots = spots or list(st.columns(2))
            key = _form_key(what)
            seed(key, headings.index(named[what]) + 1 if what in named else 0)
            # By position: a heading may be called anything.
            spots.pop(0).selectbox(
                tr(label),
                range(len(headings) + 1),
                format_func=lambda at: one_line(headings[at - 1]) if at else tr("guessed"),
                key=key,
            )
        seed(_form_key("positive"), said.positive)
        (spots.pop(0) if spots else st).selectbox(
            tr("A positive current flows"),
            list(_WAYS),
            format_func=lambda way: tr(_WAYS[way]),
            key=_form_key("positive"),
        )
        seed(_form_key("timezone"), said.timezone)
        st.text_input(
            tr("Clock of the stamps"),
            key=_form_key("timezone"),
            max_chars=60,
            placeholder=tr("the place's own"),
            help=tr(
                "'UTC', 'UTC+1' or a zone such as 'Europe/Vienna'. Stamps that carry their own "
                "offset need none."
            ),
        )
        st.form_submit_button(tr("Read it so"), on_click=_take_statement, args=(headings,))


def _take_statement(headings: tuple[str, ...]) -> None:
    given = {what: st.session_state[_form_key(what)] for what in QUANTITIES}
    st.session_state[_SAID] = LogStatement(
        columns=tuple((what, headings[at - 1]) for what, at in given.items() if at),
        timezone=st.session_state[_form_key("timezone")],
        positive=st.session_state[_form_key("positive")],
    )


# --- the answer ---


def _show_answer(answer: CalibrateAnswer, design: Draft, read: LogRead) -> None:
    st.header(plain(worded(calibrate_headline(answer))), anchor=False)
    days = answer.question.van.stay.days
    for spot, name, promise in zip(
        st.columns(2, gap="large"),
        (tr("As promised"), tr("By the log")),
        (answer.before, answer.after),
        strict=True,
    ):
        with spot:
            st.markdown(f"**{name}**")
            show_days(promise.days, promise.chance_lasts, days)
    source = plain(tr_line(answer.light_source) or answer.light_source)
    light = tr("Light from {source}.", source=source)
    if design.weather is not None and not read.weather_covers:
        light += " " + tr("The weather file does not cover the log's dates.")
    st.caption(light)
    st.header(tr("What the log tells"), anchor=False)
    rows = {one.name: estimate_words(one) for one in answer.estimates}
    st.dataframe(
        {
            "estimate": [tr(name) for name in rows],
            "assumed": [shown(assumed) for assumed, _, _ in rows.values()],
            "by the log": [shown(tr(by_log.replace("+-", "±"))) for _, by_log, _ in rows.values()],
        },
        hide_index=True,
        height="content",
        column_config={
            "estimate": st.column_config.TextColumn(tr("estimate"), width=138),
            "assumed": st.column_config.TextColumn(tr("assumed"), width=80),
            "by the log": st.column_config.TextColumn(tr("by the log"), width=124),
        },
    )
    st.caption(tr("With one standard error: two times in three the truth lies within it."))
    reasons = {one.name: _why(one, rows[one.name][2]) for one in answer.estimates}
    with st.expander(
        tr("What each rests on"), expanded=any(e.value is None for e in answer.estimates)
    ):
        st.markdown("".join(f"- {plain(tr(name))}: {why}\n" for name, why in reasons.items()))
    _picture(answer)
    with st.expander(tr("Taken as given")):
        st.markdown("".join(f"- {told(note)}\n" for note in answer.notes))


def _why(one: Estimate, reason: str) -> str:
    """What a figure rests on, or why there is none."""
    if one.value is not None:
        return told(reason)
    return plain(tr("not determined: {why}", why=tr_line(reason) or shown(reason)))


def _picture(answer: CalibrateAnswer) -> None:
    st.header(tr("Day by day"), anchor=False)
    st.markdown(
        tr(
            "The model is off by {before} points of charge as promised and by {after} points by "
            "the log (root mean square, a day ahead).",
            before=digits(f"{100.0 * answer.error_before_soc:.1f}"),
            after=digits(f"{100.0 * answer.error_after_soc:.1f}"),
        )
    )
    figure = calibrate_figure(answer, page_palette())
    # Titles that a phone has room for.
    titles = (tr("Charge, modelled anew each day"), tr("Base load, W"))
    for title, words in zip(figure.layout.annotations, titles, strict=True):
        title.update(text=words, x=0.0, xanchor="left", font={"size": 14})
    for trace in figure.data:
        trace.hovertemplate = trace.hovertemplate.replace(trace.name, tr(trace.name))
    figure.update_xaxes(zeroline=False, title_font={"size": 13})
    figure.update_layout(height=640, margin={"l": 46, "r": 4, "t": 90, "b": 44})
    show_figure(
        figure,
        key="log",
        alt=tr(
            "State of charge by hour, measured, modelled as promised and modelled by the log; and "
            "the base load by hour of the day. The tables below hold the numbers."
        ),
    )
    show_table(
        "Base load as a table",
        {
            "hour": [f"{hour:02d}:00" for hour in range(24)],
            "profile, W": answer.load_before_w.round(1).tolist(),
            "by the log, W": answer.load_w.round(1).tolist(),
            "standard error, W": answer.load_error_w.round(1).tolist(),
        },
    )
    daily = pd.DataFrame(
        {
            tr("measured, %"): answer.log.soc,
            tr("model before, %"): answer.before_soc,
            tr("model after, %"): answer.after_soc,
        }
    )
    daily = (100.0 * daily.groupby(answer.log.times.date).mean()).round(1)
    show_table(
        "State of charge as a table",
        {"day": list(daily.index), **{str(name): daily[name].tolist() for name in daily}},
    )


# --- what becomes of it ---


def _take_along(answer: CalibrateAnswer, design: Draft, *, taken: bool) -> None:
    st.header(tr("Take it along"), anchor=False)
    stem = file_name(design.van.van.name, "van", "-calibrated")
    labels = (tr("The calibrated van, as TOML"), tr("Its loads, as TOML"))
    for spot, label, (name, content) in zip(
        st.columns(2), labels, calibrated_files(answer, stem).items(), strict=True
    ):
        spot.download_button(
            label, content, file_name=name, mime="application/toml", on_click="ignore"
        )
    st.caption(tr("Two files, which the command line reads as well; keep them in one folder."))
    st.button(
        tr("Take the calibrated van as the design"),
        key="log_take",
        on_click=_take,
        args=(answer, design),
        disabled=taken,
    )
    if taken:
        st.caption(tr("It is the design now. The way back stands at the top of this view."))


def _take(answer: CalibrateAnswer, before: Draft) -> None:
    try:
        after = dataclasses.replace(
            before,
            van=van_from_data(answer.van_tables, source="the calibrated van"),
            profile=profile_from_tables(answer.profile_tables, source="the measured loads"),
        )
        check(after)
    except InputError as error:
        state.say(str(error), refused=True)
        return
    state.adopt(after)
    st.session_state[_TAKEN] = _Taken(before, after, state.version())
    state.say(tr("The calibrated van is the design now; every view answers for it."))


def _before_it_was_taken(design: Draft) -> Draft:
    """Return the design that the log is held against, and offer the way back to it."""
    taken = cast("_Taken | None", st.session_state.get(_TAKEN))
    if taken is None or taken.version != state.version():
        return design
    same = design == taken.after
    if same:
        said = tr(
            "The calibrated van is the design. Below stands what the log says of the van before."
        )
    else:
        said = tr(
            "The design is the calibrated van with changes since; the way back drops those too."
        )
    st.markdown(said)
    st.button(tr("Go back to the van before"), key="log_back", on_click=_back, args=(taken.before,))
    return taken.before if same else design


def _back(before: Draft) -> None:
    st.session_state.pop(_TAKEN, None)
    state.adopt(before)
    state.say(tr("The van is the design again as it was before the log."))
