"""What stands on the floor now: the open units, and what waits on them for whom."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from inspect_app.trade.repair_cover import PAINTS, RENEWING

MOST_UNITS = 200  # open at one time; a plant of the size we build for has some dozens
Rows = Sequence[sqlite3.Row]


@dataclass(frozen=True, kw_only=True)
class Standing:
    """The open units by due date, and by unit what waits: each row names its unit."""

    units: Rows
    left_out: int
    walks: Rows  # under way: unit, person, name, purpose, started_at
    rings: Rows  # reworked: unit, rings, curing, cure_until, own (rings this person worked on)
    jobs: Rows  # unit, department, state, taken_by, waiting_what, waiting_until, jobs, minutes, job, taken_at, covered (by a refinish of its part)
    questions: Rows  # open: unit, questions, text of the oldest
    no_flaws: Rows  # unit, markers proposed as no flaw
    concessions: Rows  # asked: unit, id, tag, asked_by, approvers, needed
    sheets: Rows  # signed for and not made: unit, revision, signed_at
    signed: Rows  # units signed since a time, the newest first
    elsewhere: Rows  # units that are not open and have questions or sheets to see to


def standing(db: sqlite3.Connection, person: str, *, now: int, since: int, covered: Sequence[str]) -> Standing:
    """Read the floor as one person meets it.

    `since` (ms): from when on signed units are listed; `covered`: the jobs that a refinish of their part makes needless.
    """
    units = _rows(
        db, "SELECT * FROM units WHERE state = 'open' ORDER BY due IS NULL, due, last_six LIMIT ?", MOST_UNITS
    )
    opened = int(db.execute("SELECT count(*) FROM units WHERE state = 'open'").fetchone()[0])
    return Standing(
        units=units,
        left_out=opened - len(units),
        walks=_rows(db, WALKS),
        rings=_rows(db, RINGS, now, now, person),
        jobs=_rows(db, JOBS, json.dumps(covered)),
        questions=_rows(db, QUESTIONS),
        no_flaws=_rows(db, NO_FLAWS),
        concessions=_rows(db, CONCESSIONS),
        sheets=_rows(db, SHEETS),
        signed=_rows(db, SIGNED, since),
        elsewhere=_rows(db, ELSEWHERE),
    )


def under_paint(db: sqlite3.Connection, spared: Mapping[str, Sequence[str]]) -> Rows:
    """Read the jobs free to take that a refinish of their part would paint over, but for what a person has put first or chosen.

    `spared`: by kind, what a refinish of the part makes needless. Each row is a marker with its `job` and the outline
    of its unit as `drawn`. Whether its facts let a new film go over it, the rules say: `journal/covered.py`.
    """
    pairs = json.dumps([f"{kind} {method}" for kind, methods in spared.items() for method in methods])
    return _rows(db, COVERED, PAINTS, json.dumps(RENEWING), pairs)


def _rows(db: sqlite3.Connection, sql: str, *values: object) -> Rows:
    return db.execute(sql, values).fetchall()


WALKS = """
SELECT w.unit, w.person, p.name, w.purpose, w.started_at FROM walks w LEFT JOIN people p ON p.id = w.person
WHERE w.state = 'walking' ORDER BY w.started_at
"""

RINGS = """
SELECT m.unit, count(*) AS rings, sum(coalesce(m.cure_until, 0) > ?) AS curing,
  min(CASE WHEN m.cure_until > ? THEN m.cure_until END) AS cure_until,
  sum(EXISTS (SELECT 1 FROM work k WHERE k.marker = m.id AND k.person = ?)) AS own
FROM units u CROSS JOIN markers m ON m.unit = u.id AND m.state = 'reworked'
WHERE u.state = 'open' AND u.reworked > 0 GROUP BY m.unit
"""

# The condition is written as the index has it, or SQLite does not see that the index covers it.
JOBS = """
SELECT unit, department, state, taken_by, waiting_what, waiting_until, count(*) AS jobs, sum(minutes_planned) AS minutes,
  min(id) AS job, min(taken_at) AS taken_at, id IN (SELECT value FROM json_each(?)) AS covered
FROM jobs INDEXED BY jobs_open WHERE state IN ('ready', 'taken', 'waiting')
GROUP BY unit, department, state, taken_by, waiting_what, waiting_until, covered
"""

# From the few jobs of the booth to what else is free on their parts.
COVERED = """
WITH free AS (
  SELECT DISTINCT j.id, j.unit FROM jobs c INDEXED BY jobs_open
  JOIN jobs j ON j.unit = c.unit AND j.part = c.part AND j.chain <> c.chain AND j.method <> c.method
  WHERE c.department = ? AND c.state IN ('ready', 'taken', 'waiting') AND c.method IN (SELECT value FROM json_each(?))
    AND j.state = 'ready' AND j.step = 1 AND j.waiting_what IS NULL AND j.pinned_at IS NULL AND j.method_by IS NULL
    AND NOT EXISTS (SELECT 1 FROM job_markers l JOIN markers m ON m.id = l.marker WHERE l.job = j.id AND l.left_out = 0
      AND (m.method_by IS NOT NULL OR m.kind || ' ' || j.method NOT IN (SELECT value FROM json_each(?)))))
SELECT m.*, free.id AS job, u.outline AS drawn FROM free JOIN units u ON u.id = free.unit
JOIN job_markers l ON l.job = free.id AND l.left_out = 0 JOIN markers m ON m.id = l.marker ORDER BY free.id
"""

QUESTIONS = """
SELECT unit, count(*) AS questions, min(asked_at) AS asked_at, text
FROM questions WHERE state = 'open' GROUP BY unit
"""

NO_FLAWS = """
SELECT unit, count(*) AS markers, group_concat(tag, ', ') AS tags FROM markers
WHERE no_flaw IS NOT NULL AND state IN ('open', 'in_rework') GROUP BY unit
"""

CONCESSIONS = """
SELECT c.unit, c.id, m.tag, m.severity, c.asked_by, c.approvers, c.needed
FROM concessions c JOIN markers m ON m.id = c.marker WHERE c.state = 'asked' ORDER BY c.asked_at
"""

SHEETS = "SELECT unit, revision, signed_at FROM sheets WHERE state = 'making' ORDER BY signed_at"

# The indexes are named where SQLite would take one that holds every unit or question there ever was.
SIGNED = "SELECT * FROM units INDEXED BY units_signed WHERE state = 'signed' AND signed_at >= ? ORDER BY signed_at DESC LIMIT 40"

ELSEWHERE = """
SELECT * FROM units WHERE state <> 'open' AND id IN (
  SELECT unit FROM questions INDEXED BY questions_open WHERE state = 'open' UNION SELECT unit FROM sheets WHERE state = 'making')
"""
