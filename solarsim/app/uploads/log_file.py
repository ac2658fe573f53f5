"""An uploaded log of a battery monitor, and what a person says of how it is to be read."""

from __future__ import annotations

import dataclasses
from pathlib import Path

from solarsim.answers.calibrate.log import BankLog, read_log
from solarsim.answers.question import Question
from solarsim.app.uploads.upload import read_upload
from solarsim.weather.readers.file import read_text_file
from solarsim.weather.readers.tables.text import read_table_text
from solarsim.weather.record import Place

__all__ = ["QUANTITIES", "LogFile", "LogRead", "LogStatement", "bank_log", "headings_of"]

# Every one of `LOG_QUANTITIES` in the order of the form, with what it is called on the page.
QUANTITIES = {
    "time": "Time, or date",
    "clock": "Time of day, if the date stands alone",
    "alternator_power": "Power from the alternator",
    "alternator_current": "Current from the alternator",
    "shore_power": "Power from shore",
    "shore_current": "Current from shore",
    "soc": "State of charge",
    "ah": "Counter of Ah",
    "voltage": "Voltage of the bank",
    "current": "Current of the bank",
    "power": "Power of the bank",
    "solar_power": "Solar power",
    "solar_current": "Solar current",
}


@dataclasses.dataclass(frozen=True)
class LogFile:
    """An uploaded log: what it was called, for messages alone, and what is in it."""

    name: str
    content: bytes


@dataclasses.dataclass(frozen=True)
class LogStatement:
    """How a log is to be read, as far as somebody says so.

    Attributes
    ----------
    columns : tuple of (str, str)
        Quantity of `QUANTITIES` and its heading; the others are guessed.
    timezone : str
        Clock of the stamps; empty for the place's own.
    positive : str
        ``"in"`` or ``"out"``: which way a positive current flows; empty where it is guessed.
    """

    columns: tuple[tuple[str, str], ...] = ()
    timezone: str = ""
    positive: str = ""


@dataclasses.dataclass(frozen=True)
class LogRead:
    """A log as it was read, where the van stood, and whether the weather file covers its hours."""

    log: BankLog
    place: Place
    weather_covers: bool


def headings_of(log: LogFile) -> tuple[str, ...]:
    """Return a log's headings.

    Raises
    ------
    InputError
        The file is no table.
    """

    def headings(path: Path) -> tuple[str, ...]:
        text = read_text_file(path, kind="of a battery log")
        return tuple(read_table_text(text, source=log.name).names)

    return read_upload(headings, log.name, log.content)


def bank_log(log: LogFile, question: Question, said: LogStatement) -> BankLog:
    """Read a log for a van at its place.

    Raises
    ------
    InputError
        As for `read_log`.
    """
    return read_upload(
        lambda path: read_log(
            path,
            question.van,
            question.place,
            columns=dict(said.columns),
            timezone=said.timezone.strip() or None,
            positive=said.positive or None,
        ),
        log.name,
        log.content,
    )
