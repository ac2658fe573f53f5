"""Arrays of numbers by their kind: the one home of these names."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

__all__ = ["BoolArray", "FloatArray", "IntArray", "IntArray32"]

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]
# Positions on a roof's grid: half the memory where a search keeps many.
IntArray32 = npt.NDArray[np.int32]
BoolArray = npt.NDArray[np.bool_]
