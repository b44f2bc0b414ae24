"""What the setup pages list: tablets with who used them last, and the settings."""

from __future__ import annotations

import sqlite3

from inspect_app.journal.store import value

TABLETS = """
SELECT t.*, (SELECT p.name FROM tickets k JOIN people p ON p.id = k.person WHERE k.tablet = t.id ORDER BY k.issued_at DESC LIMIT 1) AS last_name,
  (SELECT max(k.issued_at) FROM tickets k WHERE k.tablet = t.id) AS last_at
FROM tablets t ORDER BY length(t.letters), t.letters
"""


def tablets(db: sqlite3.Connection) -> list[sqlite3.Row]:
    """Tablets in the order of their letters, each with its last sign-in."""
    return db.execute(TABLETS).fetchall()


def timezone(db: sqlite3.Connection) -> str:
    """The plant's time zone by its IANA name; UTC until it is set."""
    return str(value(db, "SELECT value FROM settings WHERE name = 'timezone'") or "UTC")


def paper(db: sqlite3.Connection) -> str:
    """The plant's paper, a4 or letter; a4 until it is set."""
    return str(value(db, "SELECT value FROM settings WHERE name = 'paper'") or "a4")


def admitting(db: sqlite3.Connection) -> str:
    """How a tablet comes in: `sign_in`, by the first sign-in on it (until it is set), or `code`, by a manager's code."""
    return str(value(db, "SELECT value FROM settings WHERE name = 'admitting'") or "sign_in")


CLIP_COST = 400  # hundredths of the plant's money; 4.00 a clip is common practice, no source


def clip_cost(db: sqlite3.Connection) -> int:
    """What a new clip costs, in hundredths; 4.00 until it is set."""
    return int(value(db, "SELECT value FROM settings WHERE name = 'clip_cost'") or CLIP_COST)


def hour_cost(db: sqlite3.Connection) -> int | None:
    """What an hour of work costs, in hundredths; None until it is set: plans then count in minutes."""
    found = value(db, "SELECT value FROM settings WHERE name = 'hour_cost'")
    return int(found) if found else None


def hour_costs(db: sqlite3.Connection) -> dict[str, int]:
    """What an hour of work costs by department, in hundredths, where it has a price of its own."""
    rows = db.execute(
        "SELECT substr(name, 11) AS department, value FROM settings WHERE name GLOB 'hour_cost_*' AND value <> ''"
    )
    return {row["department"]: int(row["value"]) for row in rows}


def booth_cost(db: sqlite3.Connection) -> int:
    """What one visit to the booth costs beside the hours, in hundredths; nothing until it is set."""
    return int(value(db, "SELECT value FROM settings WHERE name = 'booth_cost'") or 0)


def readings_asked(db: sqlite3.Connection, gate: str) -> int:
    """How many readings of a gate ("film", "colour", "gaps") each unit needs; 0, none in particular, until it is set."""
    return int(value(db, "SELECT value FROM settings WHERE name = ?", (f"asked_{gate}",)) or 0)


def settings(db: sqlite3.Connection) -> dict[str, str]:
    """The plant's settings by name; what was never set is not there."""
    return {row["name"]: row["value"] for row in db.execute("SELECT name, value FROM settings")}


def current_outline(db: sqlite3.Connection) -> str:
    """The hash of the outline that units of models without one of their own are drawn on."""
    return str(value(db, "SELECT hash FROM outlines WHERE current = 1"))


OPEN_JOBS = {
    "department": "SELECT count(*) FROM jobs WHERE state IN ('ready', 'taken', 'waiting') AND department = ?",
    "method": "SELECT count(*) FROM jobs WHERE state IN ('ready', 'taken', 'waiting') AND method = ?",
}


def open_jobs(db: sqlite3.Connection, by: str, key: str) -> int:
    """How many jobs are not done that are with a department, or go by a method (`by`)."""
    return int(value(db, OPEN_JOBS[by], (key,)))


def options_seen(db: sqlite3.Connection) -> dict[str, int]:
    """The options of all units that are not signed, as they were written, and how many units have each."""
    sql = "SELECT o.value AS name, count(*) AS units FROM units u, json_each(u.options) o WHERE u.state = 'open' GROUP BY o.value ORDER BY o.value"
    return {row["name"]: row["units"] for row in db.execute(sql)}


JUDGED = """
SELECT m.kind, m.class, m.size, m.count, m.raking, m.gap, m.joint, m.zone, u.outline,
  (SELECT coalesce(sum(o.count), 0) FROM markers o WHERE o.unit = m.unit AND o.kind = m.kind AND o.part = m.part AND o.class = m.class
    AND o.made_at < m.made_at AND o.state NOT IN ('withdrawn', 'no_flaw')) AS others
FROM markers m JOIN units u ON u.id = m.unit
WHERE m.kind = ? AND m.made_at >= ? AND m.state <> 'withdrawn'
"""


def markers_judged(db: sqlite3.Connection, kind: str, since: int) -> list[sqlite3.Row]:
    """Markers of a kind made since a time, with all that a limit asks for. `others`: of the kind on the part before it."""
    return db.execute(JUDGED, (kind, since)).fetchall()
