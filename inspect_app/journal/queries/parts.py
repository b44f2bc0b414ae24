"""Parts off their vans: the rack, the parts of one unit, one part with its steps, mix-ups, clips."""

from __future__ import annotations

import json
import re
import sqlite3
from collections.abc import Iterable, Sequence

from inspect_app.words import gettext as _

Rows = Sequence[sqlite3.Row]
GONE = "('refitted', 'put_back')"
WITH_UNIT = (
    "SELECT p.*, u.last_six, u.chassis, u.make, u.model, u.colour, u.colour_hex, u.due, u.state AS unit_state FROM parts p"
    " JOIN units u ON u.id = p.unit"
)


def rack(db: sqlite3.Connection) -> Rows:
    """Every part that is off its van, by due date of the van; with last_six, make, model, colour, colour_hex of the unit."""
    return db.execute(
        f"{WITH_UNIT} WHERE p.state NOT IN {GONE} ORDER BY u.due IS NULL, u.due, p.unit, p.label"
    ).fetchall()


def of_unit(db: sqlite3.Connection, unit: str) -> Rows:
    """Every part that ever came off a unit, those that still are first."""
    return db.execute(f"SELECT * FROM parts WHERE unit = ? ORDER BY state IN {GONE}, label", (unit,)).fetchall()


def part(db: sqlite3.Connection, key: str) -> sqlite3.Row | None:
    """One part with the columns of its unit that tell it, or None."""
    found: sqlite3.Row | None = db.execute(f"{WITH_UNIT} WHERE p.id = ?", (key,)).fetchone()
    return found


def tracked(db: sqlite3.Connection, unit: str, of: str) -> bool:
    """Whether this part of the outline is off this unit now."""
    sql = f"SELECT 1 FROM parts WHERE unit = ? AND part = ? AND state NOT IN {GONE}"
    return db.execute(sql, (unit, of)).fetchone() is not None


def zones_off(db: sqlite3.Connection, unit: str) -> set[str]:
    """The zones of a unit whose parts are on the rack."""
    rows = db.execute(f"SELECT zones FROM parts WHERE unit = ? AND state NOT IN {GONE}", (unit,))
    return {zone for row in rows for zone in json.loads(row["zones"])}


def steps(db: sqlite3.Connection, key: str) -> Rows:
    """What was done to a part, in its order: stage, person, at, booth, mix."""
    return db.execute("SELECT * FROM part_steps WHERE part = ? ORDER BY n", (key,)).fetchall()


def painted_of(db: sqlite3.Connection, unit: str) -> Rows:
    """The parts of a unit that came off and are painted, refitted or not."""
    sql = "SELECT * FROM parts WHERE unit = ? AND state IN ('painted', 'refitted') ORDER BY n"
    return db.execute(sql, (unit,)).fetchall()


def batch(mix: str | None) -> str:
    """A mix's number as it is compared: without case, blanks and dashes."""
    return re.sub(r"[\s\-_./]", "", mix or "").casefold()


def mixes(db: sqlite3.Connection, since: int) -> list[str]:
    """The mixes painted from since a time (ms), the newest first."""
    sql = "SELECT mix, max(at) AS last FROM part_steps WHERE mix IS NOT NULL AND at >= ? GROUP BY mix ORDER BY last DESC LIMIT 30"
    return [row["mix"] for row in db.execute(sql, (since,))]


# ------------------------------------------------------------------ labels and mix-ups


def typed_six(text: str) -> str:
    """What was typed of a last six, in capitals, without blanks."""
    return re.sub(r"\s", "", text).upper()


def ending_in(db: sqlite3.Connection, six: str) -> Rows:
    """Units that end in six characters: the open ones, or where there is none those that have left."""
    rows = db.execute(
        "SELECT * FROM units WHERE last_six = ? ORDER BY state <> 'open', arrived_at DESC", (six,)
    ).fetchall()
    return [row for row in rows if row["state"] == "open"] or rows


def van(db: sqlite3.Connection, unit: str) -> sqlite3.Row:
    """A unit by its id."""
    row: sqlite3.Row = db.execute("SELECT * FROM units WHERE id = ?", (unit,)).fetchone()
    return row


def vans(db: sqlite3.Connection, units: Iterable[str]) -> Rows:
    """Units by their ids."""
    return [van(db, unit) for unit in units]


def van_words(unit: sqlite3.Row) -> str:
    """A van in words: its last six in threes, make, model and colour."""
    six = f"{unit['last_six'][:3]} {unit['last_six'][3:]}"
    return _(
        "%(six)s, %(make)s %(model)s in %(colour)s",
        six=six,
        make=unit["make"],
        model=unit["model"],
        colour=unit["colour"],
    )


def mixups(db: sqlite3.Connection, start: int, end: int) -> Rows:
    """Mix-ups stopped from `start` to before `end` (ms), the newest first: unit, part, stage, read, person, at, label, last_six."""
    sql = (
        "SELECT m.*, p.label, u.last_six FROM mixups m JOIN parts p ON p.id = m.part JOIN units u ON u.id = m.unit"
        " WHERE m.at >= ? AND m.at < ? ORDER BY m.at DESC"
    )
    return db.execute(sql, (start, end)).fetchall()


def mixups_of(db: sqlite3.Connection, unit: str) -> int:
    """How many mix-ups were stopped at parts of a unit."""
    return int(db.execute("SELECT count(*) FROM mixups WHERE unit = ?", (unit,)).fetchone()[0])


def labels_read(db: sqlite3.Connection, start: int, end: int) -> int:
    """How many labels were read and found to be right from `start` to before `end` (ms): one a step, but for coming off."""
    sql = "SELECT count(*) FROM part_steps WHERE stage NOT IN ('off', 'put_back') AND at >= ? AND at < ?"
    return int(db.execute(sql, (start, end)).fetchone()[0])
