"""Projections: each event copied into the rows it changes. Nothing is judged here, so that rebuilding gives the same rows."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable
from functools import partial

from inspect_app.journal.events import PLANT, Stored

Projector = Callable[[sqlite3.Connection, Stored], None]
PROJECTORS: dict[str, Projector] = {}


def projects(*events: str) -> Callable[[Projector], Projector]:
    """Name the events a projector copies."""

    def register(projector: Projector) -> Projector:
        PROJECTORS.update(dict.fromkeys(events, projector))
        return projector

    return register


def replay(db: sqlite3.Connection, events: Iterable[Stored]) -> None:
    """Copy events of the chains into the projections, oldest first; each unit is counted once, at the end."""
    uncounted: dict[str, int] = {}
    undone = partial(units.undone, db)
    for event in events:
        copy(db, event)
        if event.stream != PLANT and units.needs_count(event, undone):
            uncounted[event.unit] = event.n
    for unit, n in uncounted.items():
        units.count(db, unit, n)


def copy(db: sqlite3.Connection, event: Stored) -> None:
    """Copy one event, leaving the counts of its unit to be made later. A flagged one only opens its question; an
    applied one may open one too, where something about it is in doubt.

    An escape is the exception, a marker that came after the signing: it, and what is said of it, is kept as it came.
    """
    flagged = event.outcome == "flagged"
    if flagged and event.resolved.get("asks", True):
        records.open_question(db, event)
    kept = event.resolved.get("kept") or (event.type == "marker_made" and "part" in event.resolved)
    if kept or not flagged:
        PROJECTORS[event.type](db, event)
    if not flagged and "doubt" in event.resolved:
        records.open_question(db, event, event.resolved["doubt"])


from inspect_app.journal.project import (  # noqa: E402, F401  (they register themselves)
    clusters,
    jobs,
    markers,
    methods,
    parts,
    plans,
    plant,
    readings,
    records,
    timers,
    units,
    walks,
)
