"""Rows of safety timers."""

from __future__ import annotations

import sqlite3

from inspect_app.journal.events import Stored
from inspect_app.journal.project import projects
from inspect_app.journal.store import change, put


@projects("timer_started")
def timer_started(db: sqlite3.Connection, event: Stored) -> None:
    """Insert the timer, running."""
    body, found = event.body, event.resolved
    told = {name: body.get(name) for name in ("caution", "place", "job", "minutes")}
    row = {"id": body["timer"], "unit": event.unit, "last_six": found["last_six"], **told, "state": "running"}
    put(
        db,
        "timers",
        {**row, "started_by": event.person, "started_at": event.at, "until": found["until"], "n": event.n},
    )


@projects("timer_ended")
def timer_ended(db: sqlite3.Connection, event: Stored) -> None:
    """Note who ended the timer; whoever looked after them changes nothing."""
    if not event.resolved["first"]:
        return
    told = {"ended_by": event.person, "ended_at": event.at, "reason": event.body.get("reason")}
    change(db, "timers", event.body["timer"], state="ended", **told, n=event.n)
