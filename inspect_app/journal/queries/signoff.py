"""What the sign-off pages read: a unit's head, markers, questions and concessions, and the units that near their signing."""

from __future__ import annotations

import json
import sqlite3
from typing import Any

from inspect_app.journal.store import value


def head(db: sqlite3.Connection, unit: str) -> str:
    """Read the head of a unit's chain, which whoever signs must have seen."""
    return str(value(db, "SELECT head FROM streams WHERE stream = ?", (f"unit:{unit}",)) or "")


def markers(db: sqlite3.Connection, unit: str) -> list[sqlite3.Row]:
    """Read every marker of a unit in the order they were made."""
    return db.execute("SELECT * FROM markers WHERE unit = ? ORDER BY made_at, n", (unit,)).fetchall()


def questions(db: sqlite3.Connection, unit: str) -> list[sqlite3.Row]:
    """Read the questions of a unit with the tag each is about, the open ones first."""
    sql = (
        "SELECT q.*, m.tag FROM questions q LEFT JOIN markers m ON m.id = q.marker WHERE q.unit = ?"
        " ORDER BY q.state = 'answered', q.asked_at"
    )
    return db.execute(sql, (unit,)).fetchall()


CONCESSIONS = (
    "SELECT c.*, m.tag, m.kind, m.severity, m.words, m.size, m.count, m.gap, m.raking, m.limit_text, m.verdict, m.state AS marker_state,"
    " u.last_six, u.make, u.model, u.colour, u.colour_hex, u.due, u.build_number, u.state AS unit_state FROM concessions c"
    " JOIN markers m ON m.id = c.marker JOIN units u ON u.id = c.unit"
)


def _concessions(db: sqlite3.Connection, clause: str, values: tuple[Any, ...]) -> list[dict[str, Any]]:
    found = [dict(row) for row in db.execute(f"{CONCESSIONS} {clause}", values)]
    for row in found:
        row["approvers"] = json.loads(row["approvers"])
        row["photos"] = _photos(db, row)
        row["worked"] = _worked(db, row["marker"])
        row["refused"] = _refusal(db, row) if row["state"] == "refused" else None
    return found


def concessions(db: sqlite3.Connection, unit: str) -> list[dict[str, Any]]:
    """Read the concessions of a unit with their marker and photos, in the order they were asked."""
    return _concessions(db, "WHERE c.unit = ? ORDER BY c.asked_at", (unit,))


def concessions_waiting(db: sqlite3.Connection) -> list[dict[str, Any]]:
    """Read every concession that waits for an answer, the unit due first on top."""
    return _concessions(db, "WHERE c.state = 'asked' ORDER BY u.due IS NULL, u.due, c.asked_at", ())


def concessions_decided(db: sqlite3.Connection, limit: int = 20) -> list[dict[str, Any]]:
    """Read the concessions decided last."""
    found = _concessions(db, "WHERE c.state <> 'asked' ORDER BY c.n DESC LIMIT ?", (limit,))
    return sorted(found, key=lambda row: -(row["decided_at"] or 0))


def concession(db: sqlite3.Connection, key: str) -> dict[str, Any] | None:
    """Read one concession, or None."""
    found = _concessions(db, "WHERE c.id = ?", (key,))
    return found[0] if found else None


def _photos(db: sqlite3.Connection, asked: dict[str, Any]) -> list[sqlite3.Row]:
    sql = (
        "SELECT id, role, state, marks FROM photos WHERE unit = ? AND (concession = ? OR (marker = ? AND role IN ('found', 'concession')))"
        " AND state IN ('stored', 'awaited') ORDER BY at"
    )
    return db.execute(sql, (asked["unit"], asked["id"], asked["marker"])).fetchall()


def _worked(db: sqlite3.Connection, marker: str) -> set[str]:
    return {row["person"] for row in db.execute("SELECT DISTINCT person FROM work WHERE marker = ?", (marker,))}


def _refusal(db: sqlite3.Connection, asked: dict[str, Any]) -> dict[str, Any] | None:
    sql = (
        "SELECT person, at, json_extract(body, '$.reason') AS reason FROM events WHERE stream = ? AND type = 'concession_refused'"
        " AND json_extract(body, '$.concession') = ?"
    )
    row = db.execute(sql, (f"unit:{asked['unit']}", asked["id"])).fetchone()
    return dict(row) if row else None


def job_of(db: sqlite3.Connection, marker: str) -> str | None:
    """Read the job whose turn it is for a marker, or None."""
    sql = (
        "SELECT j.id FROM job_markers m JOIN jobs j ON j.id = m.job WHERE m.marker = ? AND m.left_out = 0"
        " AND j.state IN ('ready', 'taken') ORDER BY j.step LIMIT 1"
    )
    found: str | None = value(db, sql, (marker,))
    return found


def reopened(db: sqlite3.Connection, unit: str) -> list[sqlite3.Row]:
    """Read each reopening of a unit: person, at, reason."""
    sql = (
        "SELECT person, at, json_extract(body, '$.reason') AS reason FROM events WHERE stream = ? AND type = 'unit_reopened'"
        " AND outcome = 'applied' ORDER BY n"
    )
    return db.execute(sql, (f"unit:{unit}",)).fetchall()


def passed_over(db: sqlite3.Connection, unit: str) -> list[sqlite3.Row]:
    """Read the tablets that need not be waited for any more: who said so, when and why."""
    sql = (
        "SELECT g.*, t.name, t.letters FROM gates g LEFT JOIN tablets t ON t.id = g.tablet"
        " WHERE g.unit = ? AND g.tablet <> '' AND g.state = 'confirmed' ORDER BY g.at"
    )
    return db.execute(sql, (unit,)).fetchall()


def to_sign(db: sqlite3.Connection, limit: int = 40) -> list[sqlite3.Row]:
    """Read the units whose markers are all decided, the one due first on top."""
    sql = "SELECT * FROM units WHERE state = 'open' AND stage = 'to_sign' ORDER BY due IS NULL, due LIMIT ?"
    return db.execute(sql, (limit,)).fetchall()


def not_yet(db: sqlite3.Connection, limit: int = 40) -> list[sqlite3.Row]:
    """Read the units that were walked and still wait for work, a second look or an answer, the one due first on top."""
    sql = "SELECT * FROM units WHERE state = 'open' AND stage IN ('in_rework', 'to_look_again') ORDER BY due IS NULL, due LIMIT ?"
    return db.execute(sql, (limit,)).fetchall()


def not_walked(db: sqlite3.Connection) -> int:
    """Count the units that nobody has walked to the end yet."""
    return int(value(db, "SELECT count(*) FROM units WHERE state = 'open' AND stage IN ('to_walk', 'walking')"))
