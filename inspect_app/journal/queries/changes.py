"""The changes feed: rows changed since a running number, of one unit or of everything that is open."""

from __future__ import annotations

import json
import sqlite3
from typing import Any

UNIT_TABLES = (
    "walks",
    "looks",
    "voidings",
    "markers",
    "jobs",
    "job_markers",
    "work",
    "questions",
    "photos",
    "concessions",
    "gates",
    "sheets",
)
JSON_COLUMNS = {"units": ("options", "absent"), "concessions": ("approvers",), "people": ("roles", "departments")}
OPEN_UNITS = "(SELECT id FROM units WHERE state = 'open')"


def shape(table: str, row: sqlite3.Row) -> dict[str, Any]:
    """Turn a row into plain JSON values."""
    found = dict(row)
    for column in JSON_COLUMNS.get(table, ()):
        found[column] = json.loads(found[column])
    return found


def of_unit(db: sqlite3.Connection, unit: str, since: int) -> dict[str, list[dict[str, Any]]]:
    """Rows of one unit changed after `since`, and the names of people."""
    rows = {"units": _rows(db, "units", "SELECT * FROM units WHERE id = ? AND n > ?", (unit, since))}
    for table in UNIT_TABLES:
        rows[table] = _rows(db, table, f"SELECT * FROM {table} WHERE unit = ? AND n > ? ORDER BY n", (unit, since))
    _with_markers(db, rows["jobs"], "WHERE m.unit = ?", (unit,))
    rows["people"] = _people(db, since)
    return rows


def of_plant(db: sqlite3.Connection, since: int) -> dict[str, list[dict[str, Any]]]:
    """Rows of all open units (and of units signed meanwhile) changed after `since`; looks stay with their unit."""
    rows = {
        "units": _rows(db, "units", f"SELECT * FROM units WHERE n > ? AND (state = 'open' OR {since} > 0)", (since,))
    }
    for table in ("markers", "jobs", "job_markers", "questions", "photos", "concessions"):
        sql = f"SELECT * FROM {table} WHERE n > ? AND unit IN {OPEN_UNITS} ORDER BY n"
        rows[table] = _rows(db, table, sql, (since,))
    _with_markers(db, rows["jobs"], f"WHERE m.unit IN {OPEN_UNITS}", ())
    rows["people"] = _people(db, since)
    return rows


def _rows(db: sqlite3.Connection, table: str, sql: str, values: tuple[Any, ...]) -> list[dict[str, Any]]:
    return [shape(table, row) for row in db.execute(sql, values)]


def _with_markers(db: sqlite3.Connection, jobs: list[dict[str, Any]], clause: str, values: tuple[Any, ...]) -> None:
    if not jobs:
        return
    markers: dict[str, list[str]] = {}
    for row in db.execute(f"SELECT m.job, m.marker FROM job_markers m {clause} AND m.left_out = 0", values):
        markers.setdefault(row["job"], []).append(row["marker"])
    for job in jobs:
        job["markers"] = markers.get(job["id"], [])


def _people(db: sqlite3.Connection, since: int) -> list[dict[str, Any]]:
    rows = db.execute("SELECT id, name, roles, departments, state, n FROM people WHERE n > ?", (since,))
    return [shape("people", row) for row in rows]


def newest(db: sqlite3.Connection) -> int:
    """The running number of the newest event."""
    return int(db.execute("SELECT coalesce(max(n), 0) FROM events").fetchone()[0])
