"""A photo of the van: checked, made small, encoded anew without what the camera wrote into it."""

from __future__ import annotations

import dataclasses
import io
from pathlib import Path

from solarsim.errors import InputError

__all__ = ["MAX_PHOTO_BYTES", "Photo", "read_photo", "take_photo"]

MAX_PHOTO_BYTES = 20_000_000
_MAX_PIXELS = 60_000_000
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
        size = path.stat().st_size
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
            # A picture beyond the limit is refused below, before it is unpacked.
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(content), formats=_FORMATS) as opened:
                width, height = opened.size
                if width * height > _MAX_PIXELS:
                    message = f"has {width} x {height} pixels; at most {_MAX_PIXELS:,} in all"
                    raise InputError(message, source=source, field="--photo")
                # Turned as the camera was held; then nothing of its notes is needed.
                upright = ImageOps.exif_transpose(opened)
                upright.thumbnail((_LONGEST_PX, _LONGEST_PX))
                plain = Image.new("RGB", upright.size, "white")
                clear = upright.convert("RGBA")
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
