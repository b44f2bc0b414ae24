"""Rows of readings, and what they led to."""

from __future__ import annotations

import json
import sqlite3

from inspect_app.journal.events import Stored
from inspect_app.journal.project import projects
from inspect_app.journal.store import change, put


@projects("reading_taken")
def reading_taken(db: sqlite3.Connection, event: Stored) -> None:
    """Insert the reading as it was judged."""
    body, found = event.body, event.resolved
    row = {name: found[name] for name in ("label", "part", "joint", "class", "outcome", "text", "catalogue")}
    sent = {"id": body["reading"], "what": body["what"], "beside": body.get("beside")}
    kept = {name: json.dumps(found[name], sort_keys=True) for name in ("told", "judged")}
    put(db, "readings", {**row, **sent, **kept, "unit": event.unit, "for_marker": body.get("for_marker"),
                         "person": event.person, "at": event.at, "n": event.n})  # fmt: skip


def led_to(db: sqlite3.Connection, event: Stored, what: str) -> None:
    """Note beside a reading the marker that it opened or closed."""
    reading = event.body.get("reading")
    if reading is not None:
        change(db, "readings", reading, marker=event.body["marker"], led_to=what, n=event.n)
