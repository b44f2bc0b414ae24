"""Rows of walks and looks."""

from __future__ import annotations

import sqlite3

from inspect_app.journal.events import Stored
from inspect_app.journal.project import projects
from inspect_app.journal.store import change, put


@projects("walk_started")
def walk_started(db: sqlite3.Connection, event: Stored) -> None:
    """Insert the walk. The unit is drawn on what its first walk was begun on."""
    put(
        db,
        "walks",
        {
            "id": event.body["walk"],
            "unit": event.unit,
            "purpose": event.body["purpose"],
            "state": "walking",
            "person": event.person,
            "tablet": event.tablet,
            "started_at": event.at,
            "counts": int(event.resolved["counts"]),
            "n": event.n,
        },
    )
    if "outline" in event.resolved:
        change(db, "units", event.unit, outline=event.resolved["outline"], n=event.n)


@projects("walk_finished")
def walk_finished(db: sqlite3.Connection, event: Stored) -> None:
    """Close the walk and its twins."""
    for walk in event.resolved["walks"]:
        change(db, "walks", walk, state="finished", finished_at=event.at, n=event.n)


@projects("marks_released")
def marks_released(db: sqlite3.Connection, event: Stored) -> None:
    """Nothing of its own: the jobs planned by it follow as their own event."""


@projects("zone_looked")
def zone_looked(db: sqlite3.Connection, event: Stored) -> None:
    """Insert the look."""
    body, found = event.body, event.resolved
    put(
        db,
        "looks",
        {
            "id": event.id,
            "unit": event.unit,
            "walk": body["walk"],
            "purpose": found["purpose"],
            "zone": body["zone"],
            "part": found["part"],
            "lap": body["lap"],
            "person": event.person,
            "at": event.at,
            "found": body.get("found", 0),
            "voided": int(found["voided"]),
            "undone": 0,
            "counts": int(found["counts"]),
            "n": event.n,
        },
    )


@projects("look_undone")
def look_undone(db: sqlite3.Connection, event: Stored) -> None:
    """Take back the looks of this walk at this zone and lap."""
    body = event.body
    db.execute(
        "UPDATE looks SET undone = 1, n = ? WHERE walk = ? AND zone = ? AND lap = ? AND undone = 0",
        (event.n, body["walk"], body["zone"], body["lap"]),
    )
