"""The bare floors: the same bytes and the same rows without any thought given to them.

A floor writes into a database of its own with the application's schema and pragmas, beside what it is compared with.
"""

from __future__ import annotations

import json
import sqlite3
import threading
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from inspect_app.journal import store
from inspect_app.journal.schema import PROJECTIONS

Rows = Mapping[str, Sequence[tuple[Any, ...]]]
WRITTEN = ("events", "private", "streams", *PROJECTIONS)


def empty(path: Path) -> sqlite3.Connection:
    """A fresh database of the application's schema."""
    store.migrate(path)
    return store.connect(path)


def statement(db: sqlite3.Connection, table: str) -> str:
    """The insert of a whole row."""
    width = len(db.execute(f"PRAGMA table_info({table})").fetchall())
    return f"INSERT INTO {table} VALUES ({', '.join('?' * width)})"


def rows_since(db: sqlite3.Connection, n: int) -> Rows:
    """Every row that events after number `n` have written, by table."""
    clauses = {
        "private": "event IN (SELECT id FROM events WHERE n > :n)",
        "streams": "stream IN (SELECT stream FROM events WHERE n > :n)",
    }
    found = {
        table: db.execute(f"SELECT * FROM {table} WHERE {clauses.get(table, 'n > :n')}", {"n": n}).fetchall()
        for table in WRITTEN
    }
    return {table: [tuple(row) for row in rows] for table, rows in found.items() if rows}


def write(db: sqlite3.Connection, rows: Rows, statements: Mapping[str, str]) -> None:
    """Write rows of several tables in one transaction."""
    db.execute("BEGIN IMMEDIATE")
    for table, values in rows.items():
        db.executemany(statements[table], values)
    db.execute("COMMIT")


class Counter:
    """Writes each event of a sync, and the marker, look or photo in it, as the bytes say; asks nothing, checks nothing."""

    def __init__(self, path: Path):
        self._db = empty(path)
        self._lock = threading.Lock()
        self._statements = {table: statement(self._db, table) for table in ("events", "markers", "looks", "photos")}
        # What was added to a table since its row was written down here stays empty.
        self._widths = {table: text.count("?") for table, text in self._statements.items()}
        self._n = 0

    def one(self, text: str) -> None:
        """Write one row and commit."""
        with self._lock:
            self._n += 1
            self._db.execute("BEGIN IMMEDIATE")
            self._db.execute("INSERT INTO settings VALUES (?, ?, ?)", (str(self._n), text, self._n))
            self._db.execute("COMMIT")

    def many(self, events: Sequence[Mapping[str, Any]]) -> None:
        """Write a row for each event and one for what it is about, and commit."""
        with self._lock:
            rows: dict[str, list[tuple[Any, ...]]] = {"events": [self._event(event) for event in events]}
            for event in events:
                table, row = ROWS[event["type"]]
                made = row(event)
                rows.setdefault(table, []).append((*made, *(None,) * (self._widths[table] - len(made))))
            write(self._db, rows, self._statements)

    def _event(self, event: Mapping[str, Any]) -> tuple[Any, ...]:
        self._n += 1
        text = json.dumps(event["body"])
        sealed = "0" * 64
        head = (self._n, event["id"], event["stream"], self._n, event["type"], event["tablet"], event["seq"])
        times = (event["ticket"], event["tablet"], event["at"], event["offset"], event["at"])
        return (*head, *times, None, None, text, text, "applied", None, sealed, None, sealed, sealed)


def marker_row(event: Mapping[str, Any]) -> tuple[Any, ...]:
    """A row of `markers` as wide as the application writes it."""
    body, at = event["body"], event["at"]
    place = (body["view"], "left.wing", "wing_left", "A", None, body["x"], body["y"], None, None, body["spread"])
    words = "left front wing, 120 mm from its front edge, 310 mm up"
    judged = (body["size"], 1, None, 0, "S3", "paint", "assumed", None, "paint", "polish", "over", "at most 0.5 mm")
    counted = ("open", 1, 0, 0, 0, None, None, None, body["walk"], body["lap"])
    made = (event["tablet"], at, at, "2026-11-25", None, None, None, None, None, event["seq"])
    head = (body["marker"], event["stream"].removeprefix("unit:"), body["tag"], body["kind"])
    return (*head, *place, words, *judged, *counted, *made)


def look_row(event: Mapping[str, Any]) -> tuple[Any, ...]:
    """A row of `looks`."""
    body, unit = event["body"], event["stream"].removeprefix("unit:")
    head = (event["id"], unit, body["walk"], "first", body["zone"], body["zone"], body["lap"])
    return (*head, event["tablet"], event["at"], body["found"], 0, 0, 1, event["seq"])


def photo_row(event: Mapping[str, Any]) -> tuple[Any, ...]:
    """A row of `photos`."""
    body, unit = event["body"], event["stream"].removeprefix("unit:")
    head = (body["photo"], unit, body["marker"], None, None, body["role"], "awaited", None)
    return (*head, event["tablet"], event["at"], None, event["seq"], "[]")


ROWS: Mapping[str, tuple[str, Callable[[Mapping[str, Any]], tuple[Any, ...]]]] = {
    "marker_made": ("markers", marker_row),
    "zone_looked": ("looks", look_row),
    "photo_added": ("photos", photo_row),
}
