"""Which zones have to be looked at, which were, and which looks later work has undone."""

from __future__ import annotations

import json
import sqlite3

from inspect_app.journal.writing import Versions

Spot = tuple[str, str]  # zone, lap
UNDONE = (
    "SELECT zone, lap FROM voidings v WHERE unit = ? AND NOT EXISTS (SELECT 1 FROM looks l WHERE l.unit = v.unit"
    " AND l.zone = v.zone AND l.lap = v.lap AND l.undone = 0 AND l.voided = 0 AND l.counts = 1)"
)


def absent(unit: sqlite3.Row) -> dict[str, str]:
    """Zones that are not on the van now, with why: not_fitted or off."""
    zones: dict[str, str] = json.loads(unit["absent"])
    return zones


def required(versions: Versions, db: sqlite3.Connection, unit: sqlite3.Row, laps: tuple[str, ...]) -> set[Spot]:
    """Every zone and lap of the unit's outline that is fitted. Zones off the van stay required: they block until refitted."""
    outline = versions.outline(db, unit["outline"])
    gone = {zone for zone, why in absent(unit).items() if why == "not_fitted"}
    return {
        (zone.id, lap)
        for view in outline.views
        for zone in view.zones
        if zone.id not in gone
        for lap in zone.laps
        if lap in laps
    }


def looked(db: sqlite3.Connection, unit: str, *, walks: tuple[str, ...] = ()) -> set[Spot]:
    """Zones and laps with a look that still holds: of these walks, or else of all walks that count for coverage."""
    clause = f"walk IN ({', '.join('?' * len(walks))})" if walks else "counts = 1"
    sql = f"SELECT DISTINCT zone, lap FROM looks WHERE unit = ? AND undone = 0 AND voided = 0 AND {clause}"
    return {(row["zone"], row["lap"]) for row in db.execute(sql, (unit, *walks))}


def together(db: sqlite3.Connection, walk: sqlite3.Row) -> tuple[str, ...]:
    """The walks that are one with this: two tablets out of reach of each other may each have begun the same walk."""
    sql = (
        "SELECT id FROM walks WHERE unit = ? AND purpose = ? AND (state = 'walking' OR id = ?) ORDER BY started_at, id"
    )
    return tuple(row["id"] for row in db.execute(sql, (walk["unit"], walk["purpose"], walk["id"])))


def voided(versions: Versions, db: sqlite3.Connection, unit: sqlite3.Row) -> set[Spot]:
    """Zones and laps whose looks work has undone and that nobody has looked at since."""
    worked = {(row["zone"], row["lap"]) for row in db.execute(UNDONE, (unit["id"],))}
    return worked & required(versions, db, unit, tuple(versions.catalogue(db, None).laps)) if worked else worked


def missing_of_walk(db: sqlite3.Connection, versions: Versions, unit: sqlite3.Row, walk: sqlite3.Row) -> set[Spot]:
    """What a walk still has to look at: all of its laps, or for a look again what work has undone."""
    purpose = versions.catalogue(db, None).walks[walk["purpose"]]
    if walk["purpose"] == "again":
        return voided(versions, db, unit)
    return required(versions, db, unit, purpose.laps) - looked(db, unit["id"], walks=together(db, walk))


def missing_of_unit(db: sqlite3.Connection, versions: Versions, unit: sqlite3.Row) -> set[Spot]:
    """What the coverage gate still lacks: every lap of every fitted zone, by looks newer than the last work there."""
    laps = tuple(lap for lap in versions.catalogue(db, None).laps)
    return required(versions, db, unit, laps) - looked(db, unit["id"])
