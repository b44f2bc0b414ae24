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
    "timers",
    "clusters",
)
JSON_COLUMNS = {
    "units": ("options", "absent"),
    "concessions": ("approvers",),
    "people": ("roles", "departments"),
    "photos": ("marks",),
    "clusters": ("markers", "place"),
    "readings": ("told",),
}
REOPENED = "(SELECT substr(stream, 6) FROM events WHERE n > ? AND type = 'unit_reopened')"
OPEN_UNITS = "(SELECT id FROM units WHERE state = 'open')"
# Open units on which a person may see what others marked.
SEEN_UNITS = """(SELECT id FROM units WHERE state = 'open' AND id NOT IN
  (SELECT unit FROM walks WHERE state = 'walking' AND purpose = 'second' AND person = ?))"""

# A look taken anew where work had undone one; with the voiding, for that may have come late and name an earlier time.
ANEW = "EXISTS (SELECT 1 FROM voidings v WHERE v.unit = t.unit AND v.zone = t.zone AND v.lap = t.lap AND t.at > v.at AND v.n > :since)"
LOOKS_OF_UNIT = f"SELECT * FROM looks t WHERE unit = :unit AND (n > :since OR {ANEW}) ORDER BY n"
# Of the looks that a tablet has never had only those that a page still asks about: of a walk that goes on, and those
# taken anew. One that has changed since the tablet read it comes whatever it is.
LOOKS_KEPT = f"""SELECT * FROM looks t WHERE unit IN {SEEN_UNITS.replace("?", ":person")} AND (
  (n > :since AND (:since > 0 OR walk IN (SELECT id FROM walks WHERE state = 'walking'))) OR {ANEW}
  OR (unit IN {REOPENED.replace("?", ":since")} AND {ANEW.replace(":since", "0")})) ORDER BY n"""


def blind_walk(db: sqlite3.Connection, unit: str, person: str) -> str | None:
    """The second walk a person is on at a unit: they must not see what others marked until it is finished."""
    sql = "SELECT id FROM walks WHERE unit = ? AND person = ? AND purpose = 'second' AND state = 'walking' ORDER BY started_at LIMIT 1"
    row = db.execute(sql, (unit, person)).fetchone()
    return None if row is None else str(row["id"])


def blind_walks(db: sqlite3.Connection, person: str) -> list[str]:
    """All second walks a person is on, whatever the unit, in the order they were begun."""
    sql = "SELECT id FROM walks WHERE person = ? AND purpose = 'second' AND state = 'walking' ORDER BY started_at, id"
    return [row["id"] for row in db.execute(sql, (person,))]


def of_unit(db: sqlite3.Connection, unit: str, since: int, blind: str | None = None) -> dict[str, list[dict[str, Any]]]:
    """Rows of one unit changed after `since`, and the names of people. On a blind walk only what it found itself."""
    rows = {"units": _rows(db, "units", "SELECT * FROM units WHERE id = ? AND n > ?", (unit, since))}
    for table in (one for one in UNIT_TABLES if one != "looks"):
        rows[table] = _rows(db, table, f"SELECT * FROM {table} WHERE unit = ? AND n > ? ORDER BY n", (unit, since))
    rows["looks"] = _rows(db, "looks", LOOKS_OF_UNIT, {"unit": unit, "since": since})
    _with_markers(db, rows["jobs"], "WHERE m.unit = ?", (unit,))
    if blind:
        _blindfold(db, rows, blind)
    rows["people"] = _people(db, since)
    return rows


def _blindfold(db: sqlite3.Connection, rows: dict[str, list[dict[str, Any]]], walk: str) -> None:
    own = {row["id"] for row in db.execute("SELECT id FROM markers WHERE walk = ?", (walk,))}
    rows["markers"] = [marker for marker in rows["markers"] if marker["id"] in own]
    rows["looks"] = [look for look in rows["looks"] if look["walk"] == walk]
    for table in ("job_markers", "work", "questions", "photos", "concessions"):
        rows[table] = [row for row in rows[table] if row["marker"] in own]
    rows["clusters"] = [row for row in rows["clusters"] if set(row["markers"]) <= own]
    rows["jobs"] = [job for job in rows["jobs"] if set(job["markers"]) & own]


def of_plant(db: sqlite3.Connection, since: int, person: str) -> dict[str, list[dict[str, Any]]]:
    """Rows of all open units (and of units signed meanwhile) changed after `since`; looks stay with their unit.

    A unit that was reopened comes whole: its older rows were dropped from the feed when it was signed. Of a unit on
    which the person is on a second walk only its own row comes: what others marked there is not for them to see.
    """
    units = f"SELECT * FROM units WHERE n > ? AND (state = 'open' OR {since} > 0)"
    rows = {"units": _rows(db, "units", units, (since,))}
    for table in ("markers", "jobs", "job_markers", "work", "questions", "photos", "concessions"):
        sql = f"SELECT * FROM {table} WHERE (n > ? OR unit IN {REOPENED}) AND unit IN {SEEN_UNITS} ORDER BY n"
        rows[table] = _rows(db, table, sql, (since, since, person))
    film = f"SELECT id, unit, part, for_marker, told, person, at, n FROM readings WHERE what = 'film' AND (n > ? OR unit IN {REOPENED}) AND unit IN {SEEN_UNITS}"
    rows["readings"] = _rows(db, "readings", film, (since, since, person))
    _with_markers(db, rows["jobs"], f"WHERE m.unit IN {OPEN_UNITS}", ())
    # A wait for safety concerns everybody in the hall, whatever has become of its van.
    running = f"SELECT * FROM timers WHERE n > ? AND (state = 'running' OR {since} > 0) ORDER BY n"
    rows["timers"] = _rows(db, "timers", running, (since,))
    rows["people"] = _people(db, since)
    return rows


def of_open(db: sqlite3.Connection, since: int, person: str) -> dict[str, list[dict[str, Any]]]:
    """Everything about all open units changed after `since`, as a tablet keeps it for the time without a server.

    Of looks only what a page may still ask about: half a million bytes of others would travel to every tablet. People are in the plant's feed. A unit on which the person is on a second walk is left out: what others marked there is not for them to see.
    """
    rows = {
        "units": _rows(
            db,
            "units",
            f"SELECT * FROM units WHERE (n > ? OR id IN {REOPENED}) AND id IN {SEEN_UNITS}",
            (since, since, person),
        )
    }
    for table in UNIT_TABLES:
        if table == "looks":
            rows[table] = _rows(db, table, LOOKS_KEPT, {"since": since, "person": person})
            continue
        sql = f"SELECT * FROM {table} WHERE (n > ? OR unit IN {REOPENED}) AND unit IN {SEEN_UNITS} ORDER BY n"
        rows[table] = _rows(db, table, sql, (since, since, person))
    _with_markers(db, rows["jobs"], f"WHERE m.unit IN {OPEN_UNITS}", ())
    return rows


def _rows(
    db: sqlite3.Connection, table: str, sql: str, values: tuple[Any, ...] | dict[str, Any]
) -> list[dict[str, Any]]:
    """Rows as plain JSON values. A Row looks each of its columns up by name: for fifty of them that takes ten times as long."""
    cursor = db.cursor()
    cursor.row_factory = None
    cursor.execute(sql, values)
    names = [column[0] for column in cursor.description]
    found = [dict(zip(names, row, strict=True)) for row in cursor]
    for column in JSON_COLUMNS.get(table, ()):
        for row in found:
            row[column] = json.loads(row[column])
    return found


def _with_markers(db: sqlite3.Connection, jobs: list[dict[str, Any]], clause: str, values: tuple[Any, ...]) -> None:
    if not jobs:
        return
    markers: dict[str, list[str]] = {}
    for job, marker in db.execute(f"SELECT m.job, m.marker FROM job_markers m {clause} AND m.left_out = 0", values):
        markers.setdefault(job, []).append(marker)
    for job in jobs:
        job["markers"] = markers.get(job["id"], [])


def _people(db: sqlite3.Connection, since: int) -> list[dict[str, Any]]:
    return _rows(db, "people", "SELECT id, name, roles, departments, state, n FROM people WHERE n > ?", (since,))


def newest(db: sqlite3.Connection) -> int:
    """The running number of the newest event."""
    return int(db.execute("SELECT coalesce(max(n), 0) FROM events").fetchone()[0])
