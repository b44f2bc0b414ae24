"""Catalogue and outline versions by their hash; who published which catalogue, and when."""

from __future__ import annotations

import json
import sqlite3
from dataclasses import dataclass

from inspect_app.journal.events import SERVER
from inspect_app.journal.store import one, value

PUBLISHED = """
SELECT e.n, e.at, e.person, p.name, json_extract(e.body, '$.hash') AS hash, json_extract(e.body, '$.from') AS made_from, v.content AS private,
  row_number() OVER (ORDER BY e.n) AS number
FROM events e LEFT JOIN people p ON p.id = e.person LEFT JOIN private v ON v.event = e.id
WHERE e.type = 'catalogue_published' AND e.outcome = 'applied' ORDER BY e.n DESC
"""


@dataclass(frozen=True, kw_only=True)
class Published:
    """One publishing of a catalogue. `number` counts from 1; the same content may be published again later.

    `name` is who did it, None for the server itself; `at` is milliseconds UTC; `why` is what they wrote beside it.
    """

    number: int
    n: int
    at: int
    hash: str
    person: str | None
    name: str | None
    why: str


def current_catalogue(db: sqlite3.Connection) -> str:
    """The hash of the catalogue that holds now."""
    return str(value(db, "SELECT hash FROM catalogues WHERE current = 1"))


def has_catalogue(db: sqlite3.Connection, key: str) -> bool:
    """Whether a catalogue version is known."""
    return one(db, "SELECT 1 FROM catalogues WHERE hash = ?", (key,)) is not None


def has_outline(db: sqlite3.Connection, key: str) -> bool:
    """Whether an outline version is known."""
    return one(db, "SELECT 1 FROM outlines WHERE hash = ?", (key,)) is not None


def published(db: sqlite3.Connection) -> list[Published]:
    """Every publishing of a catalogue, the newest first."""
    return [_published(row) for row in db.execute(PUBLISHED)]


def _published(row: sqlite3.Row) -> Published:
    private = json.loads(row["private"]) if row["private"] else {}
    person = None if row["person"] == SERVER else row["person"]
    return Published(
        number=row["number"],
        n=row["n"],
        at=row["at"],
        hash=row["hash"],
        person=person,
        name=row["name"] if person else None,
        why=private.get("reason") or "",
    )


def plants_own(db: sqlite3.Connection) -> bool:
    """Whether a person of the plant has ever published a catalogue: from then on the server publishes none by itself."""
    sql = "SELECT 1 FROM events WHERE type = 'catalogue_published' AND outcome = 'applied' AND person <> ? LIMIT 1"
    return one(db, sql, (SERVER,)) is not None
