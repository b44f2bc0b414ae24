"""Rows of jobs, the markers in them and the work logged."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from typing import Any

from inspect_app.journal.events import Stored
from inspect_app.journal.project import projects
from inspect_app.journal.project.markers import leave_jobs
from inspect_app.journal.store import change, put


@projects("job_planned")
def job_planned(db: sqlite3.Connection, event: Stored) -> None:
    """Insert chains of jobs, or add markers to a chain nobody has begun."""
    for chain in event.body["chains"]:
        if chain["joins"]:
            _join(db, event, chain)
        else:
            plant_chain(db, event, chain)
        for marker in chain["markers"]:
            change(db, "markers", marker, planned=1, n=event.n)
        for switched in chain.get("switched", ()):
            row = {"method": chain["to"], "department": chain["to_department"]}
            change(db, "markers", switched["marker"], **row, n=event.n)


def plant_chain(db: sqlite3.Connection, event: Stored, chain: dict[str, Any]) -> None:
    """Insert the jobs of a new chain, the first ready, with its markers in each."""
    for job in chain["jobs"]:
        put(
            db,
            "jobs",
            {
                "id": job["id"],
                "unit": event.unit,
                "part": chain["part"],
                "method": chain["method"],
                "department": job["department"],
                "step": job["step"],
                "steps": len(chain["jobs"]),
                "chain": chain["chain"],
                "attempt": chain["attempt"],
                "state": "ready" if job["step"] == 1 else "waiting",
                "text": job["text"],
                "minutes_planned": job["minutes"],
                "film": chain["film"],
                "planned_at": event.at,
                "reason": chain["reason"],
                "along": chain.get("along"),  # earlier plans say it in the reason
                "otherwise": chain.get("otherwise"),
                "otherwise_by": event.person if chain.get("otherwise") else None,
                "n": event.n,
            },
        )
        add_markers(db, event, job["id"], chain["markers"])


def add_markers(db: sqlite3.Connection, event: Stored, job: str, markers: Iterable[str]) -> None:
    for marker in markers:
        db.execute(
            "INSERT INTO job_markers (job, marker, unit, left_out, n) VALUES (?, ?, ?, 0, ?) ON CONFLICT (job, marker) DO UPDATE SET left_out = 0, n = excluded.n",
            (job, marker, event.unit, event.n),
        )


def _join(db: sqlite3.Connection, event: Stored, chain: dict[str, Any]) -> None:
    jobs = db.execute("SELECT id, step FROM jobs WHERE chain = ? ORDER BY step", (chain["chain"],)).fetchall()
    for job in jobs:
        extra = chain["more_minutes"][job["step"] - 1] if job["step"] <= len(chain["more_minutes"]) else 0
        db.execute(
            "UPDATE jobs SET minutes_planned = minutes_planned + ?, n = ? WHERE id = ?", (extra, event.n, job["id"])
        )
        add_markers(db, event, job["id"], chain["markers"])


@projects("job_taken")
def job_taken(db: sqlite3.Connection, event: Stored) -> None:
    """Give the job to the one who took it; its markers are in rework."""
    change(db, "jobs", event.body["job"], state="taken", taken_by=event.person, taken_at=event.at, n=event.n)
    _mark(db, event, "in_rework")


@projects("job_handed_back")
def job_handed_back(db: sqlite3.Connection, event: Stored) -> None:
    """Put the job back on its department's list."""
    change(
        db,
        "jobs",
        event.body["job"],
        state="ready",
        taken_by=None,
        taken_at=None,
        reason=event.body["reason"],
        n=event.n,
    )
    _mark(db, event, event.resolved["markers_to"])


@projects("job_rerouted")
def job_rerouted(db: sqlite3.Connection, event: Stored) -> None:
    """Move the job to another department's list."""
    body = event.body
    change(
        db,
        "jobs",
        body["job"],
        state="ready",
        department=body["department"],
        taken_by=None,
        taken_at=None,
        reason=body["reason"],
        n=event.n,
    )
    state = {"state": event.resolved["markers_to"]} if "markers_to" in event.resolved else {}
    for marker in event.resolved["markers"]:
        change(db, "markers", marker, department=body["department"], **state, n=event.n)


@projects("step_inserted")
def step_inserted(db: sqlite3.Connection, event: Stored) -> None:
    """Put a new step before this one; this one waits."""
    found, body = event.resolved, event.body
    db.execute("UPDATE jobs SET steps = ?, n = ? WHERE chain = ?", (found["steps"], event.n, found["chain"]))
    db.execute("UPDATE jobs SET step = step + 1 WHERE chain = ? AND step >= ?", (found["chain"], found["step"]))
    change(db, "jobs", body["job"], state="waiting", taken_by=None, taken_at=None, n=event.n)
    put(
        db,
        "jobs",
        {
            "id": found["job"],
            "unit": event.unit,
            "part": found["part"],
            "method": found["method"],
            "department": body["department"],
            "step": found["step"],
            "steps": found["steps"],
            "chain": found["chain"],
            "attempt": found["attempt"],
            "state": "ready",
            "text": found["text"],
            "minutes_planned": found["minutes"],
            "film": found["film"],
            "planned_at": event.at,
            "method_reason": found.get("method_reason"),  # earlier events do not say
            "reason": body["reason"],
            "n": event.n,
        },
    )
    add_markers(db, event, found["job"], found["markers"])


@projects("waiting_for")
def waiting_for(db: sqlite3.Connection, event: Stored) -> None:
    """Note what the job waits for, or that it waits no longer."""
    change(
        db,
        "jobs",
        event.body["job"],
        waiting_what=event.body.get("what") or None,
        waiting_until=event.body.get("until"),
        n=event.n,
    )


@projects("spot_not_found")
def spot_not_found(db: sqlite3.Connection, event: Stored) -> None:
    """Ask an inspector where it is; meanwhile the marker is open and in no job."""
    marker = event.body["marker"]
    put(
        db,
        "questions",
        {
            "id": event.id,
            "unit": event.unit,
            "marker": marker,
            "job": event.body["job"],
            "cause": "spot_not_found",
            "text": event.resolved["text"],
            "state": "open",
            "asked_by": event.person,
            "asked_at": event.at,
            "n": event.n,
        },
    )
    change(db, "markers", marker, state="open", planned=0, n=event.n)
    leave_jobs(db, event)


@projects("work_done")
def work_done(db: sqlite3.Connection, event: Stored) -> None:
    """Log the work on each marker, hand on to the next step or to the second look, and note which looks it undid."""
    body, found = event.body, event.resolved
    change(
        db,
        "jobs",
        body["job"],
        state="done",
        done_by=event.person,
        done_at=event.at,
        minutes=body["minutes"],
        n=event.n,
    )
    share = max(1, len(found["markers"]))
    for number, marker in enumerate(found["markers"]):
        put(
            db,
            "work",
            {
                "id": f"{event.id}.{number}",
                "unit": event.unit,
                "job": body["job"],
                "marker": marker,
                "person": event.person,
                "department": found["department"],
                "method": found["method"],
                "at": event.at,
                "minutes": body["minutes"] // share + (1 if number < body["minutes"] % share else 0),
                "film": body.get("film"),
                "clips": body.get("clips") if number == 0 else None,
                "attempt": found["attempt"],
                "n": event.n,
            },
        )
    if found["next"]:
        change(db, "jobs", found["next"]["id"], state="ready", n=event.n)
    else:
        _mark(db, event, "reworked", cure_until=found["cure_until"])
    void(db, event)


def _mark(db: sqlite3.Connection, event: Stored, state: str, **columns: Any) -> None:
    for marker in event.resolved["markers"]:
        change(db, "markers", marker, state=state, n=event.n, **columns)


def void(db: sqlite3.Connection, event: Stored) -> None:
    """Undo the looks at the zones and laps that the event names."""
    for zone, lap in event.resolved["voids"]:
        db.execute(
            "INSERT INTO voidings (unit, zone, lap, at, n) VALUES (?, ?, ?, ?, ?)"
            " ON CONFLICT (unit, zone, lap) DO UPDATE SET at = max(at, excluded.at), n = excluded.n",
            (event.unit, zone, lap, event.at, event.n),
        )
        db.execute(
            "UPDATE looks SET voided = 1, n = ? WHERE unit = ? AND zone = ? AND lap = ? AND voided = 0 AND at <= ?",
            (event.n, event.unit, zone, lap, event.at),
        )
