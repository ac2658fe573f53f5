"""Errors that a person can act on.

::

    SolarsimError
    ├── HistoryError                     hourly history that could not be fetched
    └── InputError (also a ValueError)   what was typed, or a file that was named, cannot be used
        ├── PlaceError                   no such place, or more than one
        └── WeatherFileError             a weather file that cannot be read or trusted

The command line prints the message and exits with 2; the app shows it beside the field.
"""

from __future__ import annotations

__all__ = ["HistoryError", "InputError", "PlaceError", "SolarsimError", "WeatherFileError"]


class SolarsimError(Exception):
    """Root of every error that solarsim raises on purpose."""


class HistoryError(SolarsimError):
    """Hourly history that the network did not give; answers go on without it."""


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

    Examples
    --------
    >>> str(InputError("got 0; must be at least 1", source="van.toml", field="battery.units"))
    'van.toml: battery.units: got 0; must be at least 1'
    """

    def __init__(self, message: str, *, source: str = "", field: str = "") -> None:
        self.message = message
        self.source = source
        self.field = field
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
