"""Rows of questions, photos, concessions and gates."""

from __future__ import annotations

import json
import sqlite3

from inspect_app.journal.events import Stored
from inspect_app.journal.project import projects
from inspect_app.journal.project.markers import leave_jobs
from inspect_app.journal.store import change, put


def open_question(db: sqlite3.Connection, event: Stored, text: str | None = None) -> None:
    """Ask a person about an event, by its own reason or this text; the unit cannot be signed until it is answered."""
    put(
        db,
        "questions",
        {
            "id": event.id,
            "unit": event.unit,
            "marker": event.body.get("marker"),
            "job": event.body.get("job"),
            "cause": event.type,
            "text": text or event.reason or "This arrived too late.",
            "state": "open",
            "asked_by": event.person,
            "asked_at": event.at,
            "n": event.n,
        },
    )


@projects("question_answered")
def question_answered(db: sqlite3.Connection, event: Stored) -> None:
    """Copy the answer."""
    body = event.body
    change(
        db,
        "questions",
        body["question"],
        state="answered",
        answer=body["answer"],
        answered_by=event.person,
        answered_at=event.at,
        n=event.n,
    )


@projects("photo_added")
def photo_added(db: sqlite3.Connection, event: Stored) -> None:
    """Insert the photo as awaited."""
    body = event.body
    put(
        db,
        "photos",
        {
            "id": body["photo"],
            "unit": event.unit,
            "marker": body.get("marker"),
            "job": body.get("job"),
            "concession": body.get("concession"),
            "role": body["role"],
            "state": "awaited",
            "person": event.person,
            "at": event.at,
            "n": event.n,
        },
    )


@projects("photo_stored")
def photo_stored(db: sqlite3.Connection, event: Stored) -> None:
    """Name the stored picture."""
    body = event.body
    change(db, "photos", body["photo"], state="stored", sha=body["sha"], reason=None, n=event.n)
    db.execute(
        "INSERT OR IGNORE INTO blobs (sha, bytes, width, height, n) VALUES (?, ?, ?, ?, ?)",
        (body["sha"], body["bytes"], body["width"], body["height"], event.n),
    )


@projects("photo_marked")
def photo_marked(db: sqlite3.Connection, event: Stored) -> None:
    """Note what is drawn on the photo."""
    change(db, "photos", event.body["photo"], marks=json.dumps(event.body["marks"], sort_keys=True), n=event.n)


@projects("photo_refused", "photo_removed")
def photo_gone(db: sqlite3.Connection, event: Stored) -> None:
    """Note that there is no picture, and why."""
    state = "refused" if event.type == "photo_refused" else "removed"
    change(db, "photos", event.body["photo"], state=state, reason=event.body["reason"], n=event.n)


@projects("concession_asked")
def concession_asked(db: sqlite3.Connection, event: Stored) -> None:
    """Insert the request."""
    put(
        db,
        "concessions",
        {
            "id": event.body["concession"],
            "unit": event.unit,
            "marker": event.body["marker"],
            "state": "asked",
            "asked_by": event.person,
            "asked_at": event.at,
            "approvers": "[]",
            "needed": event.resolved["needed"],
            "reason": event.private.get("reason"),
            "customer": event.private.get("customer"),
            "channel": event.private.get("channel"),
            "n": event.n,
        },
    )


@projects("concession_agreed")
def concession_agreed(db: sqlite3.Connection, event: Stored) -> None:
    """Add the name; with the last one the marker is conceded."""
    found = event.resolved
    approvers = json.dumps(found["approvers"], sort_keys=True)
    needed = {"needed": found["needed"]} if "needed" in found else {}  # earlier agreements do not say
    change(db, "concessions", event.body["concession"], approvers=approvers, **needed, n=event.n)
    if found["final"]:
        change(db, "concessions", event.body["concession"], state="agreed", decided_at=event.at, n=event.n)
        change(
            db, "markers", found["marker"], state=found["to"], decided_by=event.person, decided_at=event.at, n=event.n
        )
        leave_jobs(db, event)


@projects("concession_refused")
def concession_refused(db: sqlite3.Connection, event: Stored) -> None:
    """Note the refusal."""
    change(db, "concessions", event.body["concession"], state="refused", decided_at=event.at, n=event.n)


@projects("gate_confirmed")
def gate_confirmed(db: sqlite3.Connection, event: Stored) -> None:
    """Note who confirmed a gate and with which values, or passed over a silent tablet."""
    body, found = event.body, event.resolved
    db.execute(
        "INSERT INTO gates (unit, gate, tablet, state, person, at, note, words, n) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)"
        " ON CONFLICT (unit, gate, tablet) DO UPDATE SET state = excluded.state, person = excluded.person, at = excluded.at,"
        " note = excluded.note, words = excluded.words, n = excluded.n",
        (
            event.unit,
            body["gate"],
            body.get("tablet") or "",
            "withdrawn" if body.get("withdrawn") else "failed" if found.get("failed") else "confirmed",
            event.person,
            event.at,
            event.private.get("note") or event.private.get("reason"),
            found.get("words"),  # earlier events do not say, and most gates ask for none
            event.n,
        ),
    )
    if "words" in found:
        kept = {"gate": body["gate"], "told": json.dumps(body["values"], sort_keys=True), "words": found["words"]}
        row = {"id": event.id, "unit": event.unit, **kept, "failed": int(found["failed"])}
        put(db, "gate_checks", {**row, "person": event.person, "at": event.at, "n": event.n})
