"""Where things are kept that can be made or fetched again."""

from __future__ import annotations

import os
from pathlib import Path

__all__ = ["CACHE_VARIABLE", "cache_folder"]

# Names another folder than the user's cache.
CACHE_VARIABLE = "SOLARSIM_CACHE"


def cache_folder() -> Path | None:
    """The folder named by ``SOLARSIM_CACHE``, else the user's cache; None for a user without home.

    It need not be there yet.
    """
    named = os.environ.get(CACHE_VARIABLE)
    if named:
        return Path(named).absolute()
    import platformdirs

    try:
        folder = Path(platformdirs.user_cache_dir("solarsim", False))
    except RuntimeError:
        return None
    # Some versions leave the tilde in place of a home that is not known.
    return folder if folder.is_absolute() else None
