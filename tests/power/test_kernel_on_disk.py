"""A compiled kernel is kept on disk under the checksum of the files that it is made of."""

from __future__ import annotations

import zlib
from pathlib import Path

from numba import types

from solarsim.power import kernel
from solarsim.power.dispatch import dispatch
from tests.power.test_dispatch import design, scenario


def test_the_signature_carries_the_checksum():
    """The signature is the key on disk, so that another checksum finds nothing and compiles."""
    dispatch(**scenario(1, runs=1), designs=[design()], start_soc=0.5, ledger_hours=24)
    folder = Path(kernel.__file__).parent
    files = [folder / name for name in ("columns.py", "kernel_hour.py", "ledger.py")]
    checksum = zlib.crc32(b"".join(path.read_bytes() for path in files))
    signatures = kernel.dispatch_kernel.signatures
    assert signatures
    assert {signature[-1] for signature in signatures} == {types.Omitted(checksum)}
