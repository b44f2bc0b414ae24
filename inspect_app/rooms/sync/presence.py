"""Which tablets have which unit open, and whether they have told us since that nothing is left unsent on them."""

from __future__ import annotations

from typing import Any, TypeGuard

from inspect_app.journal import notes
from inspect_app.journal.queries import people
from inspect_app.rooms.house import journal, reader

FRESH_MS = 15_000  # a note each quarter of a minute is enough, and spares the disk


def is_count(found: Any) -> TypeGuard[int]:
    """Whether this is how much is unsent: a whole number from 0 on, and not the JSON for yes or no."""
    return isinstance(found, int) and not isinstance(found, bool) and found >= 0


def seen(tablet: str, unit: str | None, pending: int | None) -> None:
    """Note that a tablet has a unit open; with nothing pending it has also reported."""
    if unit is None:
        return
    now, clean = journal().clock(), pending == 0
    row = people.presence(reader(), tablet, unit)
    if row is not None and row["held"] and clean and now - row["reported_at"] < FRESH_MS:
        return
    journal().note(*notes.unit_opened(tablet, unit, now=now, clean=clean))


def left(tablet: str, unit: str, pending: int | None) -> None:
    """Note that a tablet has closed a unit with nothing left unsent."""
    if pending == 0:
        journal().note(*notes.unit_left(tablet, unit, now=journal().clock()))


def report(tablet: str, pending: int | None) -> notes.Statement | None:
    """The note of a sync that empties the outbox: the tablet has reported for every unit it had open."""
    return notes.reported(tablet, now=journal().clock()) if pending == 0 else None
