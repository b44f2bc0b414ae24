"""Catalogue and outline versions by their hash."""

from __future__ import annotations

import sqlite3

from inspect_app.journal.store import one, value


def current_catalogue(db: sqlite3.Connection) -> str:
    """The hash of the catalogue that holds now."""
    return str(value(db, "SELECT hash FROM catalogues WHERE current = 1"))


def has_catalogue(db: sqlite3.Connection, key: str) -> bool:
    """Whether a catalogue version is known."""
    return one(db, "SELECT 1 FROM catalogues WHERE hash = ?", (key,)) is not None


def has_outline(db: sqlite3.Connection, key: str) -> bool:
    """Whether an outline version is known."""
    return one(db, "SELECT 1 FROM outlines WHERE hash = ?", (key,)) is not None
