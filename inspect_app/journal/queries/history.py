"""What happened to a unit: its events in the order they were done, with what was refused among them."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Collection, Sequence
from dataclasses import dataclass

Rows = Sequence[sqlite3.Row]

TOLD = """
SELECT e.n, e.id, e.type, e.tablet, e.person, e.at, e.received_at, e.body, e.resolved, e.outcome, e.reason, p.content
FROM events e LEFT JOIN private p ON p.event = e.id WHERE e.stream = :stream {events}
UNION ALL
SELECT NULL, r.id, coalesce(r.type, ''), r.tablet, r.person, coalesce(r.at, r.received_at), r.received_at, coalesce(r.body, '{{}}'), '{{}}',
  'refused', r.reason, NULL
FROM refused r WHERE r.stream = :stream {refused}
"""
OF_TYPES = "AND {table}.type IN (SELECT value FROM json_each(:types))"


@dataclass(frozen=True, kw_only=True)
class Things:
    """What the events of a unit speak of, by id: rows of the projections."""

    markers: dict[str, sqlite3.Row]
    jobs: dict[str, sqlite3.Row]
    walks: dict[str, sqlite3.Row]
    photos: dict[str, sqlite3.Row]
    concessions: dict[str, sqlite3.Row]
    questions: dict[str, sqlite3.Row]
    timers: dict[str, sqlite3.Row]
    parts: dict[str, sqlite3.Row]


def page(
    db: sqlite3.Connection,
    unit: str,
    *,
    types: Collection[str] = (),
    asked: bool = False,
    number: int | None = None,
    size: int,
) -> tuple[Rows, int, int]:
    """Read one page, oldest first: its rows, its number and the number of the last page.

    `types`: only these events, all when empty. `asked`: only what was flagged or refused. `number` counts from 1; None,
    or one too high, is the last page. Rows have n (none when refused), id, type, tablet, person, at, received_at, body,
    resolved, outcome, reason, content.
    """
    narrow = {"events": "AND e.outcome <> 'applied'" if asked else "", "refused": ""}
    if types and not asked:
        narrow = {"events": OF_TYPES.format(table="e"), "refused": OF_TYPES.format(table="r")}
    sql = TOLD.format(**narrow)
    values = {"stream": f"unit:{unit}", "types": json.dumps(sorted(types))}
    total = int(db.execute(f"SELECT count(*) FROM ({sql})", values).fetchone()[0])
    last = max(1, -(-total // size))
    shown = last if number is None else max(1, min(number, last))
    rows = db.execute(
        f"{sql} ORDER BY at, n LIMIT :size OFFSET :skip", {**values, "size": size, "skip": (shown - 1) * size}
    )
    return rows.fetchall(), shown, last


def things(db: sqlite3.Connection, unit: str) -> Things:
    """Read what the events of a unit speak of."""

    def by_id(sql: str) -> dict[str, sqlite3.Row]:
        return {row["id"]: row for row in db.execute(sql, (unit,))}

    return Things(
        markers=by_id("SELECT id, tag, kind, zone, words, part, state FROM markers WHERE unit = ?"),
        jobs=by_id("SELECT id, part, method, department, chain, step FROM jobs WHERE unit = ?"),
        walks=by_id("SELECT id, purpose FROM walks WHERE unit = ?"),
        photos=by_id("SELECT id, marker, job, concession, role, state FROM photos WHERE unit = ?"),
        concessions=by_id("SELECT id, marker FROM concessions WHERE unit = ?"),
        questions=by_id("SELECT * FROM questions WHERE unit = ?"),
        timers=by_id("SELECT id, caution, place FROM timers WHERE unit = ?"),
        parts=by_id("SELECT id, label FROM parts WHERE unit = ?"),
    )
