"""Connections to the one SQLite file: one for the writer, one for each reading thread."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any

from sqlite_utils import Database

from inspect_app.journal.schema import migrations

Row = sqlite3.Row


def connect(path: Path, *, readonly: bool = False, lasting: bool = True) -> sqlite3.Connection:
    """Open the file with WAL and foreign keys; transactions are begun by hand.

    Each commit is on the disk when it ends; without `lasting` only once `flushed` was called or the system has got to it.
    """
    uri = f"{path.absolute().as_uri()}{'?mode=ro' if readonly else ''}"
    db = sqlite3.connect(
        uri, uri=True, isolation_level=None, check_same_thread=False, timeout=10, cached_statements=512
    )
    db.row_factory = sqlite3.Row
    if not readonly:
        db.execute("PRAGMA journal_mode=WAL")
    db.execute(f"PRAGMA synchronous={'FULL' if lasting else 'OFF'}")
    db.execute("PRAGMA foreign_keys=ON")
    db.execute("PRAGMA cache_size=-16000")
    # For searching without case in any script: SQLite's own lower() and LIKE know the letters of English alone.
    db.create_function("folded", 1, _folded, deterministic=True)
    return db


def flushed(db: sqlite3.Connection) -> None:
    """Bring everything that was committed into the one file, and that to the disk."""
    db.execute("PRAGMA synchronous=FULL")
    db.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def _folded(text: object) -> str:
    return "" if text is None else str(text).casefold()


def migrate(path: Path) -> None:
    """Bring the schema to the newest step; each step is one transaction with its record."""
    db = connect(path)
    try:
        bring_up(db)
    finally:
        db.close()


def bring_up(db: sqlite3.Connection) -> None:
    """Do as `migrate` does, on a connection that is open already."""
    if not _steps() <= _done(db):
        migrations.apply(Database(db))


@cache
def _steps() -> frozenset[str]:
    """The names of all steps."""
    return frozenset(step.name for step in migrations.pending(Database(memory=True)))


def _done(db: sqlite3.Connection) -> set[str]:
    """The names of the steps that a file has taken; read plainly, since each start asks, and mostly for nothing."""
    table = f'"{migrations.migrations_table}"'
    if one(db, "SELECT 1 FROM sqlite_master WHERE name = ?", (migrations.migrations_table,)) is None:
        return set()
    return {row["name"] for row in db.execute(f"SELECT name FROM {table} WHERE migration_set = ?", (migrations.name,))}


class Readers:
    """A read-only connection for each thread, opened when first asked for."""

    def __init__(self, path: Path):
        self._path = path
        self._local = threading.local()
        self._all: list[sqlite3.Connection] = []
        self._lock = threading.Lock()

    def __call__(self) -> sqlite3.Connection:
        db: sqlite3.Connection | None = getattr(self._local, "db", None)
        if db is None:
            db = self._local.db = connect(self._path, readonly=True)
            with self._lock:
                self._all.append(db)
        return db

    def close(self) -> None:
        """Close every connection that was handed out."""
        with self._lock:
            for db in self._all:
                db.close()
            self._all.clear()
        self._local = threading.local()


def put(db: sqlite3.Connection, table: str, row: Mapping[str, Any]) -> int:
    """Insert one row given as column → value; return its rowid."""
    done = db.execute(_insert(table, tuple(row)), tuple(row.values()))
    return done.lastrowid or 0


@cache
def _insert(table: str, columns: tuple[str, ...]) -> str:
    names = ", ".join(f'"{name}"' for name in columns)  # quoted: "escape" is a word of SQL
    return f"INSERT INTO {table} ({names}) VALUES ({', '.join('?' * len(columns))})"


def change(db: sqlite3.Connection, table: str, key: str, **columns: Any) -> None:
    """Update the columns of the row with this id."""
    db.execute(_update(table, tuple(columns)), (*columns.values(), key))


@cache
def _update(table: str, columns: tuple[str, ...]) -> str:
    settings = ", ".join(f'"{name}" = ?' for name in columns)
    return f"UPDATE {table} SET {settings} WHERE id = ?"


Values = Sequence[Any] | Mapping[str, Any]


def one(db: sqlite3.Connection, sql: str, values: Values = ()) -> sqlite3.Row | None:
    """Read the first row, or None."""
    row: sqlite3.Row | None = db.execute(sql, values).fetchone()
    return row


def value(db: sqlite3.Connection, sql: str, values: Values = ()) -> Any:
    """Read the first column of the first row, or None."""
    row = one(db, sql, values)
    return None if row is None else row[0]
