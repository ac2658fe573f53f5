"""Read a pickled table without letting it run anything but numpy and pandas constructors."""

from __future__ import annotations

import io
import pickle
from typing import Any

__all__ = ["load_table"]

_ALLOWED = {
    ("builtins", "slice"),
    ("numpy", "dtype"),
    ("numpy", "ndarray"),
    ("numpy.core.multiarray", "_reconstruct"),
    ("pandas.core.frame", "DataFrame"),
    ("pandas.core.indexes.base", "Index"),
    ("pandas.core.indexes.base", "_new_Index"),
    ("pandas.core.indexes.range", "RangeIndex"),
    ("pandas.core.internals.managers", "BlockManager"),
}
# numpy 2 moved the module; the old path would warn.
_MOVED = {"numpy.core.multiarray": "numpy._core.multiarray"}


class _TableUnpickler(pickle.Unpickler):
    def find_class(self, module: str, name: str) -> Any:
        if (module, name) not in _ALLOWED:
            raise pickle.UnpicklingError(f"refused to load {module}.{name}; not a table's class")
        return super().find_class(_MOVED.get(module, module), name)


def load_table(data: bytes) -> Any:
    """Return the pandas table in `data`.

    Raises
    ------
    pickle.UnpicklingError
        The pickle asks for anything outside the short list of table classes.
    """
    return _TableUnpickler(io.BytesIO(data)).load()
