"""What was refused of a tablet, and what its entries are about, for the pages where a manager looks through them."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable

MOST_SHOWN = 500
REFUSED = """
SELECT r.*, e.outcome AS since FROM refused r LEFT JOIN events e ON e.id = r.id
WHERE r.tablet = ? ORDER BY r.received_at DESC, r.at DESC LIMIT ?
"""


def refused(db: sqlite3.Connection, tablet: str) -> list[sqlite3.Row]:
    """What was refused of a tablet, newest first; `since` is the outcome when it was taken all the same later."""
    return db.execute(REFUSED, (tablet, MOST_SHOWN)).fetchall()


def answered(db: sqlite3.Connection, ids: Iterable[str]) -> set[str]:
    """Which of these events are in a chain already."""
    sql = "SELECT id FROM events WHERE id IN (SELECT value FROM json_each(?))"
    return {row["id"] for row in db.execute(sql, (json.dumps(list(ids)),))}


def brought(db: sqlite3.Connection, tablet: str) -> list[sqlite3.Row]:
    """Outbox files of a tablet that were brought in by hand, newest first, each with who brought it."""
    sql = "SELECT b.*, p.name FROM brought b JOIN people p ON p.id = b.person WHERE b.tablet = ? ORDER BY b.n DESC"
    return db.execute(sql, (tablet,)).fetchall()


def last_six(db: sqlite3.Connection, unit: str) -> str | None:
    """The last six of a unit, or None."""
    row = db.execute("SELECT last_six FROM units WHERE id = ?", (unit,)).fetchone()
    return None if row is None else str(row["last_six"])


def tag(db: sqlite3.Connection, marker: str) -> str | None:
    """The tag of a marker, or None."""
    row = db.execute("SELECT tag FROM markers WHERE id = ?", (marker,)).fetchone()
    return None if row is None else str(row["tag"])


def job(db: sqlite3.Connection, key: str) -> sqlite3.Row | None:
    """Part and method of a job, or None."""
    row: sqlite3.Row | None = db.execute("SELECT part, method, department FROM jobs WHERE id = ?", (key,)).fetchone()
    return row
