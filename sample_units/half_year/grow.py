"""Years behind the half-year: its signed vans copied in SQL, for measuring. `verify` rightly refuses such a folder.

The copies have rows of all tables, ids of their own, running numbers after those of the story, and times before it; of
their events only the last of each van, which carries the running number on. So does tests/bench/growth.py with one van.
"""

from __future__ import annotations

import sqlite3
from pathlib import Path

from inspect_app.journal import store

COPIED = ("units", "walks", "looks", "voidings", "markers", "jobs", "job_markers", "work", "photos", "gates", "sheets")
NAMES = {"id", "unit", "walk", "job", "marker", "chain", "signed_event"}  # columns that name a thing of a van
HALF_YEAR_MS = 182 * 86_400_000
PICKED = "CREATE TEMP TABLE picked AS SELECT id FROM units WHERE state = 'signed'"


def grow(folder: Path, scale: int) -> int:
    """Copy the signed vans of a folder, whose journal must be closed, `scale` - 1 times; returns how many markers."""
    db = store.connect(folder / "lampwalk.db")
    db.execute("PRAGMA synchronous=OFF")
    db.execute(PICKED)
    step = int(store.value(db, "SELECT max(n) FROM events"))
    for copy in range(1, scale):
        db.execute("BEGIN")
        for table in COPIED:
            _copy(db, table, copy, step)
        _carry_on(db, copy, step)
        db.execute("COMMIT")
    db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    markers = int(store.value(db, "SELECT count(*) FROM markers"))
    db.close()
    return markers


def _copy(db: sqlite3.Connection, table: str, copy: int, step: int) -> None:
    columns = [row["name"] for row in db.execute(f"PRAGMA table_info({table})")]
    key = "id" if table == "units" else "unit"
    values = ", ".join(_value(table, column, copy, step) for column in columns)
    names = ", ".join(f'"{column}"' for column in columns)
    made = " AND o.state = 'issued'" if table == "sheets" else ""  # or the server would begin to draw them all
    db.execute(
        f"INSERT INTO {table} ({names}) SELECT {values} FROM {table} o WHERE o.{key} IN (SELECT id FROM picked){made}"
    )


def _value(table: str, column: str, copy: int, step: int) -> str:
    if column in NAMES:
        return f"'{copy:08x}' || substr(o.\"{column}\", 9)"
    if column == "n":
        return f"o.n + {copy * step}"
    if column in ("at", "due") or column.endswith(("_at", "_until")):
        return f'o."{column}" - {copy * HALF_YEAR_MS}'
    if table == "units" and column == "build_number":
        return f"o.build_number || '-{copy}'"
    return f'o."{column}"'


def _carry_on(db: sqlite3.Connection, copy: int, step: int) -> None:
    """The last event of each van, so that the newest running number is that of the newest row."""
    columns = [row["name"] for row in db.execute("PRAGMA table_info(events)")]
    changed = {
        "id": f"'{copy:08x}' || substr(o.id, 9)",
        "stream": f"'unit:{copy:08x}' || substr(o.stream, 14)",
        "n": f"o.n + {copy * step}",
    }
    values = ", ".join(changed.get(column, f'o."{column}"') for column in columns)
    last = "SELECT max(n) FROM events WHERE stream IN (SELECT 'unit:' || id FROM picked) GROUP BY stream"
    db.execute(f"INSERT INTO events SELECT {values} FROM events o WHERE o.n IN ({last})")
    db.execute(
        f"INSERT INTO streams SELECT {changed['stream']}, o.seq, o.head FROM streams o"
        " WHERE o.stream IN (SELECT 'unit:' || id FROM picked)"
    )
