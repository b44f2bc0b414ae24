"""Which tablets have which unit open, and whether they have told us since that nothing is left unsent on them."""

from __future__ import annotations

from typing import Any

from inspect_app.journal.journal import NoteSQL
from inspect_app.journal.store import one
from inspect_app.rooms.house import journal, reader

FRESH_MS = 15_000  # a note each quarter of a minute is enough, and spares the disk


def seen(tablet: str, unit: str | None, pending: int | None) -> None:
    """Note that a tablet has a unit open; with nothing pending it has also reported."""
    if unit is None:
        return
    now = journal().clock()
    row = one(
        reader(), "SELECT opened_at, reported_at, held FROM seen_by WHERE tablet = ? AND unit = ?", (tablet, unit)
    )
    clean = pending == 0
    if row is not None and row["held"] and clean and now - row["reported_at"] < FRESH_MS:
        return
    journal().note(
        "INSERT INTO seen_by (tablet, unit, opened_at, reported_at, held) VALUES (?, ?, ?, ?, 1)"
        " ON CONFLICT (tablet, unit) DO UPDATE SET"
        " opened_at = CASE WHEN held = 0 THEN excluded.opened_at ELSE opened_at END,"
        " reported_at = max(reported_at, excluded.reported_at), held = 1",
        (tablet, unit, now, now if clean else 0),
    )


def left(tablet: str, unit: str, pending: int | None) -> None:
    """Note that a tablet has closed a unit with nothing left unsent."""
    if pending == 0:
        now = journal().clock()
        journal().note(
            "UPDATE seen_by SET held = 0, reported_at = ? WHERE tablet = ? AND unit = ?", (now, tablet, unit)
        )


def report(tablet: str, pending: Any) -> NoteSQL | None:
    """The note of a sync that empties the outbox: the tablet has reported for every unit it had open."""
    if pending != 0:
        return None
    return "UPDATE seen_by SET reported_at = ? WHERE tablet = ?", (journal().clock(), tablet)
