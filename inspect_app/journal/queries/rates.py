"""What the rates count: the units whose first walk ended in a period, and the flaws on them, grouped."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
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

# What stands as a flaw of the first walk, by where it was found and by how its part was painted last before that walk ended.
PAINTED = """SELECT q.id FROM painted q WHERE q.unit = {unit} AND q.part = {part} AND q.at <= u.ended ORDER BY q.at DESC, q.n DESC LIMIT 1"""
PLACED = f"""
SELECT m.origin, m.department, m.kind, m.class, m.part, m.found_at, p.booth, p.sprayer, count(*) AS flaws
FROM ({UNITS}) u CROSS JOIN markers m ON m.unit = u.unit JOIN walks w ON w.id = m.walk AND w.purpose = 'first'
LEFT JOIN painted p ON p.id = ({PAINTED.format(unit="m.unit", part="m.part")})
WHERE NOT m."escape" AND m.joined_to IS NULL AND m.severity <> 'S5' AND m.state NOT IN ('withdrawn', 'no_flaw')
GROUP BY 1, 2, 3, 4, 5, 6, 7, 8
"""
# The vans, one by one, with who walked each and the same flaws as above, narrowed to some keys.
NARROWED = ("origin", "department", "kind", "class")
WALKED = """
SELECT u.unit, u.ended, v.make, min(w.person) AS person, p.name,
  (SELECT count(*) FROM markers m JOIN walks f ON f.id = m.walk AND f.purpose = 'first'
   WHERE m.unit = u.unit AND NOT m."escape" AND m.joined_to IS NULL AND m.severity <> 'S5'
     AND m.state NOT IN ('withdrawn', 'no_flaw'){narrow}) AS flaws
FROM ({units}) u CROSS JOIN units v ON v.id = u.unit
JOIN walks w ON w.unit = u.unit AND +w.purpose = 'first' AND +w.finished_at = u.ended LEFT JOIN people p ON p.id = w.person
GROUP BY u.unit
"""
PAINTINGS = f"""
SELECT p.booth, p.sprayer, s.name, count(*) AS parts FROM ({UNITS}) u CROSS JOIN painted p ON p.unit = u.unit
LEFT JOIN people s ON s.id = p.sprayer WHERE p.id = ({PAINTED.format(unit="p.unit", part="p.part")}) GROUP BY 1, 2, 3
"""
GAPS = """
SELECT v.make, m.joint, m.gap, m.made_at FROM ({units}) u CROSS JOIN units v ON v.id = u.unit
CROSS JOIN markers m ON m.unit = u.unit JOIN walks w ON w.id = m.walk AND w.purpose = 'first'
WHERE m.gap IS NOT NULL AND m.joint IS NOT NULL AND NOT m."escape" AND m.joined_to IS NULL AND m.severity <> 'S5'
  AND m.state NOT IN ('withdrawn', 'no_flaw'){narrow}
"""
PASSED = f"""
SELECT u.unit, s.station FROM ({UNITS}) u CROSS JOIN stations_passed s ON s.unit = u.unit WHERE s.at <= u.ended
"""


def placed(db: sqlite3.Connection, start: int, end: int) -> list[sqlite3.Row]:
    """The flaws that count, grouped: origin, department, kind, class, part, found_at, booth, sprayer, flaws."""
    return db.execute(PLACED, {"start": start, "end": end}).fetchall()


def walked(db: sqlite3.Connection, start: int, end: int, only: Mapping[str, str]) -> list[sqlite3.Row]:
    """Each of those units: when its first walk ended (ms), make, who walked it, and its flaws of the keys in `only`."""
    return _narrowed(db, WALKED, {"start": start, "end": end}, only)


def gaps(db: sqlite3.Connection, start: int, end: int, only: Mapping[str, str]) -> list[sqlite3.Row]:
    """Each measured gap among those flaws: make, joint, gap (tenths of mm), made_at (ms)."""
    return _narrowed(db, GAPS, {"start": start, "end": end}, only)


def _narrowed(db: sqlite3.Connection, sql: str, told: dict[str, object], only: Mapping[str, str]) -> list[sqlite3.Row]:
    keys = {one: key for one, key in only.items() if one in NARROWED}
    narrow = "".join(f" AND m.{one} = :{one}" for one in keys)
    return db.execute(sql.format(units=UNITS, narrow=narrow), {**told, **keys}).fetchall()


def paintings(db: sqlite3.Connection, start: int, end: int) -> list[sqlite3.Row]:
    """How many parts of those units came last out of which booth, by whom, before their first walk ended."""
    return db.execute(PAINTINGS, {"start": start, "end": end}).fetchall()


def passed(db: sqlite3.Connection, start: int, end: int) -> dict[str, set[str]]:
    """The stations each of those units had passed when its first walk ended; a unit without any is not named."""
    found: dict[str, set[str]] = {}
    for row in db.execute(PASSED, {"start": start, "end": end}):
        found.setdefault(row["unit"], set()).add(row["station"])
    return found


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
