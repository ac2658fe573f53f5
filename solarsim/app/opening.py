"""Van and profile files that somebody uploads."""

from __future__ import annotations

import dataclasses
import tempfile
from pathlib import Path

from solarsim.app.answering import check
from solarsim.app.design import Design, shipped_profile, shipped_profiles
from solarsim.app.link import profile_from_tables
from solarsim.errors import InputError
from solarsim.spec.read import read_toml
from solarsim.spec.van_file import van_from_data

__all__ = ["opened"]


def opened(design: Design, name: str, content: bytes) -> tuple[Design, str]:
    """Return the design with an uploaded van or profile in it, and what was done in words.

    Parameters
    ----------
    design : Design
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
    with tempfile.TemporaryDirectory(prefix="solarsim-") as folder:
        path = Path(folder) / "upload.toml"
        path.write_bytes(content)
        try:
            tables = read_toml(path)
        except InputError as error:
            raise InputError(error.message, source=name) from None
    if "profile" in tables:
        found = dataclasses.replace(design, profile=profile_from_tables(tables, source=name))
        said = f"The people of '{name}' are aboard."
    elif "van" in tables:
        van = van_from_data(tables, source=name)
        wanted = van.stay.profile.removesuffix(".toml")
        found = dataclasses.replace(design, van=van)
        said = f"The van of '{name}' is open."
        if wanted in shipped_profiles().values():
            found = dataclasses.replace(found, profile=shipped_profile(wanted))
        else:
            said += (
                f" It names the people '{van.stay.profile}': open their file too. "
                f"Until then those of '{design.profile.profile.name}' stay aboard."
            )
    else:
        raise InputError("holds neither [van] nor [profile]", source=name)
    check(found)
    return found, said
