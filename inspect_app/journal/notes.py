"""What the server notes for itself, as SQL with its values: no history, not rebuilt, not compared."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

Statement = tuple[str, Sequence[Any]]


def try_counted(who: str, *, now: int, forgotten_before: int) -> Statement:
    """One more wrong PIN of a person or an address; tries older than `forgotten_before` (ms) no longer count."""
    sql = (
        "INSERT INTO tries (who, failed, last_at) VALUES (?, 1, ?) ON CONFLICT (who) DO UPDATE SET"
        " failed = CASE WHEN last_at < ? THEN 1 ELSE failed + 1 END, last_at = excluded.last_at"
    )
    return sql, (who, now, forgotten_before)


def tries_forgotten(who: str) -> Statement:
    """The wrong PINs of a person or an address are forgotten."""
    return "DELETE FROM tries WHERE who = ?", (who,)


def unit_opened(tablet: str, unit: str, *, now: int, clean: bool) -> Statement:
    """A tablet has a unit open; with nothing unsent (`clean`) it has also reported."""
    sql = (
        "INSERT INTO seen_by (tablet, unit, opened_at, reported_at, held) VALUES (?, ?, ?, ?, 1)"
        " ON CONFLICT (tablet, unit) DO UPDATE SET"
        " opened_at = CASE WHEN held = 0 THEN excluded.opened_at ELSE opened_at END,"
        " reported_at = max(reported_at, excluded.reported_at), held = 1"
    )
    return sql, (tablet, unit, now, now if clean else 0)


def unit_left(tablet: str, unit: str, *, now: int) -> Statement:
    """A tablet has closed a unit with nothing unsent."""
    return "UPDATE seen_by SET held = 0, reported_at = ? WHERE tablet = ? AND unit = ?", (now, tablet, unit)


def reported(tablet: str, *, now: int) -> Statement:
    """A tablet has nothing unsent: that holds for every unit it has open."""
    return "UPDATE seen_by SET reported_at = ? WHERE tablet = ?", (now, tablet)
