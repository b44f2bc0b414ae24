"""What the rates count: the units whose first walk ended in a period, and the flaws on them, grouped."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass

# Each unit once, by the walk that ended first; so a unit walked twice is in one period only. The + keeps SQLite to the
# walks of the one unit, where it would search all walks of the purpose.
UNITS = """
SELECT unit, min(finished_at) AS ended FROM walks
WHERE purpose = 'first' AND finished_at >= :start AND finished_at < :end AND state = 'finished'
  AND NOT EXISTS (SELECT 1 FROM walks b WHERE b.unit = walks.unit AND +b.purpose = 'first' AND +b.finished_at < :start)
GROUP BY unit
"""

FLAWS = f"""
SELECT m.origin, m.origin_basis AS basis, m.department, m.kind, m.class, m.severity, m.state,
  CASE WHEN m."escape" THEN 'escape' WHEN w.purpose IS NULL THEN 'none' ELSE w.purpose END AS found, m.joined_to IS NOT NULL AS joined, count(*) AS flaws
FROM ({UNITS}) u CROSS JOIN markers m ON m.unit = u.unit LEFT JOIN walks w ON w.id = m.walk
GROUP BY 1, 2, 3, 4, 5, 6, 7, 8, 9
"""


@dataclass(frozen=True, kw_only=True)
class Flaws:
    """So many flaws of one description. `found`: the purpose of the walk they were made on, `escape` or `none`."""

    origin: str
    basis: str
    department: str
    kind: str
    surface_class: str
    severity: str
    state: str
    found: str
    joined: bool
    flaws: int


def units(db: sqlite3.Connection, start: int, end: int) -> int:
    """How many units had their first walk finished from `start` to before `end` (ms)."""
    return int(db.execute(f"SELECT count(*) FROM ({UNITS})", {"start": start, "end": end}).fetchone()[0])


def flaws(db: sqlite3.Connection, start: int, end: int) -> list[Flaws]:
    """All flaws ever marked on those units, grouped by all that the rates tell apart."""
    rows = db.execute(FLAWS, {"start": start, "end": end})
    return [
        Flaws(
            origin=row["origin"],
            basis=row["basis"],
            department=row["department"],
            kind=row["kind"],
            surface_class=row["class"],
            severity=row["severity"],
            state=row["state"],
            found=row["found"],
            joined=bool(row["joined"]),
            flaws=row["flaws"],
        )
        for row in rows
    ]
