"""A unit on the line: the stations it has passed, the walks done there, and how its parts were painted."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence

Rows = Sequence[sqlite3.Row]


def passed(db: sqlite3.Connection, unit: str) -> Rows:
    """The stations a unit has passed: station, walk, person, at, and the purpose of the walk; in their order in time."""
    sql = (
        "SELECT s.station, s.walk, s.person, s.at, w.purpose FROM stations_passed s LEFT JOIN walks w ON w.id = s.walk"
        " WHERE s.unit = ? ORDER BY s.at"
    )
    return db.execute(sql, (unit,)).fetchall()


def finished_walks(db: sqlite3.Connection, unit: str) -> Rows:
    """The finished walks of a unit, the newest first: id, purpose, name of who walked."""
    sql = (
        "SELECT w.id, w.purpose, p.name FROM walks w LEFT JOIN people p ON p.id = w.person"
        " WHERE w.unit = ? AND w.state = 'finished' ORDER BY w.finished_at DESC"
    )
    return db.execute(sql, (unit,)).fetchall()


def painted(db: sqlite3.Connection, unit: str) -> Rows:
    """The paintings of a unit's parts, the newest first."""
    return db.execute("SELECT * FROM painted WHERE unit = ? ORDER BY at DESC, n DESC", (unit,)).fetchall()
