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


def settings(db: sqlite3.Connection) -> dict[str, str]:
    """The plant's settings by name; what was never set is not there."""
    return {row["name"]: row["value"] for row in db.execute("SELECT name, value FROM settings")}
