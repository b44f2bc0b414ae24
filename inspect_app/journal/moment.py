"""What the writer knows while it writes one commit. Nobody else writes, so what it has read stays true until it changes it.

Heads of streams and the counts of units are written once at the end of the commit, not once an event: a tablet that comes
back with two hundred events would otherwise have its unit counted two hundred times.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

from inspect_app.journal import chain
from inspect_app.journal.events import Incoming, Stored
from inspect_app.journal.project import units
from inspect_app.journal.store import one, value
from inspect_app.journal.tally import Made, Tally
from inspect_app.trade.catalogue import Catalogue

FEW = 3  # events that are asked about one by one: a table of JSON costs as much as that to set up
ANSWERED = "SELECT EXISTS (SELECT 1 FROM events WHERE id = :id) OR EXISTS (SELECT 1 FROM refused WHERE id = :id)"
KNOWN = (
    "SELECT id FROM events WHERE id IN (SELECT value FROM json_each(:ids))"
    " UNION ALL SELECT id FROM refused WHERE id IN (SELECT value FROM json_each(:ids))"
)
# Counts are left out on purpose: they may be behind within a commit, and a resolver that wants them asks `counted`.
HELD = "SELECT id, plant, last_six, outline, absent, state, revision, station FROM units WHERE id = ?"
# Events that change neither what is held of a unit nor its walks, and undo no look; they are what comes by the hundred.
LEAVE_ALONE = frozenset({"marker_made", "zone_looked", "photo_added", "photo_stored"})
SEEN_BY_NOBODY = LEAVE_ALONE - {"marker_made"}  # they change nothing at all of what is remembered here


class Head(NamedTuple):
    """The end of a stream's chain."""

    seq: int
    hash: str


class Mark(NamedTuple):
    """Where a stream stood before an event, to go back to when the event is undone."""

    stream: str
    head: Head | None
    uncounted: int | None


@dataclass
class Remembered:
    """What the plant's own rows say, from one commit to the next, until its stream says more or a commit is undone."""

    catalogues: dict[str | None, Catalogue] = field(default_factory=dict)
    letters: dict[str, str | None] = field(default_factory=dict)
    zone: str | None = None

    def forget(self) -> None:
        """Read all of it anew when it is asked for again."""
        self.catalogues.clear()
        self.letters.clear()
        self.zone = None


@dataclass
class Moment:
    """The commit at hand. `known` are the ids among those being written that were answered before."""

    db: sqlite3.Connection
    tally: Tally
    plant: Remembered = field(default_factory=Remembered)
    known: set[str] = field(default_factory=set)
    _heads: dict[str, Head] = field(default_factory=dict)
    _uncounted: dict[str, int] = field(default_factory=dict)
    _units: dict[str, sqlite3.Row | None] = field(default_factory=dict)
    _walks: dict[str, sqlite3.Row | None] = field(default_factory=dict)
    _absent: dict[str, dict[str, str]] = field(default_factory=dict)
    _undone: dict[str, dict[tuple[str, str], int]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.made = Made(self.db)

    def look_up(self, events: Iterable[Incoming]) -> None:
        """Find out at one go which of these have been answered before, and which markers they make there are already."""
        events = list(events)
        if len(events) <= FEW:
            self.known.update(event.id for event in events if value(self.db, ANSWERED, {"id": event.id}))
        else:
            ids = json.dumps([event.id for event in events])
            self.known.update(row["id"] for row in self.db.execute(KNOWN, {"ids": ids}))
        self.made.look_up(events)

    # ------------------------------------------------------------------ chains

    def head(self, stream: str) -> Head:
        """The end of a chain as it is now."""
        found = self._heads.get(stream)
        if found is None:
            row = one(self.db, "SELECT seq, head FROM streams WHERE stream = ?", (stream,))
            found = Head(row["seq"], row["head"]) if row else Head(0, chain.GENESIS)
        return found

    def grown(self, stream: str, head: Head) -> None:
        """Note that a chain has a new end."""
        self._heads[stream] = head

    # ------------------------------------------------------------------ rows read once

    def unit(self, key: str) -> sqlite3.Row | None:
        """What no count changes of a unit: id, plant, outline, absent, state, revision, station."""
        if key not in self._units:
            self._units[key] = one(self.db, HELD, (key,))
        return self._units[key]

    def absent(self, unit: sqlite3.Row) -> dict[str, str]:
        """Zones that are not on the van now, with why."""
        text: str = unit["absent"]
        if text not in self._absent:
            self._absent[text] = json.loads(text)
        return self._absent[text]

    def walk(self, key: str) -> sqlite3.Row | None:
        """A walk."""
        if key not in self._walks:
            self._walks[key] = one(self.db, "SELECT * FROM walks WHERE id = ?", (key,))
        return self._walks[key]

    def undone(self, unit: str) -> dict[tuple[str, str], int]:
        """Zone and lap of every look at a unit that work has undone, with the time (ms) of the last work."""
        if unit not in self._undone:
            rows = self.db.execute("SELECT zone, lap, at FROM voidings WHERE unit = ?", (unit,))
            self._undone[unit] = {(row["zone"], row["lap"]): row["at"] for row in rows}
        return self._undone[unit]

    def letters(self, tablet: str) -> str | None:
        """The letters of a tablet, which it keeps for ever."""
        known = self.plant.letters
        if tablet not in known:
            known[tablet] = value(self.db, "SELECT letters FROM tablets WHERE id = ?", (tablet,))
        return known[tablet]

    def zone(self) -> str:
        """The plant's time zone."""
        if self.plant.zone is None:
            self.plant.zone = str(value(self.db, "SELECT value FROM settings WHERE name = 'timezone'") or "UTC")
        return self.plant.zone

    def written(self, event: Stored) -> None:
        """Forget what an event may have changed."""
        if event.type in SEEN_BY_NOBODY:
            return
        self.made.written(event)
        self.tally.written(event)
        self._forget(event.type, event.stream)

    def _forget(self, event_type: str, stream: str) -> None:
        if stream == "plant":
            self.plant.forget()
        elif event_type not in LEAVE_ALONE:
            self._units.pop(stream.removeprefix("unit:"), None)
            self._undone.pop(stream.removeprefix("unit:"), None)
            self._walks.clear()

    # ------------------------------------------------------------------ counts

    def count_later(self, unit: str, n: int) -> None:
        """Note that a unit's counts are behind since event `n`."""
        self._uncounted[unit] = n

    def needs_count(self, event: Stored) -> bool:
        """Tell whether an event can change its unit's counts or stage."""
        return units.needs_count(event, self._was_undone)

    def _was_undone(self, unit: str, zone: str, lap: str) -> bool:
        return (zone, lap) in self.undone(unit)

    def counted(self, unit: str) -> sqlite3.Row:
        """The whole row of a unit with its counts brought up to now."""
        self._count(unit)
        row: sqlite3.Row = self.db.execute("SELECT * FROM units WHERE id = ?", (unit,)).fetchone()
        return row

    def _count(self, unit: str) -> None:
        n = self._uncounted.pop(unit, None)
        if n is not None:
            units.count(self.db, unit, n)

    # ------------------------------------------------------------------ undoing, and the end

    def mark(self, stream: str) -> Mark:
        """Remember where a stream stands."""
        return Mark(stream, self._heads.get(stream), self._uncounted.get(stream.removeprefix("unit:")))

    def back_to(self, mark: Mark) -> None:
        """Go back to where the stream stood, as the database does."""
        self._forget("", mark.stream)
        unit = mark.stream.removeprefix("unit:")
        self.made.forget()
        self.tally.forget(unit)
        self._heads.pop(mark.stream, None)
        self._uncounted.pop(unit, None)
        if mark.head is not None:
            self._heads[mark.stream] = mark.head
        if mark.uncounted is not None:
            self._uncounted[unit] = mark.uncounted

    def settle(self) -> None:
        """Write the ends of the chains and the counts, so that the commit is whole."""
        self.db.executemany(
            "INSERT INTO streams (stream, seq, head) VALUES (?, ?, ?) ON CONFLICT (stream) DO UPDATE SET seq = excluded.seq, head = excluded.head",
            [(stream, *head) for stream, head in self._heads.items()],
        )
        for unit in list(self._uncounted):
            self._count(unit)
