"""From a loop in Python to an object file, with Numba; loaded only where nothing is kept on disk.

Arithmetic is strict IEEE but for what no finite number tells (NaN, infinity, the sign of zero), so
that a run's answer does not depend on the runs beside it.
"""

from __future__ import annotations

import re
import types
from collections.abc import Callable
from typing import Any

import numba
from numba.extending import intrinsic
from numba.np.arrayobj import make_array, populate_array

from solarsim.compiled.machine_code import (
    DIMENSIONS,
    ENTRY,
    STEPS,
    block_of,
    numbers_of,
    row_of,
    table_of,
    target_machine,
)

__all__ = ["object_code"]

_OPTIONS: dict[str, Any] = {
    # Also into Numba's own wrapper, whose way out for exceptions then falls away.
    "forceinline": True,
    "error_model": "numpy",
    "fastmath": {"nnan", "ninf", "nsz"},
    # Arrays are only borrowed: no references to them are counted (an option of Numba's own).
    "_nrt": False,
}
_INTEGERS = numba.types.CPointer(numba.types.int64)
_FLOATS = numba.types.CPointer(numba.types.float64)


def _view(kind: Any, dimensions: int) -> Any:
    """A function of arrays, shapes and a number that is this array."""
    array = numba.types.Array(kind, dimensions, "C")

    @intrinsic
    def view(typing_context: Any, arrays: Any, shapes: Any, number: Any) -> Any:
        def generate(context: Any, builder: Any, signature: Any, arguments: Any) -> Any:
            addresses, sizes, place = arguments
            item = context.get_value_type(numba.types.CPointer(kind))
            address = builder.inttoptr(builder.load(builder.gep(addresses, [place])), item)
            first = builder.mul(place, place.type(DIMENSIONS))
            places = [builder.add(first, first.type(axis)) for axis in range(dimensions)]
            shape = [builder.load(builder.gep(sizes, [each])) for each in places]
            strides = [context.get_constant(numba.types.intp, 8)]
            for size in reversed(shape[1:]):
                strides.insert(0, builder.mul(strides[0], size))
            made = make_array(array)(context, builder)
            place_array: Any = populate_array
            place_array(made, address, shape, strides, strides[-1], meminfo=None)
            return made._getvalue()

        return array(_INTEGERS, _INTEGERS, numba.types.intp), generate

    return view


def object_code(entry: Callable[..., None]) -> bytes:
    """Compile a loop for this processor.

    Parameters
    ----------
    entry : callable
        Its entry function, see `solarsim.compiled.machine_code`.

    Raises
    ------
    RuntimeError
        The code calls what only Numba's runtime has: a step allocates or raises.
    """
    from llvmlite import binding as llvm

    compiled: dict[Callable[..., Any], Any] = {
        row_of: _view(numba.types.float64, 1),
        table_of: _view(numba.types.float64, 2),
        block_of: _view(numba.types.float64, 3),
        numbers_of: _view(numba.types.int64, 1),
    }
    signature = numba.types.void(_INTEGERS, _INTEGERS, _INTEGERS, _FLOATS)
    function = numba.cfunc(signature, **_OPTIONS)(_with_compiled_parts(entry, compiled))
    text = function.inspect_llvm()
    module = llvm.parse_assembly(text)
    module.get_function(function.native_name).name = ENTRY
    outside = [f.name for f in module.functions if f.is_declaration and _is_used(f.name, text)]
    if outside:
        raise RuntimeError(f"{entry.__module__} is not free of the runtime: {', '.join(outside)}")
    return bytes(target_machine().emit_object(module))


def _is_used(name: str, text: str) -> bool:
    """Whether a function from outside is called; LLVM's own become instructions."""
    return not name.startswith("llvm.") and len(re.findall(rf"@{re.escape(name)}\b", text)) > 1


def _with_compiled_parts(function: Any, compiled: dict[Callable[..., Any], Any]) -> Any:
    """A copy of a function in which the steps that it calls are compiled ones."""
    names = dict(function.__globals__)
    for name in function.__code__.co_names:
        part = names.get(name)
        if not isinstance(part, types.FunctionType):
            continue
        if part in STEPS and part not in compiled:
            compiled[part] = numba.njit(**_OPTIONS)(_with_compiled_parts(part, compiled))
        names[name] = compiled.get(part, part)
    return types.FunctionType(function.__code__, names, function.__name__, function.__defaults__)
