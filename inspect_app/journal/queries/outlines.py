"""Outlines: every version with who made it and what is drawn on it; which one new units of a model get."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass

from inspect_app.journal.store import one, value

PUBLISHED = """
SELECT json_extract(body, '$.hash') AS hash, person, at, json_extract(body, '$.numbers') AS numbers
FROM events WHERE stream = 'plant' AND type = 'outline_published' ORDER BY n DESC
"""
LISTED = """
SELECT o.hash, o.current, o.own, o.retired, (SELECT count(*) FROM units u WHERE u.outline = o.hash) AS units
FROM outlines o ORDER BY o.retired, o.own DESC, o.current DESC, o.n DESC
"""
CHANGEABLE = """
SELECT * FROM units u WHERE state = 'open' AND markers = 0 AND outline <> ?
AND NOT EXISTS (SELECT 1 FROM walks w WHERE w.unit = u.id)
ORDER BY arrived_at DESC, id LIMIT ?
"""


@dataclass(frozen=True, kw_only=True)
class Version:
    """One outline version: its state, how many units are drawn on it, who published it and when (ms), its numbers."""

    hash: str
    current: bool
    own: bool
    retired: bool
    units: int
    person: str
    at: int
    numbers: Mapping[str, str | int] | None


def versions(db: sqlite3.Connection) -> list[Version]:
    """Every version: those in use before the retired, the plant's own before ours, the newest first."""
    made = {row["hash"]: row for row in db.execute(PUBLISHED)}  # the first publishing of each comes last, and stays
    return [
        Version(
            hash=row["hash"],
            current=bool(row["current"]),
            own=bool(row["own"]),
            retired=bool(row["retired"]),
            units=row["units"],
            person=made[row["hash"]]["person"],
            at=made[row["hash"]]["at"],
            numbers=json.loads(made[row["hash"]]["numbers"] or "null"),
        )
        for row in db.execute(LISTED)
    ]


def model_key(make: str, model: str) -> str:
    """Make and model as they are compared: without case, and with single blanks."""
    return "\n".join(" ".join(name.split()).casefold() for name in (make, model))


def for_model(db: sqlite3.Connection, make: str, model: str) -> str:
    """The hash of the outline that new units of a make and model are drawn on: their own, or the current one."""
    sql = "SELECT outline FROM outlines_for WHERE key = ? AND outline IS NOT NULL"
    own = value(db, sql, (model_key(make, model),))
    return str(own or value(db, "SELECT hash FROM outlines WHERE current = 1"))


def assigned(db: sqlite3.Connection) -> list[sqlite3.Row]:
    """Makes and models with an outline of their own: make, model, outline."""
    sql = "SELECT make, model, outline FROM outlines_for WHERE outline IS NOT NULL ORDER BY make, model"
    return db.execute(sql).fetchall()


def models(db: sqlite3.Connection) -> list[sqlite3.Row]:
    """Makes and models that have come in so far, each with how many units; the most frequent first."""
    sql = "SELECT make, model, count(*) AS units FROM units GROUP BY make, model ORDER BY units DESC, make, model"
    return db.execute(sql).fetchall()


def changeable(db: sqlite3.Connection, limit: int, key: str = "") -> list[sqlite3.Row]:
    """Open units that may still be drawn on outline `key`: on another, no walk begun, no marker made; the newest first."""
    return db.execute(CHANGEABLE, (key, limit)).fetchall()


def retired(db: sqlite3.Connection, key: str) -> bool:
    """Whether an outline version is retired; False for one this server does not know."""
    return one(db, "SELECT 1 FROM outlines WHERE hash = ? AND retired = 1", (key,)) is not None
