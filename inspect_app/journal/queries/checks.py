"""What was written down at the gates of a unit, each time."""

from __future__ import annotations

import sqlite3


def of_gate(db: sqlite3.Connection, unit: str, gate: str) -> list[sqlite3.Row]:
    """Every check of one gate, the newest first: told, words, failed, person, at."""
    sql = "SELECT * FROM gate_checks WHERE unit = ? AND gate = ? ORDER BY at DESC, n DESC"
    return db.execute(sql, (unit, gate)).fetchall()


def last_held(db: sqlite3.Connection, gate: str) -> sqlite3.Row | None:
    """The newest check of a gate that held, on whichever unit; None when there is none."""
    sql = "SELECT * FROM gate_checks WHERE gate = ? AND failed = 0 ORDER BY n DESC LIMIT 1"
    found: sqlite3.Row | None = db.execute(sql, (gate,)).fetchone()
    return found
