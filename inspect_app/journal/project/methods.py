"""Rows of how a flaw is put right: what was seen of it, the method of a job, and what a manager put first."""

from __future__ import annotations

import json
import sqlite3

from inspect_app.journal.events import Stored
from inspect_app.journal.project import projects
from inspect_app.journal.project.jobs import add_markers
from inspect_app.journal.store import change, put


@projects("spot_examined")
def spot_examined(db: sqlite3.Connection, event: Stored) -> None:
    """Copy what was seen."""
    change(db, "markers", event.body["marker"], examined=json.dumps(event.resolved["seen"], sort_keys=True), n=event.n)


@projects("method_chosen")
def method_chosen(db: sqlite3.Connection, event: Stored) -> None:
    """Give a job its method, and the steps after it; or note why its barred method stays."""
    body, found = event.body, event.resolved
    reason = {"method_reason": body.get("reason"), "method_by": event.person}
    if "steps" not in found:
        change(db, "jobs", body["job"], **reason, n=event.n)
    else:
        _anew(db, event, reason)
    for marker in found["markers"]:
        change(db, "markers", marker, **reason, n=event.n)


def _anew(db: sqlite3.Connection, event: Stored, reason: dict[str, str | None]) -> None:
    body, found = event.body, event.resolved
    held = db.execute("SELECT * FROM jobs WHERE id = ?", (body["job"],)).fetchone()
    db.execute(
        "UPDATE jobs SET state = 'cancelled', n = ? WHERE chain = ? AND id <> ? AND state = 'waiting'",
        (event.n, held["chain"], held["id"]),
    )
    for step in found["steps"]:
        row = {
            "method": body["method"], "department": step["department"], "step": step["step"], "steps": len(found["steps"]),
            "text": step["text"], "minutes_planned": step["minutes"], "film": found["film"], **reason, "n": event.n,
            "along": None, "otherwise": None, "otherwise_by": None,  # they were said of the way that is given up
        }  # fmt: skip
        if step["id"] is None:
            change(db, "jobs", held["id"], **row, state=found["state"], taken_by=None, taken_at=None)
            continue
        kept = {name: held[name] for name in ("unit", "part", "chain", "attempt", "planned_at", "reason")}
        put(db, "jobs", {**kept, **row, "id": step["id"], "state": "waiting"})
        add_markers(db, event, step["id"], found["markers"])
    department = found["steps"][0]["department"]
    for marker in found["markers"]:
        change(
            db, "markers", marker, state=found["markers_to"], method=body["method"], department=department, n=event.n
        )


@projects("job_pinned")
def job_pinned(db: sqlite3.Connection, event: Stored) -> None:
    """Note who put the job first and when, or that it is first no longer."""
    pinned = event.body.get("pinned", True)
    at, by = (event.at, event.person) if pinned else (None, None)
    change(db, "jobs", event.body["job"], pinned_at=at, pinned_by=by, n=event.n)
