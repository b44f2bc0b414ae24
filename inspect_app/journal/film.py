"""What the clear-coat budget makes of the film readings of a unit: at which spots each of them counts, and what is left there."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Literal

from inspect_app.journal.ways import Ground, Row
from inspect_app.trade.budget import Left, next_film
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.outline import Outline
from inspect_app.trade.selectors import methods_for

MARKERS = (
    "SELECT * FROM markers WHERE unit = ? AND part IN (SELECT part FROM readings WHERE unit = ? AND what = 'film')"
    " AND state NOT IN ('withdrawn', 'no_flaw') ORDER BY made_at, id"
)


JOBS = (
    "SELECT l.marker, j.method FROM jobs j JOIN job_markers l ON l.job = j.id AND l.left_out = 0"
    " WHERE j.unit = ? AND j.state IN ('ready', 'taken', 'waiting') ORDER BY j.step, j.id"
)


@dataclass(frozen=True, kw_only=True)
class Counted:
    """A spot at which a reading counts: its marker's tag, what is left there, what its next polish takes (tenths of µm)."""

    tag: str
    left: Left
    takes: int


@dataclass(frozen=True, kw_only=True)
class Budgeted:
    """What the budget makes of one reading: the spots at which it counts, or why it counts at none of them.

    Where nothing is marked yet (`no_spot`), `part` is what the strictest class of the part allows, None without a budget.
    """

    spots: tuple[Counted, ...]
    why: Literal["counts", "no_spot", "later", "renewed"]
    part: Counted | None = None


def budgeted(db: sqlite3.Connection, unit: str, catalogue: Catalogue, outline: Outline) -> dict[str, Budgeted]:
    """Return for each film reading of a body (by its id) what the budget makes of it.

    A spot has one reading that counts, the newest that was taken for its marker or for no marker on its part; an older
    one counts there no more, and neither does one that a new film lies on.
    """
    ground = Ground(db, unit, catalogue, outline)
    spots: dict[str, list[Counted]] = {}
    coming: dict[str, list[str]] = {}
    for row in db.execute(JOBS, (unit,)):
        coming.setdefault(row["marker"], []).append(row["method"])
    for marker in db.execute(MARKERS, (unit, unit)).fetchall():
        held, found = ground.reading_at(marker), ground.ways(marker)
        takes = _next(catalogue, marker, coming.get(marker["id"], []))
        if held is not None and found is not None and found.left is not None and takes:
            spots.setdefault(held["id"], []).append(Counted(tag=marker["tag"], left=found.left, takes=takes))
    return {row["id"]: _one(row, spots, ground) for row in _films(db, unit)}


def _next(catalogue: Catalogue, marker: Row, coming: Iterable[str]) -> int:
    """Return what the next polish at a marker takes, in tenths of µm; 0 where nothing is ever taken off its kind."""
    known = [catalogue.methods[key] for key in (*coming, marker["method"]) if key in catalogue.methods]
    return next_film(known, methods_for(catalogue, marker["kind"]))


def _films(db: sqlite3.Connection, unit: str) -> Iterator[Row]:
    for row in db.execute("SELECT * FROM readings WHERE unit = ? AND what = 'film'", (unit,)):
        told: dict[str, Any] = json.loads(row["told"])
        if told.get("film") is not None and (told.get("where") or "body") == "body":
            yield row


def _one(row: Row, spots: dict[str, list[Counted]], ground: Ground) -> Budgeted:
    if row["id"] in spots:
        return Budgeted(spots=tuple(spots[row["id"]]), why="counts")
    if ground.renewed_since(row["part"], row["at"]):
        return Budgeted(spots=(), why="renewed")
    newest = ground.reading_at({"part": row["part"], "id": row["for_marker"]})
    if newest is None or newest["id"] != row["id"]:
        return Budgeted(spots=(), why="later")
    left, takes = ground.untouched(row["part"]), _most(ground.catalogue)
    return Budgeted(spots=(), why="no_spot", part=Counted(tag="", left=left, takes=takes) if left and takes else None)


def _most(catalogue: Catalogue) -> int:
    """Return what the method that takes off the most takes, in tenths of µm; 0 where none takes anything."""
    return max((one.film for one in catalogue.methods.values() if one.film and not one.retired), default=0)
