"""Real years, and a battery monitor's log."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Unpack

from solarsim.answers.given import given_text
from solarsim.door.asking import Askable, Asked, Progress, given_progress, question_of
from solarsim.door.lists import given_counts
from solarsim.errors import InputError
from solarsim.inputs.base import plain_value
from solarsim.inputs.files.van import DEFAULT_VAN

if TYPE_CHECKING:
    from solarsim.answers.calibrate.calibrate import CalibrateAnswer
    from solarsim.answers.calibrate.log import BankLog
    from solarsim.answers.history import HistoryAnswer
    from solarsim.answers.question import Question

__all__ = ["calibrate", "history", "read_log"]

_FILE = "a CSV file's path"


def history(
    question: Askable = DEFAULT_VAN,
    *,
    years: str | int | Sequence[int] = "2005-2024",
    progress: Progress | None = None,
    **asked: Unpack[Asked],
) -> HistoryAnswer:
    """Answer the stay in every real year, the worst and the best named, beside the climate.

    The network is not asked: years that `solarsim weather get` has not fetched are left out and
    stand in ``missing_years``; without any the climate answers alone, and the headline says so.

    Parameters
    ----------
    question : Question, or a van as for `ask`
        What is asked; on a weather file the file's own years count. A typical year is no real one:
        it is answered as a whole.
    years : str, int or sequence of int
        Such as ``"2005-2024"``.
    progress : callable, optional
        Called with runs done and in all, for either kind of weather.
    **asked
        Keywords of `ask`.

    Raises
    ------
    InputError
        As for `ask`; years that there cannot be, or in which no such stay starts.
    """
    from solarsim.answers.history import history as answer
    from solarsim.weather.years.history import history_series, years_at_hand

    wanted = _years(years)
    about = question_of(question, asked)
    series = about.series
    missing: tuple[int, ...] = ()
    if series is None:
        at_hand, missing = years_at_hand(about.place, wanted)
        series = history_series(about.place, at_hand) if at_hand else None
    return answer(about, series, missing_years=missing, progress=given_progress(progress))


def read_log(
    path: str | Path,
    question: Askable = DEFAULT_VAN,
    *,
    columns: Mapping[str, str] | None = None,
    timezone: str | None = None,
    positive: str | None = None,
    **asked: Unpack[Asked],
) -> BankLog:
    """Read a battery monitor's export onto whole hours.

    Parameters
    ----------
    path : str or Path
        CSV with a heading, three days or more.
    question : Question, or a van as for `ask`
        Whose bank it is, and where it stood: for the log's scale, its clock and its nights.
    columns : mapping, optional
        Headings where they are not guessed: ``{"time": "When", "soc": "Charge"}``.
    timezone : str, optional
        Clock of the stamps, by default the place's local time.
    positive : str, optional
        Whether a positive current flows ``"in"`` or ``"out"``, guessed by default.
    **asked
        Keywords of `ask`.

    Raises
    ------
    InputError
        As for `ask`; a file that is no such log, with the file, the row and what is allowed.
    """
    file = Path(given_text(path, field="path", allowed=_FILE))
    return _log(file, question_of(question, asked), columns, timezone, positive)


def calibrate(
    question: Askable,
    log: BankLog | str | Path,
    *,
    columns: Mapping[str, str] | None = None,
    timezone: str | None = None,
    positive: str | None = None,
    **asked: Unpack[Asked],
) -> CalibrateAnswer:
    """Hold the van against a battery monitor's log: load, light, capacity, and the promise.

    Parameters
    ----------
    question : Question, or a van as for `ask`
        What was promised.
    log : BankLog, str or Path
        From `read_log` for the same van, or a file as it takes.
    columns, timezone, positive
        As for `read_log`, where `log` is a file.
    **asked
        Keywords of `ask`.

    Raises
    ------
    InputError
        As for `ask` and `read_log`; a log with no stretch of six hours, or weather that does not
        cover it.
    """
    from solarsim.answers.calibrate.calibrate import calibrate as answer
    from solarsim.answers.calibrate.log import BankLog
    from solarsim.answers.calibrate.weather import history_of_hours

    about = question_of(question, asked)
    if isinstance(log, BankLog):
        for field, given in (("columns", columns), ("timezone", timezone), ("positive", positive)):
            if given is not None:
                raise InputError("is for a file; the log is read already", field=field)
    else:
        file = Path(given_text(log, field="log", allowed=f"{_FILE} or a log from read_log"))
        log = _log(file, about, columns, timezone, positive)
    series = about.series
    if series is None:
        series = history_of_hours(about.place, log.times)
    return answer(about, log, series)


def _log(
    path: Path,
    question: Question,
    columns: Mapping[str, str] | None,
    timezone: str | None,
    positive: str | None,
) -> BankLog:
    from solarsim.answers.calibrate.log import LOG_QUANTITIES
    from solarsim.answers.calibrate.log import read_log as read

    if columns is not None:
        if not isinstance(columns, Mapping):
            raise InputError(f"got {columns!r}; must map quantities to headings", field="columns")
        for quantity, heading in columns.items():
            if quantity not in LOG_QUANTITIES or not isinstance(heading, str):
                known = ", ".join(LOG_QUANTITIES)
                message = f"got {quantity!r}: {heading!r}; must be a heading of one of {known}"
                raise InputError(message, field="columns")
    if timezone is not None:
        timezone = given_text(timezone, field="timezone", allowed="'UTC+1' or 'Europe/Vienna'")
    return read(
        path,
        question.van,
        question.place,
        columns=columns,
        timezone=timezone,
        positive=positive,
    )


def _years(years: Any) -> tuple[int, ...]:
    from solarsim.weather.years.online import read_years

    if isinstance(years, str):
        return read_years(years)
    plain = plain_value(years)
    listed = [plain] if isinstance(plain, int) else plain
    counts = given_counts(listed, field="years", least=1, most=9999)
    if counts is None:
        raise InputError("got None; must be a year or a span such as 2005-2024", field="years")
    if counts != list(range(counts[0], counts[0] + len(counts))):
        raise InputError(f"got {counts}; must be years in a row", field="years")
    return read_years(f"{counts[0]}-{counts[-1]}")
