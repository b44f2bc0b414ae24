"""Units that wait for a second look, and what each waits with."""

from __future__ import annotations

import sqlite3

WAITING = """
SELECT u.*,
  (SELECT count(*) FROM markers m WHERE m.unit = u.id AND m.state = 'reworked' AND coalesce(m.cure_until, 0) > :now) AS curing,
  (SELECT max(m.cure_until) FROM markers m WHERE m.unit = u.id AND m.state = 'reworked' AND m.cure_until > :now) AS cured_at,
  (SELECT count(*) FROM markers m WHERE m.unit = u.id AND m.state IN ('open', 'in_rework') AND m.no_flaw IS NOT NULL) AS proposals,
  EXISTS (SELECT 1 FROM walks w WHERE w.unit = u.id AND w.purpose = 'again' AND w.state = 'walking') AS under_way
FROM units u
WHERE u.state = 'open'
ORDER BY u.due IS NULL, u.due, u.last_six
"""


def waiting(db: sqlite3.Connection, *, now: int) -> list[sqlite3.Row]:
    """Open units with anything to decide or to look at again, by due date. `now` (ms) tells what still cures."""
    rows = db.execute(WAITING, {"now": now}).fetchall()
    return [
        row
        for row in rows
        if row["reworked"] or row["proposals"] or row["questions"] or row["voided"] or row["under_way"]
    ]


def under_way(db: sqlite3.Connection, unit: str) -> bool:
    """Whether somebody looks for the second time at a unit now."""
    sql = "SELECT 1 FROM walks WHERE unit = ? AND purpose = 'again' AND state = 'walking' LIMIT 1"
    return db.execute(sql, (unit,)).fetchone() is not None
