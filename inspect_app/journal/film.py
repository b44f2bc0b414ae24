"""What the clear-coat budget makes of the film readings of a unit: at which spots each of them counts, and what is left there."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

from inspect_app.journal.ways import Ground, Row
from inspect_app.trade.budget import Left
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.outline import Outline
from inspect_app.trade.selectors import methods_for

MARKERS = (
    "SELECT * FROM markers WHERE unit = ? AND part IN (SELECT part FROM readings WHERE unit = ? AND what = 'film')"
    " AND state NOT IN ('withdrawn', 'no_flaw') ORDER BY made_at, id"
)


@dataclass(frozen=True, kw_only=True)
class Counted:
    """A spot at which a reading counts: its marker's tag, what is left there, what its method takes (tenths of µm)."""

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
    for marker in db.execute(MARKERS, (unit, unit)).fetchall():
        held, found = ground.reading_at(marker), ground.ways(marker)
        takes = [method.film for method in methods_for(catalogue, marker["kind"]) if method.film]
        if held is not None and found is not None and found.left is not None and takes:
            method = catalogue.methods.get(marker["method"])
            usual = method.film if method is not None else 0
            one = Counted(tag=marker["tag"], left=found.left, takes=usual or min(takes))
            spots.setdefault(held["id"], []).append(one)
    return {row["id"]: _one(row, spots, ground) for row in _films(db, unit)}


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
