"""What a plan for a unit is made from, and the plans that were accepted."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable
from typing import Any

from inspect_app.journal.store import one

Rows = list[sqlite3.Row]
WORKED = (
    "EXISTS (SELECT 1 FROM job_markers l JOIN jobs j ON j.id = l.job WHERE l.marker = m.id AND l.left_out = 0"
    " AND j.attempt = m.attempt AND j.state <> 'cancelled' AND (j.state = 'taken' OR j.done_at IS NOT NULL OR j.waiting_what IS NOT NULL))"
)
TO_WORK = (
    f"SELECT m.*, {WORKED} AS begun FROM markers m WHERE m.unit = ? AND m.state IN ('open', 'in_rework') AND m.severity <> 'S5'"
    " AND m.no_flaw IS NULL AND NOT EXISTS (SELECT 1 FROM questions q WHERE q.marker = m.id AND q.state = 'open' AND q.cause = 'spot_not_found')"
    " ORDER BY m.made_at, m.id"
)


def to_work(db: sqlite3.Connection, unit: str) -> Rows:
    """The markers of a unit that are to be put right; `begun` where somebody has the work in hand or set it aside."""
    return db.execute(TO_WORK, (unit,)).fetchall()


def dense(db: sqlite3.Connection, unit: str) -> Rows:
    """What lies too close together for its part, by square or circle: part, markers (JSON), text."""
    sql = (
        "SELECT part, markers, text FROM clusters WHERE unit = ? AND gone = 0 AND outcome = 'over' AND rule IN ('square', 'circle')"
        " ORDER BY id"
    )
    return db.execute(sql, (unit,)).fetchall()


def parts_off(db: sqlite3.Connection, unit: str) -> set[str]:
    """The parts of a unit that lie on the rack."""
    sql = "SELECT part FROM parts WHERE unit = ? AND state NOT IN ('refitted', 'put_back')"
    return {row["part"] for row in db.execute(sql, (unit,))}


def walked_now(db: sqlite3.Connection, unit: str) -> bool:
    """Whether somebody is still finding flaws on a unit; a look again finds none of the plan's."""
    sql = "SELECT 1 FROM walks WHERE unit = ? AND state = 'walking' AND purpose <> 'again' LIMIT 1"
    return one(db, sql, (unit,)) is not None


def jobs_of(db: sqlite3.Connection, markers: Iterable[str]) -> dict[str, list[str]]:
    """The jobs that these markers leave when their work is planned anew, and those of them that are then empty."""
    ids = json.dumps(sorted(markers))
    sql = (
        "SELECT j.id, sum(l.marker NOT IN (SELECT value FROM json_each(:ids))) AS others FROM jobs j JOIN job_markers l ON l.job = j.id"
        " AND l.left_out = 0 WHERE j.state IN ('ready', 'waiting') AND j.id IN (SELECT job FROM job_markers WHERE left_out = 0"
        " AND marker IN (SELECT value FROM json_each(:ids))) GROUP BY j.id ORDER BY j.id"
    )
    rows = db.execute(sql, {"ids": ids}).fetchall()
    return {"jobs": [row["id"] for row in rows], "cancel": [row["id"] for row in rows if not row["others"]]}


def latest(db: sqlite3.Connection, unit: str) -> dict[str, Any] | None:
    """The plan that was accepted last for a unit, with its lists, or None."""
    row = one(db, "SELECT * FROM plans WHERE unit = ? ORDER BY n DESC LIMIT 1", (unit,))
    if row is None:
        return None
    return {**dict(row), **{name: json.loads(row[name]) for name in ("refinish", "blends", "otherwise", "markers")}}


def markers_now(db: sqlite3.Connection, unit: str) -> Rows:
    """Every marker of a unit."""
    return db.execute("SELECT * FROM markers WHERE unit = ? ORDER BY made_at, id", (unit,)).fetchall()


def to_plan(db: sqlite3.Connection) -> Rows:
    """Open units that have anything to put right, by due date, with the plan accepted last: id, last_six, planned_at."""
    sql = (
        "SELECT u.*, (SELECT max(p.at) FROM plans p WHERE p.unit = u.id) AS planned_at FROM units u"
        " WHERE u.state = 'open' AND u.open + u.in_rework > 0 ORDER BY u.due IS NULL, u.due, u.id"
    )
    return db.execute(sql).fetchall()
