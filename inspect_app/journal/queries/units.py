"""Units: found by what is known of their number, and everything on one of them."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass

from inspect_app.journal.store import one, value

LAST = "\U0010ffff"  # sorts after anything a chassis number holds


@dataclass(frozen=True, kw_only=True)
class Found:
    """Units whose number holds what was typed, the likeliest first; `more` were left out."""

    rows: tuple[sqlite3.Row, ...]
    more: bool


def unit(db: sqlite3.Connection, key: str) -> sqlite3.Row | None:
    """One unit, or None."""
    return one(db, "SELECT * FROM units WHERE id = ?", (key,))


def photo(db: sqlite3.Connection, key: str) -> sqlite3.Row | None:
    """One announced photo, or None."""
    return one(db, "SELECT * FROM photos WHERE id = ?", (key,))


def asked(db: sqlite3.Connection, unit: str, question: str) -> bool:
    """Tell whether a question was asked on a unit, answered or not."""
    return one(db, "SELECT 1 FROM questions WHERE unit = ? AND id = ?", (unit, question)) is not None


def find(db: sqlite3.Connection, typed: str, limit: int = 12) -> Found:
    """Find units whose last six begin with `typed` (by index), then those that hold it anywhere in the chassis number.

    `typed` is capitals and digits. Open units come before signed ones, the newest first.
    """
    order = "ORDER BY state = 'signed', last_six, arrived_at DESC LIMIT :limit"
    begins = f"SELECT * FROM units WHERE last_six >= :typed AND last_six < :typed || '{LAST}' {order}"
    # The inner one reads the numbers in their index, and the rows of those alone that fit.
    holds = (
        "SELECT * FROM units WHERE rowid IN (SELECT rowid FROM units WHERE instr(chassis, :typed))"
        f" AND substr(last_six, 1, length(:typed)) <> :typed {order}"
    )
    asked = {"typed": typed, "limit": limit + 1}
    rows = db.execute(begins, asked).fetchall()
    if len(rows) <= limit:
        rows += db.execute(holds, {**asked, "limit": limit + 1 - len(rows)}).fetchall()
    return Found(rows=tuple(rows[:limit]), more=len(rows) > limit)


def known(db: sqlite3.Connection, plant: str, chassis: str, build_number: str) -> bool:
    """Tell whether a unit has come in before."""
    sql = "SELECT 1 FROM units WHERE plant = ? AND chassis = ? AND build_number = ?"
    return one(db, sql, (plant, chassis, build_number)) is not None


def plant_name(db: sqlite3.Connection) -> str | None:
    """What the plant of the unit that came last is called."""
    return value(db, "SELECT plant FROM units ORDER BY n DESC LIMIT 1")  # type: ignore[no-any-return]


@dataclass(frozen=True, kw_only=True)
class Card:
    """Everything on one unit, as its card shows it: rows of the projections, oldest first."""

    walks: Sequence[sqlite3.Row]
    markers: Sequence[sqlite3.Row]
    questions: Sequence[sqlite3.Row]
    concessions: Sequence[sqlite3.Row]
    sheets: Sequence[sqlite3.Row]


def card(db: sqlite3.Connection, key: str) -> Card:
    """Read everything on one unit."""

    def rows(sql: str) -> Sequence[sqlite3.Row]:
        return db.execute(sql, (key,)).fetchall()

    looks = (
        "(SELECT count(DISTINCT l.zone || l.lap) FROM looks l WHERE l.unit = w.unit AND l.walk = w.id AND l.undone = 0)"
    )
    asked = "SELECT c.*, m.tag, m.kind, m.words, m.severity FROM concessions c JOIN markers m ON m.id = c.marker"
    return Card(
        walks=rows(f"SELECT w.*, {looks} AS looks FROM walks w WHERE w.unit = ? ORDER BY w.started_at"),
        markers=rows("SELECT * FROM markers WHERE unit = ? ORDER BY made_at, tag"),
        questions=rows(
            "SELECT q.*, m.tag FROM questions q LEFT JOIN markers m ON m.id = q.marker WHERE q.unit = ? ORDER BY q.asked_at"
        ),
        concessions=rows(f"{asked} WHERE c.unit = ? ORDER BY c.asked_at"),
        sheets=rows("SELECT * FROM sheets WHERE unit = ? ORDER BY signed_at"),
    )
