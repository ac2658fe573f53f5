"""A photo of the van: checked, made small, encoded anew without what the camera wrote into it."""

from __future__ import annotations

import contextlib
import dataclasses
import io
import stat
from pathlib import Path

from solarsim.errors import InputError

__all__ = ["MAX_PHOTO_BYTES", "Photo", "read_photo", "take_photo"]

MAX_PHOTO_BYTES = 20_000_000
_MAX_PIXELS = 60_000_000
# A JPEG is unpacked at a fraction of its size; the others whole, four bytes a pixel.
_MAX_PIXELS_WHOLE = 25_000_000
_MAX_SIDE_PX = 16_000
_FORMATS = ("JPEG", "PNG", "WEBP")
_LONGEST_PX = 900
_QUALITY = 80


@dataclasses.dataclass(frozen=True)
class Photo:
    """A JPEG without metadata."""

    jpeg: bytes
    width_px: int
    height_px: int


def read_photo(path: Path) -> Photo:
    """Read a photo's file.

    Raises
    ------
    InputError
        No such file, too large, or no picture.
    """
    try:
        found = path.stat()
        if not stat.S_ISREG(found.st_mode):
            raise InputError("is no ordinary file", source=str(path), field="--photo")
        size = found.st_size
        content = b"" if size > MAX_PHOTO_BYTES else path.read_bytes()
    except OSError as error:
        message = f"cannot be read: {error.strerror}"
        raise InputError(message, source=str(path), field="--photo") from None
    if size > MAX_PHOTO_BYTES:
        raise InputError(_too_large(size), source=str(path), field="--photo")
    return take_photo(content, source=str(path))


def take_photo(content: bytes, *, source: str) -> Photo:
    """Check a photo's bytes and encode them anew, at most 900 pixels along the longer side.

    Raises
    ------
    InputError
        Too large, no JPEG, PNG or WebP, or broken.
    """
    import warnings

    from PIL import Image, ImageOps

    if len(content) > MAX_PHOTO_BYTES:
        raise InputError(_too_large(len(content)), source=source, field="--photo")
    try:
        with warnings.catch_warnings():
            # A picture beyond the limit is refused below, before it is unpacked; damaged notes are
            # left out.
            warnings.simplefilter("ignore")
            with Image.open(io.BytesIO(content), formats=_FORMATS) as opened:
                width, height = opened.size
                most = _MAX_PIXELS if opened.format == "JPEG" else _MAX_PIXELS_WHOLE
                if width * height > most or max(width, height) > _MAX_SIDE_PX:
                    message = (
                        f"has {width} x {height} pixels; at most {most:,} in all, "
                        f"{_MAX_SIDE_PX:,} a side"
                    )
                    raise InputError(message, source=source, field="--photo")
                opened.thumbnail((_LONGEST_PX, _LONGEST_PX))
                # Turned as the camera was held; then nothing of its notes is needed. Notes that
                # are damaged say nothing of it.
                with contextlib.suppress(Exception):
                    ImageOps.exif_transpose(opened, in_place=True)
                plain = Image.new("RGB", opened.size, "white")
                clear = opened.convert("RGBA")
                plain.paste(clear, mask=clear.getchannel("A"))
    except InputError:
        raise
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        message = "is no JPEG, PNG or WebP picture that can be read"
        raise InputError(message, source=source, field="--photo") from None
    out = io.BytesIO()
    plain.save(out, "JPEG", quality=_QUALITY, optimize=True)
    return Photo(out.getvalue(), *plain.size)


def _too_large(size: int) -> str:
    return f"has {size:,} bytes; at most {MAX_PHOTO_BYTES:,}"
