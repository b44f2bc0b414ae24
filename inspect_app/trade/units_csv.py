"""Units from a CSV file: good rows as data, each bad row with its line and reason, to be mended and imported again."""

import csv
import io
import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, tzinfo

from inspect_app.trade.units_columns import OURS, positions, split
from inspect_app.trade.units_row import UnitRow, faults, made, warned
from inspect_app.trade.units_text import Record, UnitsFileError, decoded
from inspect_app.words import gettext as _

__all__ = ["BadRow", "UnitRow", "UnitsFile", "UnitsFileError", "bad_rows_csv", "read_units"]

_FORMULA = re.compile(r"\s*[=+\-@\uff1d\uff0b\uff0d\uff20]|[\t\r]")  # what spreadsheets calculate: OWASP, CSV injection
# A spreadsheet that expects another separator than ours cuts a quoted cell in two wherever that stands in it.
_INSIDE = r"([,;\t\r\n][\s\"]*)%s(?=[=+\-@\uff1d\uff0b\uff0d\uff20])"
_CUT, _MENDED = re.compile(_INSIDE % ""), re.compile(_INSIDE % "'")
_BLANKS = re.compile(r"[^\S\v\f\x1c-\x1f]+")  # Python calls those blank too; they are control characters, and a fault


@dataclass(frozen=True, kw_only=True)
class BadRow:
    """A row that was not taken: the line it begins on, why, and its header and cells as they were written."""

    line: int
    reason: str
    header: tuple[str, ...]
    fields: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class UnitsFile:
    """What a file held. `separator` is the one it used, for writing its bad rows back in the same way."""

    rows: tuple[UnitRow, ...]
    bad: tuple[BadRow, ...]
    separator: str = ","


class _RowError(ValueError):
    """Why one row cannot be taken."""


def read_units(data: bytes | str, *, tz: tzinfo = UTC) -> UnitsFile:
    """Return the units in `data`; `tz` is the plant's, for due dates.

    Raises UnitsFileError, one sentence, when the file as a whole is no list of units.
    """
    separator, (header, *rest) = split(decoded(data.encode(errors="replace") if isinstance(data, str) else data))
    reading = _Reading(header.cells, tz)
    for record in rest:
        reading.take(record)
    return UnitsFile(rows=tuple(reading.rows), bad=tuple(reading.bad), separator=separator)


def bad_rows_csv(bad: Iterable[BadRow], *, separator: str = ",") -> str:
    """Return the bad rows under their own header, with the columns line and reason after them; "" when there are none.

    Cells that a spreadsheet would calculate get an apostrophe before them, which `read_units` takes off again; so does
    what would begin a cell for a spreadsheet that expects another separator. Cells beyond the header's are kept, after
    the reason.
    """
    rows = list(bad)
    if not rows:
        return ""
    header = [name for name in rows[0].header if not _ours(name)]
    out = io.StringIO()
    writer = csv.writer(out, delimiter=separator, quoting=csv.QUOTE_ALL)
    writer.writerow([*map(_harmless, header), "line", "reason"])
    for row in rows:
        own = [cell for name, cell in _named(row) if not _ours(name)]
        writer.writerow([*map(_harmless, own), row.line, _harmless(row.reason), *map(_harmless, _beyond(row))])
    return out.getvalue()


def _ours(name: str) -> bool:
    return name.strip().casefold() in OURS


def _named(row: BadRow) -> list[tuple[str, str]]:
    cells = row.fields + ("",) * (len(row.header) - len(row.fields))
    return list(zip(row.header, cells, strict=False))


def _beyond(row: BadRow) -> tuple[str, ...]:
    return row.fields[len(row.header) :]


def _harmless(cell: str) -> str:
    cell = _CUT.sub(r"\1'", cell)
    return f"'{cell}" if _FORMULA.match(cell) else cell


def _as_meant(cell: str) -> str:
    """Take off the apostrophe of `_harmless`; line breaks and double spaces inside a cell mean nothing here."""
    cell = cell[1:] if cell[:1] == "'" and _FORMULA.match(cell, 1) else cell
    return _BLANKS.sub(" ", _MENDED.sub(r"\1", cell)).strip(" ")


class _Reading:
    """The rows read so far: what makes a row a duplicate lies in the rows before it."""

    def __init__(self, header: tuple[str, ...], tz: tzinfo) -> None:
        self.header, self.at, self.tz = header, positions(header), tz
        self.rows: list[UnitRow] = []
        self.bad: list[BadRow] = []
        self._units: dict[tuple[str, str, str], int] = {}
        self._chassis: dict[str, int] = {}

    def take(self, record: Record) -> None:
        """Read one record into `rows` or `bad`."""
        try:
            row = self._unit(record)
        except _RowError as error:
            self.bad.append(BadRow(line=record.line, reason=str(error), header=self.header, fields=record.cells))
        else:
            self._units[_identity(row)] = row.line
            self._chassis.setdefault(row.chassis, row.line)
            self.rows.append(row)

    def _unit(self, record: Record) -> UnitRow:
        if len(record.cells) > len(self.header):
            raise _RowError(
                _(
                    "the row has %(cells)s cells, the header %(columns)s; put a cell that holds the separator in"
                    " quotation marks",
                    cells=len(record.cells),
                    columns=len(self.header),
                )
            )
        cells = {name: _as_meant(record.cells[at]) if at < len(record.cells) else "" for name, at in self.at.items()}
        if wrong := faults(cells, self.tz):
            raise _RowError("; ".join(wrong))
        row = made(record.line, cells, self.tz)
        first = self._units.get(_identity(row))
        if first is not None:
            raise _RowError(
                _(
                    "the same plant, chassis number and build number stand on line %(line)s already; keep one",
                    line=first,
                )
            )
        return warned(row, self._chassis.get(row.chassis))


def _identity(row: UnitRow) -> tuple[str, str, str]:
    return row.plant.casefold(), row.chassis, row.build_number.casefold()
