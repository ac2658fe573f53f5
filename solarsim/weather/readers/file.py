"""Weather files: one file read, its format told by content, checked, and put on hours."""

from __future__ import annotations

import codecs
import re
import stat
from pathlib import Path

from solarsim.errors import InputError, WeatherFileError
from solarsim.weather.readers.csv import CsvStatement, parse_csv
from solarsim.weather.readers.formats import FORMATS, parse_weather_text, published_format
from solarsim.weather.readers.nsrdb import is_nsrdb, parse_nsrdb
from solarsim.weather.years.series import (
    YearSeries,
    series_of,
)

__all__ = [
    "MAX_FILE_BYTES",
    "read_text_file",
    "read_weather_file",
]

MAX_FILE_BYTES = 100_000_000

# The longest headings of published files take a tenth of it.
_MOST_LINE_BYTES = 20_000

_PLAIN = {".csv", ".txt", ".tsv"}
_COMPRESSED = {b"PK\x03\x04": "zip", b"\x1f\x8b": "gzip", b"BZh": "bzip2", b"\xfd7zXZ": "xz"}


def read_weather_file(
    path: Path, statement: CsvStatement | None = None, *, repair: bool = False
) -> YearSeries:
    """Read an EPW, TMY3, TMY2, NSRDB or plain CSV file.

    EPW, TMY3 and TMY2 stamp the end of the hour; the series is labelled by its start. Readings
    taken at the stamp (temperature, humidity, wind) become the hour's mean with the reading before.
    Samples within the hour are averaged; gaps of up to three hours in CSV files are closed.

    Parameters
    ----------
    path : Path
        The file; the format is told by content.
    statement : CsvStatement, optional
        Place, clock, columns and units of a plain CSV file that does not state them itself.
    repair : bool, optional
        Whether stamps that are off by whole hours are moved and light at night is set to zero.

    Returns
    -------
    YearSeries
        Hours without gaps; whole years but for CSV files.

    Raises
    ------
    WeatherFileError
        The file cannot be read, is none of the formats, has gaps, or holds values that cannot be;
        the message names the file, the row and what is allowed.
    """
    source = str(path)
    text = read_text_file(path, kind=f"in {FORMATS}")
    try:
        if is_nsrdb(text):
            columns = parse_nsrdb(text, source=source)
        elif path.suffix.lower() in _PLAIN and published_format(text) is None:
            columns = parse_csv(text, source=source, statement=statement or CsvStatement())
        else:
            columns = parse_weather_text(text, source=source, suffix=path.suffix)
        title = f"{columns.format_name} file {path.name} ({columns.site})"
        return series_of(columns, source=source, title=title, repair=repair)
    except WeatherFileError:
        raise
    except InputError as error:
        raise WeatherFileError(error.message, source=source, field=error.field) from None


def read_text_file(path: Path, *, kind: str) -> str:
    """Return a file as text with bare newlines; `kind` says which files are meant.

    Raises
    ------
    WeatherFileError
        It cannot be read, is compressed, larger than 100 MB, no text, or holds a line that is
        longer than any table's.
    """
    source = str(path)
    try:
        found = path.stat()
        if stat.S_ISDIR(found.st_mode):
            raise WeatherFileError(f"is a folder; must be a file {kind}", source=source)
        if not stat.S_ISREG(found.st_mode):
            raise WeatherFileError(f"is no plain file; must be one {kind}", source=source)
        if found.st_size > MAX_FILE_BYTES:
            message = f"is {found.st_size / 1e6:.0f} MB; must be at most {MAX_FILE_BYTES / 1e6:g}"
            raise WeatherFileError(f"{message} MB", source=source)
        data = path.read_bytes()
    except OSError as error:
        message = f"cannot be read: {error.strerror or error}"
        raise WeatherFileError(message, source=source) from None
    except ValueError as error:
        if isinstance(error, WeatherFileError):
            raise
        raise WeatherFileError(f"is no file name: {error}", source=source) from None
    if not data.strip():
        raise WeatherFileError(f"is empty; must be a file {kind}", source=source)
    if (longest := max(map(len, re.split(rb"[\r\n]", data)))) > _MOST_LINE_BYTES:
        message = f"holds a line of {longest:,} bytes; at most {_MOST_LINE_BYTES:,} are read"
        raise WeatherFileError(message, source=source)
    for magic, name in _COMPRESSED.items():
        if data.startswith(magic):
            raise WeatherFileError(f"is compressed ({name}); unpack it first", source=source)
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        # What spreadsheets call Unicode text.
        try:
            data = data.decode("utf-16").encode()
        except UnicodeDecodeError:
            raise WeatherFileError("is cut off within a letter of UTF-16", source=source) from None
    if b"\0" in data:
        message = f"is not text in UTF-8 or Latin-1; must be a file {kind}"
        raise WeatherFileError(message, source=source)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        # Older files spell the city in Latin-1; every byte has a meaning there, and a byte that
        # does not belong into a number is found when the number is read.
        text = data.decode("latin-1")
    # Files from DOS may end with the sign Ctrl-Z.
    return text.replace("\r\n", "\n").replace("\r", "\n").rstrip("\x1a \n")
