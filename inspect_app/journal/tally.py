"""The markers there are while one commit is written: their ids and tags, and what stands on a part, for limits of so many.

They are read once and kept up with what is written: a tablet that comes back with two hundred markers would otherwise
have its unit read two hundred times, and one that sends each marker as it is made, all of them for each.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable
from typing import NamedTuple

from inspect_app.journal.events import Incoming, Stored

Alike = tuple[str, str, str]  # kind, part, surface class
STANDING = "SELECT id, kind, part, class, count, walk FROM markers WHERE unit = ? AND state NOT IN ('withdrawn', 'no_flaw', 'cleared')"
# Events that leave every marker standing or gone as it was; they are what comes by the hundred.
LEAVE_ALONE = frozenset(
    {"zone_looked", "look_undone", "photo_added", "photo_stored", "origin_revised", "job_planned", "part_judged"}
)
UNITS = 50  # as many are remembered beyond their commit


FEW = 3  # markers that are asked about one by one: a table of JSON costs as much as that to set up
MADE_ONE = "SELECT id, unit, tag FROM markers WHERE id = :id UNION ALL SELECT id, unit, tag FROM markers WHERE unit = :unit AND tag = :tag"
MADE = (
    "SELECT id, unit, tag FROM markers WHERE id IN (SELECT value FROM json_each(:ids)) UNION"
    " SELECT m.id, m.unit, m.tag FROM json_each(:spots) s CROSS JOIN markers m ON m.unit = s.value ->> 0 AND m.tag = s.value ->> 1"
)


class Made:
    """Ids and tags that are taken, among those a commit is going to ask about; or all, asked one by one, after a fault."""

    def __init__(self, db: sqlite3.Connection):
        self._db = db
        self._ids: set[str] = set()
        self._tags: set[tuple[str, str]] = set()
        self._foreseen = True

    def look_up(self, events: Iterable[Incoming]) -> None:
        """Find out at one go which of the markers that are being made have an id or a tag that is taken."""
        made = [event for event in events if event.type == "marker_made"]
        if len(made) <= FEW:
            for event in made:
                asked = {"id": event.body.marker, "unit": event.unit, "tag": event.body.tag}
                self._take(self._db.execute(MADE_ONE, asked))
        else:
            ids = json.dumps([event.body.marker for event in made])
            spots = json.dumps([(event.unit, event.body.tag) for event in made])
            self._take(self._db.execute(MADE, {"ids": ids, "spots": spots}))

    def _take(self, rows: Iterable[Iterable[str]]) -> None:
        for key, unit, tag in rows:
            self._ids.add(key)
            self._tags.add((unit, tag))

    def has(self, marker: str) -> bool:
        """Tell whether there is a marker with this id, of whatever unit."""
        if self._foreseen:
            return marker in self._ids
        return self._db.execute("SELECT 1 FROM markers WHERE id = ?", (marker,)).fetchone() is not None

    def has_tag(self, unit: str, tag: str) -> bool:
        """Tell whether a marker of the unit bears this tag."""
        if self._foreseen:
            return (unit, tag) in self._tags
        return self._db.execute("SELECT 1 FROM markers WHERE unit = ? AND tag = ?", (unit, tag)).fetchone() is not None

    def written(self, event: Stored) -> None:
        """Keep up with a marker that was made, late ones too."""
        if event.type == "marker_made" and "tag" in event.resolved:
            self._take([(event.body["marker"], event.unit, event.resolved["tag"])])

    def forget(self) -> None:
        """Ask one by one from now on: something was undone."""
        self._foreseen = False


class Standing(NamedTuple):
    """One marker as far as counting goes."""

    spots: int
    walk: str | None


class Unit:
    """What stands on one unit: by what it is like, then by its id."""

    def __init__(self) -> None:
        self.alike: dict[Alike, dict[str, Standing]] = {}
        self.where: dict[str, Alike] = {}

    def put(self, marker: str, alike: Alike, spots: int, walk: str | None) -> None:
        """Let a marker stand here, wherever it stood before; an amendment does not name its walk."""
        before = self.alike.get(self.where.get(marker, alike), {}).pop(marker, None)
        self.alike.setdefault(alike, {})[marker] = Standing(spots, before.walk if before else walk)
        self.where[marker] = alike


class Tally:
    """Counts markers of one kind, part and class on a unit; it may outlive a commit, but none that is undone."""

    def __init__(self, db: sqlite3.Connection):
        self._db = db
        self._units: dict[str, Unit] = {}

    def others(self, unit: str, marker: str, alike: Alike, *, walk: str | None) -> int:
        """Count what stands on the unit beside one marker and is like it; with `walk`, only what that walk has made."""
        standing = self._of(unit).alike.get(alike, {})
        return sum(one.spots for key, one in standing.items() if key != marker and (walk is None or one.walk == walk))

    def _of(self, key: str) -> Unit:
        if key not in self._units:
            unit = self._units[key] = Unit()
            for row in self._db.execute(STANDING, (key,)):
                unit.put(row["id"], (row["kind"], row["part"], row["class"]), row["count"], row["walk"])
        return self._units[key]

    def written(self, event: Stored) -> None:
        """Keep up with an event, or forget the unit it may have changed."""
        unit = self._units.get(event.unit)
        if unit is None or event.type in LEAVE_ALONE:
            return
        found = event.resolved
        if event.type in ("marker_made", "marker_amended") and "part" in found:
            alike = (found["kind"], found["part"], found["class"])
            unit.put(event.body["marker"], alike, found["count"], event.body.get("walk"))
        elif event.outcome == "applied" or found.get("kept"):
            self.forget(event.unit)

    def begin(self) -> None:
        """Forget the units that were asked about longest ago, when there are many."""
        for unit in list(self._units)[: max(0, len(self._units) - UNITS)]:
            del self._units[unit]

    def forget(self, unit: str) -> None:
        """Read the unit anew when it is asked about again."""
        self._units.pop(unit, None)
