"""Safety timers that nobody has ended, of whatever unit."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence

RUNNING = """
SELECT t.*, p.name FROM timers t INDEXED BY timers_running LEFT JOIN people p ON p.id = t.started_by
WHERE t.state = 'running' ORDER BY t.until
"""


def running(db: sqlite3.Connection) -> Sequence[sqlite3.Row]:
    """The timers that run, the first to be over first: all columns, and the name of who started it."""
    return db.execute(RUNNING).fetchall()
