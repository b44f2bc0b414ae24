"""A store with years behind it: one signed unit, lived through the journal, copied until there are enough markers.

The copies are made in SQL: rows of all projections with their indexes, ids of their own, running numbers in the order of
the units, times going back. Of the events of a copied unit only its last one is copied, to carry the running number on:
pages read no others, and some million events would take longer to write than all else in the bench. `verify` would
rightly refuse such a folder.
"""

from __future__ import annotations

import sqlite3
from pathlib import Path

from inspect_app.journal import store
from sample_units.half_year.grow import COPIED, NAMES

APART_MS = 3_600_000  # one unit an hour, the newest ten days ago
NUMBERS = """
CREATE TEMP TABLE copies AS
WITH RECURSIVE counted(k) AS (SELECT 1 UNION ALL SELECT k + 1 FROM counted WHERE k < ?) SELECT k FROM counted
"""


def grow(folder: Path, unit: str, markers: int) -> None:
    """Copy a signed unit of a data folder, whose writer must be idle, until it has at least that many markers."""
    db = store.connect(folder / "lampwalk.db")
    db.execute("PRAGMA synchronous=OFF")
    each = int(db.execute("SELECT count(*) FROM markers WHERE unit = ?", (unit,)).fetchone()[0])
    db.execute(NUMBERS, (markers // each,))
    step = int(db.execute("SELECT max(n) FROM events").fetchone()[0])
    db.execute("BEGIN")
    for table in COPIED:
        _copy(db, table, unit, step)
    _carry_on(db, unit, step)
    db.execute("COMMIT")
    db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    db.close()


def _copy(db: sqlite3.Connection, table: str, unit: str, step: int) -> None:
    columns = [row["name"] for row in db.execute(f"PRAGMA table_info({table})")]
    key = "id" if table == "units" else "unit"
    values = ", ".join(_value(table, column, step) for column in columns)
    db.execute(f"INSERT INTO {table} SELECT {values} FROM copies CROSS JOIN {table} o WHERE o.{key} = ?", (unit,))


def _value(table: str, column: str, step: int) -> str:
    if column in NAMES:
        return f"printf('%08x', k) || substr(o.\"{column}\", 9)"
    if column == "n":
        return f"o.n + k * {step}"
    if column == "at" or column.endswith(("_at", "_until")):
        return f'o."{column}" - {10 * 24 * APART_MS} - ((SELECT max(k) FROM copies) - k) * {APART_MS}'
    if table == "units" and column in ("last_six", "build_number"):
        return "printf('%06d', k * 7919 % 1000000)" if column == "last_six" else "'G-' || k"
    return f'o."{column}"'


def _carry_on(db: sqlite3.Connection, unit: str, step: int) -> None:
    columns = [row["name"] for row in db.execute("PRAGMA table_info(events)")]
    changed = {
        "id": "printf('%08x', k) || substr(o.id, 9)",
        "stream": "'unit:' || printf('%08x', k) || substr(o.stream, 14)",
        "n": f"o.n + k * {step}",
    }
    values = ", ".join(changed.get(column, f'o."{column}"') for column in columns)
    last = "(SELECT max(n) FROM events WHERE stream = 'unit:' || ?)"
    db.execute(f"INSERT INTO events SELECT {values} FROM copies CROSS JOIN events o WHERE o.n = {last}", (unit,))
    db.execute(
        f"INSERT INTO streams SELECT {changed['stream']}, o.seq, o.head FROM copies CROSS JOIN streams o WHERE o.stream = 'unit:' || ?",
        (unit,),
    )
