"""What an answer must say where someone's health depends on a device aboard."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from solarsim.answers.simulation.summary import DaysUnplugged

__all__ = ["MEDICAL_RULE", "Medical", "medical_caution", "medical_of"]

MEDICAL_RULE = "Where someone's health depends on a device: never rely on this alone."


@dataclasses.dataclass(frozen=True)
class Medical:
    """Whether a stay is safe for those who depend on a device.

    Attributes
    ----------
    devices : tuple of str
        What their health depends on.
    p1_days : float or None
        Days that 99 runs in 100 reach at least; None where there are too few runs to tell.
    safe : bool or None
        Whether these reach the stay's end; None where it cannot be told.
    """

    devices: tuple[str, ...]
    p1_days: float | None
    safe: bool | None


def medical_of(devices: Sequence[str], days: DaysUnplugged, stay_days: int) -> Medical | None:
    """Return whether a stay is safe for those who depend on devices; None where nobody does.

    Parameters
    ----------
    devices : sequence of str
        Of the profile.
    days : DaysUnplugged
        Of the stay.
    stay_days : int
        Its length.
    """
    if not devices:
        return None
    safe = None if days.p1 is None else days.p1 >= stay_days
    return Medical(tuple(devices), days.p1, safe)


def medical_caution(devices: Sequence[str]) -> str:
    """Return the caution, which stands wherever such an answer is spoken.

    Examples
    --------
    >>> medical_caution(["breathing device"])[:72]
    "Someone's health depends on the breathing device: never rely on this alo"
    """
    return (
        f"Someone's health depends on the {' and the '.join(devices)}: never rely on this alone. "
        "Have a second supply that lasts until help or mains power is reached, and ask the maker "
        "of the device and the doctor."
    )
