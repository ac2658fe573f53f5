"""Compiled loops: written in Python, compiled once, kept on disk, and called without the compiler.

The compiler (`solarsim.compiled.compiler`) takes half a second to load and seconds to work. What it
makes is kept as an object file, which LLVM's loader alone puts into memory in a few milliseconds.

A loop is a row of functions marked `step` below one entry function, which takes its arrays by
number::

    def entry(arrays, shapes, whole, real):
        work(row_of(arrays, shapes, 0), table_of(arrays, shapes, 1), whole[0], real[0])

    code = MachineCode("work", entry, made_of=[Path(__file__)])
    code([row, table], whole=[3], real=[0.5])

A step neither allocates nor raises: it writes into the arrays that it is given, which its caller
has checked. With ``NUMBA_DISABLE_JIT=1`` the same functions run as plain Python.
"""

from __future__ import annotations

import ctypes
import os
import sys
import threading
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, TypeVar

import numpy as np
import numpy.typing as npt

from solarsim.compiled.on_disk import code_path, keep_code, kept_code

__all__ = [
    "DIMENSIONS",
    "ENTRY",
    "STEPS",
    "MachineCode",
    "block_of",
    "numbers_of",
    "row_of",
    "step",
    "table_of",
    "target_machine",
]

# What every loop is made of, beside its own files.
_OWN_FILES = tuple(Path(__file__).with_name(name) for name in ("machine_code.py", "compiler.py"))
# Dimensions that are told of every array, and what an object file's one function is called.
DIMENSIONS = 3
ENTRY = "solarsim_entry"

_Step = TypeVar("_Step", bound=Callable[..., Any])
STEPS: set[Callable[..., Any]] = set()


def step(function: _Step) -> _Step:
    """Mark a function as part of compiled loops, into which it is inlined."""
    STEPS.add(function)
    return function


# How an entry function names its arrays; the compiler has its own for these four.


def row_of(arrays: Any, shapes: Any, number: int) -> Any:
    """Array `number` of floats, of one dimension."""
    return arrays[number]


def table_of(arrays: Any, shapes: Any, number: int) -> Any:
    """Array `number` of floats, of two dimensions."""
    return arrays[number]


def block_of(arrays: Any, shapes: Any, number: int) -> Any:
    """Array `number` of floats, of three dimensions."""
    return arrays[number]


def numbers_of(arrays: Any, shapes: Any, number: int) -> Any:
    """Array `number` of 64-bit integers, of one dimension."""
    return arrays[number]


class MachineCode:
    """A loop, called with its arrays and numbers.

    Parameters
    ----------
    name : str
        What its object file is called.
    entry : callable
        The entry function.
    made_of : sequence of Path
        All files that hold its steps and constants; their content is part of what the object file
        is known by.
    """

    def __init__(self, name: str, entry: Callable[..., None], made_of: Sequence[Path]) -> None:
        self.made_of = tuple(made_of)
        self._name, self._entry = name, entry
        self._lock = threading.Lock()
        self._loaded: Callable[..., None] | None = None

    def __call__(
        self,
        arrays: Sequence[npt.NDArray[Any]],
        whole: Sequence[int] = (),
        real: Sequence[float] = (),
    ) -> None:
        """Run the loop once; see `bound`."""
        self.bound(arrays, whole, real)()

    def bound(
        self,
        arrays: Sequence[npt.NDArray[Any]],
        whole: Sequence[int] = (),
        real: Sequence[float] = (),
    ) -> Callable[[], None]:
        """Return the loop with what it is called with; other threads run while it does.

        Parameters
        ----------
        arrays : sequence of ndarray
            C-contiguous arrays of floats or 64-bit integers, in the entry's order, of the
            dimensions that it takes them to have.
        whole, real : sequence
            Further numbers.

        Raises
        ------
        ValueError
            An array is not contiguous or holds other numbers.
        """
        if os.environ.get("NUMBA_DISABLE_JIT", "0") not in {"", "0"}:
            return lambda: self._entry(arrays, (), whole, real)
        for number, array in enumerate(arrays):
            if array.dtype not in (np.float64, np.int64) or not array.flags.c_contiguous:
                raise ValueError(
                    f"array {number}, {array.dtype}, must be contiguous 64-bit numbers"
                )
        shapes = [size for a in arrays for size in (*a.shape, *(1,) * (DIMENSIONS - a.ndim))]
        function = self._loaded or self.load()
        given = (
            (ctypes.c_int64 * len(arrays))(*(array.ctypes.data for array in arrays)),
            (ctypes.c_int64 * len(shapes))(*shapes),
            (ctypes.c_int64 * max(len(whole), 1))(*whole),
            (ctypes.c_double * max(len(real), 1))(*real),
        )

        def call(alive: object = arrays) -> None:
            function(*given)

        return call

    def load(self) -> Callable[..., None]:
        """Put the loop into memory, from disk or compiled."""
        with self._lock:
            if self._loaded is None:
                path = code_path(self._name, self._known_by())
                code = kept_code(path)
                if code is not None:
                    self._loaded = _function_of(code)
                else:
                    code = self.compiled()
                    # Kept once it has been loaded without harm.
                    self._loaded = _function_of(code)
                    keep_code(path, code)
            return self._loaded

    def compiled(self) -> bytes:
        """Compile the loop now; an object file."""
        from solarsim.compiled.compiler import object_code

        return object_code(self._entry)

    def _known_by(self) -> list[bytes]:
        return [path.read_bytes() for path in (*_OWN_FILES, *self.made_of)] + _made_with()


def _made_with() -> list[bytes]:
    """What else code depends on: Python, the compiler (not loaded for it), the processor."""
    from importlib.util import find_spec

    import llvmlite
    from llvmlite.binding import get_host_cpu_features, get_host_cpu_name, get_process_triple

    numba = find_spec("numba")
    if numba is None or numba.origin is None:
        raise ModuleNotFoundError("numba, which compiles the kernel, is not installed")
    words = (sys.version, llvmlite.__version__, get_process_triple(), get_host_cpu_name())
    return [
        *(word.encode() for word in words),
        get_host_cpu_features().flatten().encode(),
        Path(numba.origin).with_name("_version.py").read_bytes(),
    ]


# Loaders own the memory of what they have loaded.
_LOADERS: list[Any] = []


def _function_of(object_file: bytes) -> Callable[..., None]:
    """Load an object file and hand out its one function."""
    from llvmlite import binding as llvm

    machine = target_machine()
    loader = llvm.create_mcjit_compiler(llvm.parse_assembly(""), machine)
    loader.add_object_file(llvm.ObjectFileRef.from_data(object_file))
    loader.finalize_object()
    _LOADERS.append(loader)
    integers, floats = ctypes.POINTER(ctypes.c_int64), ctypes.POINTER(ctypes.c_double)
    kind = ctypes.CFUNCTYPE(None, integers, integers, integers, floats)
    return kind(loader.get_function_address(ENTRY))


def target_machine() -> Any:
    """The processor with all it can do: code is for it alone and stays where it is loaded."""
    from llvmlite import binding as llvm

    llvm.initialize_native_target()
    llvm.initialize_native_asmprinter()
    x86 = llvm.get_process_triple().startswith(("x86", "i686"))
    return llvm.Target.from_default_triple().create_target_machine(
        cpu=llvm.get_host_cpu_name(),
        features=llvm.get_host_cpu_features().flatten(),
        opt=3,
        reloc="static" if x86 else "default",
        codemodel="jitdefault",
        jit=True,
    )
