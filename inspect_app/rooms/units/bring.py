"""Units brought in from a file: the same for the command and for the page."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from inspect_app.journal import Journal
from inspect_app.journal.events import Refusal
from inspect_app.journal.folder import FolderBusy
from inspect_app.journal.queries import setup, units
from inspect_app.rooms.units.paint import colour_hex
from inspect_app.trade.units_csv import BadRow, UnitRow, UnitsFileError, bad_rows_csv, read_units
from inspect_app.trade.units_text import MAX_BYTES
from inspect_app.words import gettext as _
from inspect_app.words import ngettext

if TYPE_CHECKING:
    from inspect_app.journal.tickets import Ticket

TOLD = 10  # warnings written out; a whole list of European numbers would bury the rows that matter


@dataclass(frozen=True, kw_only=True)
class Brought:
    """What became of a file: how many units came in or were here already, the rows not taken, what to compare."""

    came: int
    here: int
    bad: tuple[BadRow, ...]
    warnings: tuple[str, ...]
    separator: str

    @property
    def sentence(self) -> str:
        """All of it in one sentence."""
        parts = [ngettext("%(n)s unit came in", "%(n)s units came in", self.came)]
        if self.here:
            parts.append(ngettext("%(n)s was here already", "%(n)s were here already", self.here))
        if self.bad:
            parts.append(ngettext("%(n)s row was not taken", "%(n)s rows were not taken", len(self.bad)))
        return ", ".join(parts) + "."

    @property
    def bad_csv(self) -> str:
        """The rows not taken with their reasons, to be mended and brought in again."""
        return bad_rows_csv(self.bad, separator=self.separator)


def bring(journal: Journal, data: bytes, ticket: Ticket | None = None) -> Brought:
    """Bring in the units of a file; those known already stay as they are.

    Raises UnitsFileError when the file as a whole is no list of units.
    """
    db = journal.read()
    file = read_units(data, tz=ZoneInfo(setup.settings(db).get("timezone", "UTC")))
    new = [row for row in file.rows if not units.known(db, row.plant, row.chassis, row.build_number)]
    answers = journal.record_import([arrival(row) for row in new], ticket)
    raced = sum(answer.code == "known_unit" for answer in answers)
    refused = next((one for one in answers if one.outcome != "applied" and one.code != "known_unit"), None)
    if refused is not None:
        raise Refusal(refused.code or "refused", refused.reason or _("The units could not be brought in."), 409)
    return Brought(
        came=len(new) - raced,
        here=len(file.rows) - len(new) + raced,
        bad=file.bad,
        warnings=tuple(
            _("line %(line)s: %(warning)s", line=row.line, warning=warning) for row in new for warning in row.warnings
        ),
        separator=file.separator,
    )


def arrival(row: UnitRow) -> dict[str, object]:
    """The body of `unit_arrived` for a row."""
    return {
        "chassis": row.chassis,
        "plant": row.plant,
        "build_number": row.build_number,
        "make": row.make,
        "model": row.model,
        "colour": row.colour,
        "colour_hex": colour_hex(row.colour),
        "finish": row.finish,
        "options": list(row.options),
        "due": row.due,
    }


def bring_file(path: Path, data_dir: Path) -> int:
    """Run `lampwalk units import`: 0 when every row is in, 1 when rows were not taken or the file is no list of units.

    Raises FolderBusy, in one sentence, while a server is running on the folder.
    """
    data = _read(path)
    if data is None:
        return 1
    try:
        with Journal(data_dir) as journal:
            brought = bring(journal, data)
    except UnitsFileError as fault:
        print(f"{path}: {fault}", file=sys.stderr)
        return 1
    except FolderBusy:
        raise FolderBusy(
            f"A Lampwalk is running on {data_dir}: bring the file in on its page under Setup, Units, or stop it first."
        ) from None
    _report(brought, path)
    return 1 if brought.bad else 0


def _read(path: Path) -> bytes | None:
    try:
        with path.open("rb") as file:
            return file.read(MAX_BYTES + 1)  # one more than is taken is enough to see that it is too much
    except OSError as fault:
        print(f"{path} cannot be read: {(fault.strerror or str(fault)).lower()}.", file=sys.stderr)
        return None


def _report(brought: Brought, path: Path) -> None:
    print(brought.sentence)
    for warning in brought.warnings[:TOLD]:
        print(f"to compare, {warning}", file=sys.stderr)
    if len(brought.warnings) > TOLD:
        print(f"and {len(brought.warnings) - TOLD} more to compare with their plates", file=sys.stderr)
    for row in brought.bad:
        print(f"line {row.line}: {row.reason}", file=sys.stderr)
    if brought.bad:
        beside = path.with_suffix(".bad.csv")
        beside.write_text(brought.bad_csv, encoding="utf-8", newline="")
        print(f"The rows not taken are in {beside}; mend them there and import that file.", file=sys.stderr)
