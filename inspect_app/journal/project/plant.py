"""Rows of the plant: people, tablets, tickets, versions, settings."""

from __future__ import annotations

import json
import sqlite3

from inspect_app.journal.events import Stored
from inspect_app.journal.project import projects
from inspect_app.journal.store import change, put


@projects("person_added", "person_changed")
def person(db: sqlite3.Connection, event: Stored) -> None:
    """Insert or overwrite a person; name and PIN come from the private part."""
    body, private = event.body, event.private
    db.execute(
        "INSERT INTO people (id, name, roles, departments, pin_hash, state, n) VALUES (?, ?, ?, ?, ?, ?, ?) ON CONFLICT (id) DO UPDATE SET"
        " name = excluded.name, roles = excluded.roles, departments = excluded.departments, pin_hash = excluded.pin_hash, state = excluded.state, n = excluded.n",
        (
            body["person"],
            private["name"],
            json.dumps(body["roles"]),
            json.dumps(body["departments"]),
            private["pin_hash"],
            body["state"],
            event.n,
        ),
    )


@projects("person_preferred")
def person_preferred(db: sqlite3.Connection, event: Stored) -> None:
    """Overwrite how someone reads."""
    body = event.body
    change(db, "people", body["person"], language=body["language"], formats=body["formats"], n=event.n)


@projects("tablet_admitted")
def tablet_admitted(db: sqlite3.Connection, event: Stored) -> None:
    """Insert the tablet with its letters."""
    body = event.body
    put(
        db,
        "tablets",
        {
            "id": body["tablet"],
            "letters": event.resolved["letters"],
            "name": body.get("name"),
            "state": "admitted",
            "admitted_at": event.at,
            "n": event.n,
        },
    )


@projects("tablet_named")
def tablet_named(db: sqlite3.Connection, event: Stored) -> None:
    """Overwrite the name; an empty one takes it away."""
    change(db, "tablets", event.body["tablet"], name=event.body["name"] or None, n=event.n)


@projects("tablet_shut_out", "tablet_let_in")
def tablet_barred(db: sqlite3.Connection, event: Stored) -> None:
    """Note that a tablet stands outside, or no longer does."""
    state = "shut_out" if event.type == "tablet_shut_out" else "admitted"
    change(db, "tablets", event.body["tablet"], state=state, n=event.n)


@projects("ticket_issued")
def ticket_issued(db: sqlite3.Connection, event: Stored) -> None:
    """Note the sign-in."""
    body = event.body
    put(
        db,
        "tickets",
        {
            "id": body["ticket"],
            "person": body["person"],
            "tablet": body["tablet"],
            "roles": json.dumps(body["roles"]),
            "departments": json.dumps(body["departments"]),
            "issued_at": body["issued_at"],
            "until": body["until"],
            "n": event.n,
        },
    )


@projects("outbox_brought")
def outbox_brought(db: sqlite3.Connection, event: Stored) -> None:
    """Note who brought an outbox file in, how much of it was taken and how much of that on their word."""
    body = event.body
    row = {"id": event.id, "tablet": body["tablet"], "person": event.person, "at": event.at, "n": event.n}
    late = len(body["vouched"])
    put(db, "brought", {**row, "entries": len(body["events"]), "late": late, "reason": event.private.get("reason")})


@projects("catalogue_published", "outline_published")
def version_published(db: sqlite3.Connection, event: Stored) -> None:
    """Keep a version; it is the current one from now on, unless it is an outline of the plant's own."""
    if event.body.get("own"):
        key, content = event.body["hash"], event.body["content"]
        put(db, "outlines", {"hash": key, "content": content, "current": 0, "own": 1, "n": event.n})
        return
    table = "catalogues" if event.type == "catalogue_published" else "outlines"
    db.execute(f"UPDATE {table} SET current = 0, n = ? WHERE current = 1", (event.n,))
    db.execute(
        f"INSERT INTO {table} (hash, content, current, n) VALUES (?, ?, 1, ?) ON CONFLICT (hash) DO UPDATE SET current = 1, n = excluded.n",
        (event.body["hash"], event.body["content"], event.n),
    )


@projects("outline_retired")
def outline_retired(db: sqlite3.Connection, event: Stored) -> None:
    """Take an outline out of the choice, or offer it again; what is drawn on it stays so."""
    key, retired = event.body["outline"], event.body["retired"]
    db.execute("UPDATE outlines SET retired = ?, n = ? WHERE hash = ?", (int(retired), event.n, key))
    if retired:
        db.execute("UPDATE outlines_for SET outline = NULL, n = ? WHERE outline = ?", (event.n, key))


@projects("outline_assigned")
def outline_assigned(db: sqlite3.Connection, event: Stored) -> None:
    """Note what new units of a make and model are drawn on; NULL is the plant's current outline again."""
    body = event.body
    db.execute(
        "INSERT INTO outlines_for (key, make, model, outline, n) VALUES (?, ?, ?, ?, ?) ON CONFLICT (key) DO UPDATE SET"
        " make = excluded.make, model = excluded.model, outline = excluded.outline, n = excluded.n",
        (event.resolved["key"], body["make"], body["model"], body["outline"], event.n),
    )


@projects("setting_changed")
def setting_changed(db: sqlite3.Connection, event: Stored) -> None:
    """Overwrite a setting."""
    db.execute(
        "INSERT INTO settings (name, value, n) VALUES (?, ?, ?) ON CONFLICT (name) DO UPDATE SET value = excluded.value, n = excluded.n",
        (event.body["name"], event.body["value"], event.n),
    )


@projects("heads_anchored")
def heads_anchored(db: sqlite3.Connection, event: Stored) -> None:
    """Nothing to copy: the heads are in the chain of the plant, which is all they are for."""
