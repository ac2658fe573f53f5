"""Blocks that are done, kept in a folder so that an interrupted run goes on."""

from __future__ import annotations

import dataclasses
import hashlib
import io
from pathlib import Path

import numpy as np

from solarsim.answers.region.block import Block
from solarsim.errors import InputError
from solarsim.inputs.files.write import write_file

__all__ = ["KeptBlocks"]

_NAMES = tuple(field.name for field in dataclasses.fields(Block))


@dataclasses.dataclass(frozen=True)
class KeptBlocks:
    """A folder of blocks of one question, a file each.

    A file begins with the question's fingerprint and its own checksum: what is of another question
    or damaged counts as not there, and is written over.
    """

    folder: Path
    fingerprint: str

    def prepare(self) -> None:
        """Make the folder, and take out blocks of other questions.

        Raises
        ------
        InputError
            The folder cannot be made, or is a file.
        """
        try:
            self.folder.mkdir(exist_ok=True)
        except OSError as error:
            message = f"cannot be made: {error.strerror}"
            raise InputError(message, source=str(self.folder)) from None
        mine = self.fingerprint.encode()
        for path in self.folder.glob("block-*.npz"):
            with path.open("rb") as file:
                other = file.read(len(mine)) != mine
            if other:
                path.unlink(missing_ok=True)

    def read(self, number: int, cells: int) -> Block | None:
        """Return a block that is there and whole; None where it is not."""
        try:
            content = self._path(number).read_bytes()
        except OSError:
            return None
        head, body = content[:128], content[128:]
        if head != self._head(body):
            return None
        with np.load(io.BytesIO(body), allow_pickle=False) as file:
            block = Block(**{name: file[name] for name in _NAMES})
        return block if block.p50_days.shape[-1] == cells else None

    def write(self, number: int, block: Block) -> None:
        """Keep a block, whole or not at all."""
        body = io.BytesIO()
        np.savez_compressed(body, **{name: getattr(block, name) for name in _NAMES})
        content = body.getvalue()
        write_file(self._path(number), self._head(content) + content)

    def _head(self, body: bytes) -> bytes:
        return (self.fingerprint + hashlib.sha256(body).hexdigest()).encode()

    def _path(self, number: int) -> Path:
        return self.folder / f"block-{number:06d}.npz"
