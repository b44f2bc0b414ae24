"""The list of units, narrowed and searched; and what people noted on marks, found by its words."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from inspect_app.journal import sought

Rows = Sequence[sqlite3.Row]

RARE = 1000  # notes
SHOWN = {
    "open": "state = 'open'",
    "late": "state = 'open' AND due < :now",
    "to_walk": "state = 'open' AND stage = 'to_walk'",
    "walking": "state = 'open' AND stage = 'walking'",
    "in_rework": "state = 'open' AND stage = 'in_rework'",
    "to_look_again": "state = 'open' AND stage = 'to_look_again'",
    "to_sign": "state = 'open' AND stage = 'to_sign'",
    "signed": "state = 'signed'",
    "all": "1",
}
# Lists that hold every van there ever was: the newest first, by an index, so that a page of them costs the same in any year.
ORDERS = {
    "signed": ("INDEXED BY units_signed", "signed_at DESC"),
    "all": ("INDEXED BY units_arrived", "arrived_at DESC"),
}
BY_DUE = ("", "due IS NULL, due, last_six")


@dataclass(frozen=True, kw_only=True)
class Wanted:
    """Which units. `show`: a key of SHOWN. `words`: each is somewhere in number, build number, make, model or colour.

    `due_before`: due before that time (ms UTC). `undated`: without a due date. Empty says nothing.
    """

    show: str
    words: tuple[str, ...] = ()
    make: str = ""
    plant: str = ""
    due_before: int | None = None
    undated: bool = False


def page(db: sqlite3.Connection, wanted: Wanted, *, now: int, limit: int, offset: int) -> tuple[Rows, int]:
    """One page of a list of units, and how many are on all of its pages."""
    clause, values = _narrowed(wanted, now)
    index, order = ORDERS.get(wanted.show, BY_DUE)
    if wanted.words:  # each van that may hold them has to be read: once is enough
        # The open ones are few, and found by their state; of all there ever were, those the index of words names.
        asked = sought.match(db, wanted.words) if wanted.show in ORDERS else None
        source = f"units {index}" if asked is None else "units_sought f CROSS JOIN units ON id = f.key"
        clause += "" if asked is None else " AND f.text MATCH :sought"
        sql = f"SELECT id FROM {source} WHERE {clause} ORDER BY {order}"
        found = db.execute(sql, {**values, "sought": asked}).fetchall()
        ids = [row["id"] for row in found[offset : offset + limit]]
        return [db.execute("SELECT * FROM units WHERE id = ?", (key,)).fetchone() for key in ids], len(found)
    sql = f"SELECT * FROM units {index} WHERE {clause} ORDER BY {order} LIMIT :limit OFFSET :offset"
    rows = db.execute(sql, {**values, "limit": limit, "offset": offset}).fetchall()
    return rows, int(db.execute(f"SELECT count(*) FROM units WHERE {clause}", values).fetchone()[0])


def _narrowed(wanted: Wanted, now: int) -> tuple[str, dict[str, Any]]:
    clauses, values = [SHOWN[wanted.show]], {"now": now, "make": wanted.make, "plant": wanted.plant}
    # The plus keeps SQLite from reading all vans of a make there ever were where the list asks for the open ones.
    clauses += ["+make = :make"] * bool(wanted.make) + ["+plant = :plant"] * bool(wanted.plant)
    clauses += ["due IS NULL"] * wanted.undated
    if wanted.due_before is not None:
        clauses.append("due < :before")
        values["before"] = wanted.due_before
    return _with_words(clauses, values, sought.called(), wanted.words)


def _with_words(
    clauses: list[str], values: dict[str, Any], column: str, words: Sequence[str]
) -> tuple[str, dict[str, Any]]:
    for number, word in enumerate(words):
        clauses.append(f"instr({column}, :word{number})")
        values[f"word{number}"] = word.casefold()
    return " AND ".join(clauses), values


def counts(db: sqlite3.Connection, now: int) -> dict[str, int]:
    """How many units each list holds."""
    stages = db.execute("SELECT stage, count(*) FROM units WHERE state = 'open' GROUP BY stage")
    found = {str(stage): int(number) for stage, number in stages}
    found["open"] = sum(found.values())
    for show in ("late", "signed"):
        sql = f"SELECT count(*) FROM units WHERE {SHOWN[show]}"
        found[show] = int(db.execute(sql, {"now": now}).fetchone()[0])
    found["all"] = found["open"] + found["signed"]
    return found


def makes(db: sqlite3.Connection) -> list[str]:
    """The makes of all units, in order."""
    return _distinct(db, "make")


def plants(db: sqlite3.Connection) -> list[str]:
    """The plants of all units, in order."""
    return _distinct(db, "plant")


def _distinct(db: sqlite3.Connection, column: str) -> list[str]:
    """Each value of an indexed column, from one to the next in the index: a few steps, however many units there are."""
    sql = f"""
    WITH RECURSIVE found(value) AS (
      SELECT min({column}) FROM units
      UNION ALL SELECT (SELECT min({column}) FROM units WHERE {column} > value) FROM found WHERE value IS NOT NULL
    ) SELECT value FROM found WHERE value IS NOT NULL
    """
    return [row["value"] for row in db.execute(sql)]


def noted(db: sqlite3.Connection, words: Sequence[str], person: str, most: int) -> Rows:
    """Marks whose note holds each of the words, the newest first: id, unit, tag, kind, words, state, note, made_at; of the
    unit last_six, make, model. Of a unit on which the person is on a second walk there are none.
    """
    clauses = [
        "m.note IS NOT NULL",
        "m.unit NOT IN (SELECT unit FROM walks WHERE state = 'walking' AND purpose = 'second' AND person = :person)",
    ]
    clause, values = _with_words(clauses, {"person": person, "most": most}, "folded(m.note)", words)
    asked = sought.match(db, words)
    source = "markers m INDEXED BY markers_notes"
    if asked is not None and _is_rare(db, asked):
        source, values["sought"] = "notes_sought f CROSS JOIN markers m ON m.id = f.key", asked
        clause += " AND f.text MATCH :sought"
    sql = (
        "SELECT m.id, m.unit, m.tag, m.kind, m.words, m.state, m.note, m.made_at, u.last_six, u.make, u.model"
        f" FROM {source} CROSS JOIN units u ON u.id = m.unit WHERE {clause} ORDER BY m.made_at DESC LIMIT :most"
    )
    return db.execute(sql, values).fetchall()


def _is_rare(db: sqlite3.Connection, asked: str) -> bool:
    """Whether few notes may hold the words. Where many do, the newest are found sooner from note to note."""
    sql = "SELECT count(*) FROM (SELECT 1 FROM notes_sought WHERE text MATCH ? LIMIT ?)"
    return int(db.execute(sql, (asked, RARE)).fetchone()[0]) < RARE
