"""Errors that a person can act on.

::

    SolarsimError
    ├── HistoryError                     hourly history that could not be fetched
    ├── WorkerError                      workers that ended or went away before their work was done
    └── InputError (also a ValueError)   what was typed, or a file that was named, cannot be used
        ├── PlaceError                   no such place, or more than one
        └── WeatherFileError             a weather file that cannot be read or trusted

The command line prints the message and exits with 2; the app shows it beside the field.
"""

from __future__ import annotations

import re

__all__ = [
    "HistoryError",
    "InputError",
    "PlaceError",
    "SolarsimError",
    "WeatherFileError",
    "WorkerError",
    "in_one_line",
]


# Control characters, line ends of any kind, marks that turn the reading direction, half characters.
_STEERING = re.compile(
    "[\x00-\x1f\x7f-\x9f\u2028\u2029\u200e\u200f\u202a-\u202e\u2066-\u2069\ud800-\udfff]"
)
_LONGEST = 2_000


def in_one_line(text: str) -> str:
    r"""Return the text with what could steer a terminal spelled out, cut to 2,000 characters.

    File names, headings and keys are other people's: none may start a line of its own.

    Examples
    --------
    >>> in_one_line("a\x1b[2Jb")
    'a\\x1b[2Jb'
    """
    if len(text) > _LONGEST:
        text = f"{text[:_LONGEST]} ..."
    return _STEERING.sub(lambda found: found[0].encode("unicode_escape").decode("ascii"), text)


class SolarsimError(Exception):
    """Root of every error that solarsim raises on purpose."""


class HistoryError(SolarsimError):
    """Hourly history that the network did not give; answers go on without it."""


class WorkerError(SolarsimError):
    """Workers, on this machine or a cluster, that ended or went away before their work was done."""


class InputError(SolarsimError, ValueError):
    """Something given by a person cannot be used.

    Parameters
    ----------
    message : str
        What is wrong and what is allowed, complete without the other parts.
    source : str
        File, option or record in which the value stands; empty where there is none.
    field : str
        Table and field, for example ``"battery.units"``; empty where there is none.
    more : tuple of str
        Further faults, which follow the message in lines of their own.

    Examples
    --------
    >>> str(InputError("got 0; must be at least 1", source="van.toml", field="battery.units"))
    'van.toml: battery.units: got 0; must be at least 1'
    """

    def __init__(
        self, message: str, *, source: str = "", field: str = "", more: tuple[str, ...] = ()
    ) -> None:
        self.message = message = "\n".join(map(in_one_line, (message, *more)))
        self.source = source = in_one_line(source)
        self.field = field = in_one_line(field)
        super().__init__(": ".join(part for part in (source, field, message) if part))


class PlaceError(InputError):
    """A place that is unknown, ambiguous, or outside the climate data.

    Parameters
    ----------
    message, source, field : str
        As for `InputError`.
    choices : tuple of str
        Places that may be meant, each as the text that finds it; empty where there are none.
    """

    def __init__(
        self, message: str, *, source: str = "", field: str = "", choices: tuple[str, ...] = ()
    ) -> None:
        self.choices = choices
        super().__init__(message, source=source, field=field)


class WeatherFileError(InputError):
    """A weather file that is not what it says, or has holes or impossible values."""
