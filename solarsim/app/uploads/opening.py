"""Van and profile files that somebody uploads."""

from __future__ import annotations

import dataclasses

from solarsim.app.answering import check
from solarsim.app.draft import Draft, shipped_profile, shipped_profiles
from solarsim.app.link import profile_from_tables
from solarsim.app.translate import tr
from solarsim.app.uploads.upload import read_upload
from solarsim.errors import InputError
from solarsim.inputs.files.horizon import Horizon, read_horizon
from solarsim.inputs.files.toml import read_toml
from solarsim.inputs.files.van import van_from_data

__all__ = ["horizon_of", "opened"]


def opened(design: Draft, name: str, content: bytes) -> tuple[Draft, str]:
    """Return the design with an uploaded van or profile in it, and what was done in words.

    Parameters
    ----------
    design : Draft
        As it is; a van's file changes the van, a profile's file the people.
    name : str
        What the file was called, for messages alone.
    content : bytes
        TOML.

    Raises
    ------
    InputError
        The file is no TOML, holds neither, or does not pass.
    """
    tables = read_upload(read_toml, name, content)
    if "profile" in tables:
        found = dataclasses.replace(design, profile=profile_from_tables(tables, source=name))
        said = tr("The people of '{name}' are aboard.", name=name)
    elif "van" in tables:
        van = van_from_data(tables, source=name)
        hidden_by = van.stay.horizon
        van = van.model_copy(update={"stay": van.stay.model_copy(update={"horizon": None})})
        wanted = van.stay.profile.removesuffix(".toml")
        found = dataclasses.replace(design, van=van)
        said = tr("The van of '{name}' is open.", name=name)
        if wanted in shipped_profiles().values():
            found = dataclasses.replace(found, profile=shipped_profile(wanted))
        else:
            more = tr(
                "It names the people '{people}': open their file too. Until then those of "
                "'{aboard}' stay aboard.",
                people=van.stay.profile,
                aboard=design.profile.profile.name,
            )
            said += f" {more}"
        if hidden_by is not None:
            more = tr(
                "It names the horizon '{horizon}': upload that file under Where and when.",
                horizon=hidden_by,
            )
            said += f" {more}"
    else:
        raise InputError(tr("holds neither [van] nor [profile]"), source=name)
    check(found)
    return found, said


def horizon_of(name: str, content: bytes) -> Horizon:
    """Return the horizon of an uploaded file.

    Raises
    ------
    InputError
        As for `read_horizon`.
    """
    return dataclasses.replace(read_upload(read_horizon, name, content), source=name)
