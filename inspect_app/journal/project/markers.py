"""Rows of markers."""

from __future__ import annotations

import sqlite3
from typing import Any

from inspect_app.journal.events import Stored
from inspect_app.journal.project import projects
from inspect_app.journal.project.readings import led_to
from inspect_app.journal.store import change, put

JUDGED = (
    "kind",
    "view",
    "zone",
    "part",
    "class",
    "joint",
    "x",
    "y",
    "x2",
    "y2",
    "spread",
    "words",
    "size",
    "count",
    "gap",
    "severity",
    "origin",
    "department",
    "method",
    "verdict",
    "limit_text",
)


@projects("marker_made")
def marker_made(db: sqlite3.Connection, event: Stored) -> None:
    """Insert the marker as it was judged."""
    body, found = event.body, event.resolved
    row: dict[str, Any] = {name: found[name] for name in JUDGED}
    row.update(
        id=body["marker"],
        unit=event.unit,
        tag=found["tag"],
        raking=int(found["raking"]),
        origin_basis="assumed",
        state="open",
        attempt=1,
        returns=0,
        escape=int(found["escape"]),
        planned=0,
        caused_by=body.get("caused_by"),
        walk=body.get("walk"),
        lap=body.get("lap"),
        made_by=event.person,
        made_at=event.at,
        received_at=event.received_at,
        plant_day=found["day"],
        note=event.private.get("note"),
        found_at=found.get("found_at"),  # earlier events do not say
        n=event.n,
    )
    put(db, "markers", row)
    led_to(db, event, "opened")


@projects("marker_amended")
def marker_amended(db: sqlite3.Connection, event: Stored) -> None:
    """Overwrite what was judged anew; a note is replaced only by a note."""
    found = event.resolved
    row = {**{name: found[name] for name in JUDGED}, "alone_verdict": None, "alone_limit": None}
    row |= {name: found.get(name) for name in ("method_reason", "method_by")}  # earlier events do not say
    if event.private.get("note") is not None:
        row["note"] = event.private["note"]
    change(db, "markers", event.body["marker"], **row, raking=int(found["raking"]), n=event.n)
    if "leave" in found:
        leave_jobs(db, event)
        change(db, "markers", event.body["marker"], planned=0, n=event.n)


@projects("marker_withdrawn", "marker_accepted", "marker_joined", "put_right_here", "no_flaw_decided")
def marker_decided(db: sqlite3.Connection, event: Stored) -> None:
    """Copy the state after; leave the jobs it was in; log an inspector's own touch as work."""
    marker, found = event.body["marker"], event.resolved
    change(
        db,
        "markers",
        marker,
        state=found["to"],
        decided_by=event.person,
        decided_at=event.at,
        no_flaw=None,
        joined_to=event.body.get("into"),
        n=event.n,
    )
    if event.type == "marker_withdrawn":
        led_to(db, event, "withdrawn")
    leave_jobs(db, event)
    if event.type == "put_right_here":
        put(
            db,
            "work",
            {
                "id": event.id,
                "unit": event.unit,
                "job": None,
                "marker": marker,
                "person": event.person,
                "department": "inspection",
                "method": "put_right_here",
                "at": event.at,
                "minutes": event.body.get("minutes", 1),
                "attempt": found["attempt"],
                "n": event.n,
            },
        )


@projects("no_flaw_proposed")
def no_flaw_proposed(db: sqlite3.Connection, event: Stored) -> None:
    """Note the proposal; the marker leaves the job until an inspector decides."""
    change(db, "markers", event.body["marker"], no_flaw=event.body["reason"], planned=0, n=event.n)
    leave_jobs(db, event)


@projects("marker_cleared")
def marker_cleared(db: sqlite3.Connection, event: Stored) -> None:
    """Copy the clearance."""
    change(
        db,
        "markers",
        event.body["marker"],
        state=event.resolved["to"],
        decided_by=event.person,
        decided_at=event.at,
        n=event.n,
    )
    led_to(db, event, "cleared")


@projects("marker_sent_back")
def marker_sent_back(db: sqlite3.Connection, event: Stored) -> None:
    """Open again: count the return, keep the reason for whoever takes it next."""
    db.execute(
        "UPDATE markers SET state = ?, attempt = ?, returns = returns + 1, planned = 0, returned_for = ?, cure_until = NULL, n = ? WHERE id = ?",
        (event.resolved["to"], event.resolved["attempt"], event.body["reason"], event.n, event.body["marker"]),
    )


@projects("origin_revised")
def origin_revised(db: sqlite3.Connection, event: Stored) -> None:
    """Copy the judged department of origin and who judged it."""
    change(
        db,
        "markers",
        event.body["marker"],
        origin=event.body["origin"],
        origin_basis="judged",
        origin_by=event.person,
        n=event.n,
    )


def leave_jobs(db: sqlite3.Connection, event: Stored) -> None:
    """Take the marker out of the jobs named in `leave`; cancel those left empty. The feed shows a job with its markers."""
    leave = event.resolved.get("leave") or {"jobs": [], "cancel": []}
    marker = event.resolved.get("marker") or event.body["marker"]
    for job in leave["jobs"]:
        db.execute("UPDATE job_markers SET left_out = 1, n = ? WHERE job = ? AND marker = ?", (event.n, job, marker))
        change(db, "jobs", job, n=event.n)
    for job in leave["cancel"]:
        change(db, "jobs", job, state="cancelled", n=event.n)
