"""People, tablets and the server's note of failed sign-ins."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import NamedTuple

from inspect_app.journal.store import one, value


@dataclass(frozen=True, kw_only=True)
class Person:
    """Someone who signs in."""

    id: str
    name: str
    roles: tuple[str, ...]
    departments: tuple[str, ...]
    pin_hash: str
    active: bool
    language: str = ""
    formats: str = ""


def _person(row: sqlite3.Row) -> Person:
    return Person(
        id=row["id"],
        name=row["name"],
        roles=tuple(json.loads(row["roles"])),
        departments=tuple(json.loads(row["departments"])),
        pin_hash=row["pin_hash"],
        active=row["state"] == "active",
        language=row["language"],
        formats=row["formats"],
    )


def everyone(db: sqlite3.Connection, *, active: bool = True) -> list[Person]:
    """People by name; those who left only when asked for."""
    clause = "WHERE state = 'active'" if active else ""
    return [_person(row) for row in db.execute(f"SELECT * FROM people {clause} ORDER BY name")]


def person(db: sqlite3.Connection, key: str) -> Person | None:
    """One person, or None."""
    row = one(db, "SELECT * FROM people WHERE id = ?", (key,))
    return None if row is None else _person(row)


def names(db: sqlite3.Connection) -> dict[str, str]:
    """Names by id, of everyone who ever was here."""
    return {row["id"]: row["name"] for row in db.execute("SELECT id, name FROM people")} | {"server": "Lampwalk"}


def tablets(db: sqlite3.Connection) -> list[sqlite3.Row]:
    """Tablets in the order of their letters."""
    return db.execute("SELECT * FROM tablets ORDER BY length(letters), letters").fetchall()


def tablet(db: sqlite3.Connection, key: str) -> sqlite3.Row | None:
    """One tablet, or None."""
    return one(db, "SELECT * FROM tablets WHERE id = ?", (key,))


def tablet_called(db: sqlite3.Connection, name: str) -> sqlite3.Row | None:
    """The tablet of a name, or None."""
    return one(db, "SELECT * FROM tablets WHERE name = ?", (name,))


class Outside(NamedTuple):
    """The tablets that are shut out, and when (ms) each who is not here any more left, by person."""

    tablets: frozenset[str] = frozenset()
    people: Mapping[str, int] = MappingProxyType({})


def outside(db: sqlite3.Connection) -> Outside:
    """Read who and what stands outside."""
    tablets = db.execute("SELECT id FROM tablets WHERE state = 'shut_out'")
    left: dict[str, int] = {}
    for row in db.execute(LEFT):
        if row["state"] == "active":
            left.pop(row["person"], None)
        else:
            left.setdefault(row["person"], row["at"])
    return Outside(frozenset(row["id"] for row in tablets), left)


LEFT = """
SELECT p.id AS person, e.at, json_extract(e.body, '$.state') AS state
FROM events e JOIN people p ON p.id = json_extract(e.body, '$.person') AND p.state <> 'active'
WHERE e.stream = 'plant' AND e.type IN ('person_added', 'person_changed') ORDER BY e.seq
"""
LETTERS = "ABCDEFGHJKLMNPRSTUVWXYZ"  # I, O and Q are read as digits beside a number


def next_letters(db: sqlite3.Connection) -> str:
    """Letters for the next tablet: A, B … Z, AA, AB … with I, O and Q left out."""
    number = int(value(db, "SELECT count(*) FROM tablets"))
    letters = ""
    while True:
        letters = LETTERS[number % len(LETTERS)] + letters
        number = number // len(LETTERS) - 1
        if number < 0:
            return letters


def failed_tries(db: sqlite3.Connection, who: str) -> tuple[int, int]:
    """How often a PIN was wrong in a row for a person or an address, and when last (ms)."""
    row = one(db, "SELECT failed, last_at FROM tries WHERE who = ?", (who,))
    return (0, 0) if row is None else (row["failed"], row["last_at"])


def presence(db: sqlite3.Connection, tablet: str, unit: str) -> sqlite3.Row | None:
    """What was noted of a tablet that has, or had, a unit open."""
    return one(db, "SELECT opened_at, reported_at, held FROM seen_by WHERE tablet = ? AND unit = ?", (tablet, unit))
