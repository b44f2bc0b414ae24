"""Open questions over all units. Whoever is on a second walk of a unit is not told what is asked about it."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence

from inspect_app.journal.store import one

# The index is named, or SQLite might take one that holds every question there ever was.
OPEN = """
FROM questions q INDEXED BY questions_open JOIN units u ON u.id = q.unit LEFT JOIN markers m ON m.id = q.marker
WHERE q.state = 'open' AND q.unit NOT IN (
  SELECT unit FROM walks WHERE state = 'walking' AND purpose = 'second' AND person = :person)
"""


def open_ones(db: sqlite3.Connection, person: str, most: int) -> Sequence[sqlite3.Row]:
    """The oldest open questions that a person may see: id, unit, text, asked_by, asked_at, cause; of the unit last_six,
    make, model, colour, colour_hex; of the mark tag, kind, words, none when it is about none.
    """
    sql = (
        "SELECT q.id, q.unit, q.text, q.asked_by, q.asked_at, q.cause, u.last_six, u.make, u.model, u.colour, u.colour_hex,"
        f" m.tag, m.kind, m.words {OPEN} ORDER BY q.asked_at, q.id LIMIT :most"
    )
    return db.execute(sql, {"person": person, "most": most}).fetchall()


def how_many(db: sqlite3.Connection, person: str) -> int:
    """How many open questions a person may see."""
    return int(db.execute(f"SELECT count(*) {OPEN}", {"person": person}).fetchone()[0])


def question(db: sqlite3.Connection, key: str) -> sqlite3.Row | None:
    """One question, answered or not, or None."""
    return one(db, "SELECT * FROM questions WHERE id = ?", (key,))
