"""Whole designs to begin with, one for each class of van; every one passes the program's checks."""

from __future__ import annotations

import dataclasses
import functools
from collections.abc import Mapping
from pathlib import Path

from solarsim.app.draft import Draft, shipped_profile
from solarsim.app.translate import tr, tr_line
from solarsim.inputs.files.toml import shipped_folder
from solarsim.inputs.files.van import read_van
from solarsim.inputs.van import Van

__all__ = ["STARTS", "start_from", "start_line"]

_HERE, _SHIPPED = Path(__file__).resolve().parent, shipped_folder("vans")
# Roofs and equipment are common practice, no source: measure the van that is really there.
STARTS: Mapping[str, tuple[Path, str]] = {
    "Compact van": (_HERE / "compact-van.toml", "light"),
    "Medium high-roof van": (_SHIPPED / "weekender.toml", "weekend-couple"),
    "Long high-roof van": (_HERE / "long-high-roof-van.toml", "typical"),
    "Coach-built": (_HERE / "coach-built.toml", "typical"),
    "Short bus": (_SHIPPED / "long-stayer.toml", "remote-workers"),
    "Full bus": (_HERE / "full-bus.toml", "remote-workers"),
}


def start_from(name: str, design: Draft) -> Draft:
    """Return a class's van and crew at the design's own place and dates.

    Parameters
    ----------
    name : str
        One of `STARTS`.
    design : Draft
        Its place, dates, parking, weather file and horizon stay.
    """
    van, crew = _van(name), STARTS[name][1]
    stay = design.van.stay.model_copy(update={"profile": crew})
    found = van.model_copy(update={"stay": stay})
    return dataclasses.replace(design, van=found, profile=shipped_profile(crew))


def start_line(name: str) -> str:
    """Return what a class brings along, in one line."""
    van, crew = _van(name), shipped_profile(STARTS[name][1]).profile.name
    roof, bank = van.roof, van.battery
    assert roof is not None
    return tr(
        "Roof {length} x {width} m, {panels}, {batteries}, crew: {crew}",
        length=f"{roof.length_m:g}",
        width=f"{roof.width_m:g}",
        panels=f"{van.panels.count} x {van.panels.part}",
        batteries=f"{bank.units} x {bank.part}",
        crew=tr_line(crew) or crew,
    )


@functools.cache
def _van(name: str) -> Van:
    return read_van(str(STARTS[name][0]))
