"""From the bytes a shop's program exports to records with line numbers, whatever the encoding, separator and quoting.

The separator is the one that makes sense of the header (units_columns.py). Guessing it from the look of the text fails
as soon as a list of options holds more commas than there are columns.
"""

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass

from inspect_app.words import gettext as _

MAX_BYTES = 20_000_000
SEPARATORS = (",", ";", "\t")
_BINARY = "\0"  # other control characters are a fault of their row: an exporting program may let one slip
_PACKED = (
    b"\x1f\x8b",
    b"BZh",
    b"\xfd7zXZ",
    b"7z\xbc\xaf",
    b"Rar!",
    b"\x28\xb5\x2f\xfd",
)  # gzip, bzip2, xz, 7z, rar, zstd
_SEP_LINE = re.compile(r"\ufeff?sep=([,;\t])\r?\n", re.IGNORECASE)  # a line some spreadsheets write before the header


class UnitsFileError(ValueError):
    """The file as a whole cannot be read; the text is one sentence for the person who chose it."""


@dataclass(frozen=True, kw_only=True)
class Record:
    """One record: the line (1 is the first) it begins on, and its cells as written."""

    line: int
    cells: tuple[str, ...]


def decoded(data: bytes) -> str:
    """Return the text of `data`: UTF-8, UTF-16 with its mark, else Windows-1252.

    Raises UnitsFileError for what is no text, naming it where that can be told.
    """
    if len(data) > MAX_BYTES:
        raise UnitsFileError(
            _("The file is larger than %(most)s MB: export fewer units at a time.", most=MAX_BYTES // 1_000_000)
        )
    if data.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0")):
        raise UnitsFileError(_("This is a spreadsheet, not a CSV file: open it and save it as CSV."))
    if data.startswith(_PACKED):
        raise UnitsFileError(_("This is a packed file, not a CSV file: unpack it first."))
    text = _first_that_fits(data).rstrip("\x1a")  # old programs end a text file with it
    if _BINARY in text:
        raise UnitsFileError(_("This is not a text file: export the units as CSV."))
    if not text.strip("\ufeff \t\r\n,;"):
        raise UnitsFileError(_("The file is empty: it needs a header line and one line for each unit."))
    return text


def _first_that_fits(data: bytes) -> str:
    utf16 = data.startswith((b"\xff\xfe", b"\xfe\xff"))
    for encoding in ("utf-16",) if utf16 else ("utf-8-sig", "cp1252"):
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise UnitsFileError(_("The file's letters cannot be read: save it as CSV in UTF-8."))


def without_separator_line(text: str) -> tuple[str, int, tuple[str, ...]]:
    """Return the text after a leading "sep=;" line, how many lines that took, and which separators to try."""
    found = _SEP_LINE.match(text)
    if found is None:
        return text, 0, SEPARATORS
    return text[found.end() :], 1, (found[1],)


def records(text: str, separator: str, *, lines_before: int = 0) -> Iterator[Record]:
    """Yield the records of `text` that are not blank.

    Raises UnitsFileError where quotation marks do not pair up: reading on would swallow rows in silence.
    """
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    while True:
        line = lines_before + reader.line_num + 1
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            raise UnitsFileError(
                _(
                    "The quotation marks in the row that begins on line %(line)s do not pair up: "
                    'close the cell with a ", and write a " inside it twice; nothing was read.',
                    line=line,
                )
            ) from error
        if any(cell.strip() for cell in cells):
            yield Record(line=line, cells=_without_empty_tail(cells))


def _without_empty_tail(cells: list[str]) -> tuple[str, ...]:
    """Spreadsheets write a separator for every column that was ever touched."""
    used = max(at for at, cell in enumerate(cells, 1) if cell.strip())
    return tuple(cells[:used])
