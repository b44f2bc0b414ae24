"""What lies together on a part, judged by the server once a commit is answered, as long as somebody walks the van.

With the end of the last walk the verdicts stay as they are, whatever becomes of the markers afterwards. A second pair
of eyes must not learn what the first has found: while it walks, its markers are held against each other only.
"""

from __future__ import annotations

import json
import sqlite3
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from math import hypot, inf
from typing import Any

from inspect_app.journal.events import Stored
from inspect_app.journal.store import one
from inspect_app.journal.writing import Versions
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.cluster_rows import PLACED
from inspect_app.trade.clusters import Finding, Spot, clusters, over_count

Found = dict[str, Any]
MOVES = frozenset(
    {
        *("marker_made", "marker_amended", "marker_withdrawn", "marker_joined", "marker_cleared"),
        *("put_right_here", "no_flaw_decided", "walk_started", "walk_finished"),
    }
)
"""Events after which other markers may lie together than before."""
STANDING = (
    "SELECT id, tag, kind, class, part, zone, view, x, y, spread, size, count, raking, severity, walk FROM markers"
    " WHERE unit = ? AND state NOT IN ('withdrawn', 'no_flaw', 'cleared') ORDER BY made_at, id"
)
KNOWN = "SELECT * FROM clusters WHERE unit = ? AND gone = 0 ORDER BY id"
WALKING = "SELECT id, purpose FROM walks WHERE unit = ? AND state = 'walking'"
COLUMNS = ("rule", "outcome", "markers", "place", "count", "text", "view", "x", "y", "reach")
PATIENCE_S = 0.7
"""Markers that come one after the other are judged once."""
ROOM = 150  # tenths of mm drawn around the outermost markers of a cluster


class Owed:
    """The units whose markers moved in a commit, each with whether a walk ended in it.

    What is owed is written down with the commit that owes it and struck out with a later one, so that a server that is
    killed between a commit and its judgement judges at its next start.
    """

    def __init__(self) -> None:
        self._units: dict[str, bool] = {}
        self._new: set[str] = set()
        self._settled: set[str] = set()
        self._noted: dict[str, bool] = {}  # what stands in the table, as far as it is known

    def take_up(self, db: sqlite3.Connection) -> None:
        """Read what a server that was killed still owed."""
        self._units = {row["unit"]: bool(row["ended"]) for row in db.execute("SELECT unit, ended FROM unjudged")}
        self._noted = dict(self._units)

    def undone(self) -> None:
        """Know no longer what stands in the table: a commit was undone."""
        self._noted.clear()

    def __bool__(self) -> bool:
        return bool(self._units)

    @property
    def patience(self) -> float:
        """How long (s) a judgement may wait, for more to come; infinity when none is owed."""
        if not self._units:
            return inf
        return 0.0 if any(self._units.values()) else PATIENCE_S

    def written(self, event: Stored) -> None:
        """Note an event that was written."""
        if event.type in MOVES:
            self._units[event.unit] = self._units.get(event.unit, False) or event.type == "walk_finished"
            self._new.add(event.unit)

    def note(self, db: sqlite3.Connection) -> None:
        """Write down, within the commit that ends, what it owes, and strike out what has been judged."""
        if self._settled:
            gone = self._settled - self._new
            db.executemany("DELETE FROM unjudged WHERE unit = ?", [(unit,) for unit in gone])
            for unit in gone:
                self._noted.pop(unit, None)
        owed = {unit: self._units.get(unit, False) for unit in self._new}
        rows = [(unit, ended) for unit, ended in owed.items() if self._noted.get(unit) is not ended]
        if rows:
            db.executemany("INSERT OR REPLACE INTO unjudged (unit, ended) VALUES (?, ?)", rows)
            self._noted.update(rows)
        self._settled, self._new = set(), set()

    def paid(self) -> dict[str, bool]:
        """Return what is owed, and owe it no longer."""
        units, self._units = self._units, {}
        self._settled |= set(units)
        return units


def judge(db: sqlite3.Connection, versions: Versions, owed: dict[str, bool]) -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield unit and body of a `part_judged` for every part of these units on which something else is found than before."""
    for unit, ended in owed.items():
        walks = db.execute(WALKING, (unit,)).fetchall()
        held = one(db, "SELECT outline FROM units WHERE id = ?", (unit,))
        if held is not None and (walks or ended):
            blind = {walk["id"] for walk in walks if walk["purpose"] == "second"}
            yield from ((unit, body) for body in _parts(db, versions, unit, held["outline"], blind))


def _parts(
    db: sqlite3.Connection, versions: Versions, unit: str, outline: str, blind: set[str]
) -> Iterator[dict[str, Any]]:
    known: dict[str, list[Found]] = defaultdict(list)
    for row in db.execute(KNOWN, (unit,)):
        lists = {name: json.loads(row[name]) for name in ("markers", "place")}
        known[row["part"]].append({name: row[name] for name in COLUMNS} | lists)
    standing: dict[str, dict[str | None, list[sqlite3.Row]]] = defaultdict(lambda: defaultdict(list))
    for row in db.execute(STANDING, (unit,)):
        standing[row["part"]][row["walk"] if row["walk"] in blind else None].append(row)
    catalogue, drawn = versions.catalogue(db, None), versions.outline(db, outline)
    areas = {one_.id: one_.area_cm2 for one_ in drawn.parts}
    paint = {zone.id: zone.paint for zone in drawn.zones}
    for part in sorted(standing.keys() | known.keys()):
        together = [_together(catalogue, areas.get(part), paint, rows) for rows in standing[part].values()]
        found = [one_ for some in together for one_ in some]
        if found != known[part]:
            yield {"part": part, "catalogue": catalogue.hash, "findings": found}


def _together(
    catalogue: Catalogue, area: int | None, paint: Mapping[str, str], rows: Iterable[sqlite3.Row]
) -> list[Found]:
    """Return what is found of the markers of one part, as the columns of `clusters`; a marker alone is never too many.

    `area`: of the part, in cm²; `paint`: whose paint it is, by zone.
    """
    by_tag = {row["tag"]: row for row in rows if row["kind"] in catalogue.kinds and row["class"] in catalogue.classes}
    if sum(row["count"] or 1 for row in by_tag.values()) < 2:
        return []
    spots = [_spot(row, paint.get(row["zone"])) for row in by_tag.values()]
    told = (*over_count(catalogue, spots), *clusters(catalogue, spots, area_cm2=area))
    return [_found(finding, by_tag) for finding in told]


def _spot(row: sqlite3.Row, paint: str | None) -> Spot:
    return Spot(
        id=row["tag"], kind=row["kind"], surface_class=row["class"], view=row["view"], x=row["x"], y=row["y"],
        spread=row["spread"] or 0, size=row["size"], count=row["count"] or 1, raking=bool(row["raking"]),
        severity=row["severity"], paint=paint,
    )  # fmt: skip


def _found(finding: Finding, by_tag: dict[str, sqlite3.Row]) -> Found:
    rows = [by_tag[tag] for tag in finding.markers]
    told = {
        "rule": finding.row.within,
        "outcome": finding.outcome,
        "markers": [row["id"] for row in rows],
        "place": [by_tag[tag]["id"] for tag in finding.place],
        "count": finding.count,
        "text": finding.text,
    }
    return told | (_round(rows) if finding.row.within in PLACED else dict.fromkeys(("view", "x", "y", "reach")))


def _round(rows: list[sqlite3.Row]) -> Found:
    """Return a circle round markers of one view, each with its own spread; tenths of mm."""
    xs, ys = [row["x"] for row in rows], [row["y"] for row in rows]
    x, y = (min(xs) + max(xs)) // 2, (min(ys) + max(ys)) // 2
    reach = max(hypot(row["x"] - x, row["y"] - y) + (row["spread"] or 0) for row in rows)
    return {"view": rows[0]["view"], "x": x, "y": y, "reach": round(reach) + ROOM}
