"""Readings of a unit, and those that a gate or another reading goes by."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Sequence

Rows = Sequence[sqlite3.Row]


def of_unit(db: sqlite3.Connection, unit: str) -> Rows:
    """Every reading of a unit, the newest first."""
    return db.execute("SELECT * FROM readings WHERE unit = ? ORDER BY at DESC, n DESC", (unit,)).fetchall()


def reading(db: sqlite3.Connection, key: str) -> sqlite3.Row | None:
    """One reading, or None."""
    found: sqlite3.Row | None = db.execute("SELECT * FROM readings WHERE id = ?", (key,)).fetchone()
    return found


def latest(rows: Rows) -> list[sqlite3.Row]:
    """Of the readings of a unit the newest of each place: by what was read, part or joint."""
    found: dict[tuple[str, str], sqlite3.Row] = {}
    for row in sorted(rows, key=lambda one: (one["at"], one["n"])):
        found[row["what"], row["joint"] or row["part"] or ""] = row
    return list(found.values())


def gaps_across(db: sqlite3.Connection, unit: str, joint: str | None) -> list[int] | None:
    """The gaps last read at a joint of a unit, None when nobody has."""
    if joint is None:
        return None
    sql = "SELECT told FROM readings WHERE unit = ? AND joint = ? ORDER BY at DESC, n DESC"
    for row in db.execute(sql, (unit, joint)):
        gaps: list[int] | None = json.loads(row["told"]).get("gap")
        if gaps:
            return gaps
    return None


def markers_spoken_of(db: sqlite3.Connection, unit: str, part: str, joint: str | None, kinds: Sequence[str]) -> Rows:
    """Markers that wait on a part or joint and are of kinds a reading can speak of, those that wait for a look first."""
    marks = ", ".join("?" * len(kinds))
    sql = (
        "SELECT * FROM markers WHERE unit = ? AND state IN ('open', 'in_rework', 'reworked')"
        f" AND kind IN ({marks}) AND (joint = ? OR (? IS NULL AND part = ?)) ORDER BY state <> 'reworked', made_at"
    )
    return db.execute(sql, (unit, *kinds, joint, joint, part)).fetchall()


def marker(db: sqlite3.Connection, key: str) -> sqlite3.Row | None:
    """One marker, or None."""
    found: sqlite3.Row | None = db.execute("SELECT * FROM markers WHERE id = ?", (key,)).fetchone()
    return found
