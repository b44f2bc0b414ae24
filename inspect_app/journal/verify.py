"""Prove that nothing inside has been changed: walk every chain, rebuild every projection, compare row by row."""

from __future__ import annotations

import json
import sqlite3
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import orjson

from inspect_app.journal import chain, project, store
from inspect_app.journal.events import Stored
from inspect_app.journal.schema import PROJECTIONS

EVENTS = """
SELECT e.n, e.id, e.stream, e.type, e.tablet, e.ticket, e.person, e.at, e.received_at,
  e.body, e.resolved, e.outcome, e.reason, p.content
FROM events e LEFT JOIN private p ON p.event = e.id ORDER BY e.n
"""  # in the order of Stored


@dataclass(frozen=True)
class Told:
    """What verifying found: clean or not, and the sentence that says so."""

    clean: bool
    sentence: str


def verify(folder: Path) -> Told:
    """Check a data folder; it may be in use meanwhile, since one read transaction sees one moment of it."""
    db = store.connect(folder / "lampwalk.db", readonly=True)
    try:
        db.execute("BEGIN")
        fault = next(_chains(db), None) or next(_heads(db), None) or next(_anchors(db), None)
        fault = fault or _rebuilt(db) or next(_files(db, folder), None)
        if fault:
            return Told(False, fault)
        events = store.value(db, "SELECT count(*) FROM events")
        streams = store.value(db, "SELECT count(*) FROM streams")
        return Told(True, f"Clean: {events} events in {streams} chains; every row of the tables follows from them.")
    finally:
        db.close()


def _chains(db: sqlite3.Connection) -> Iterator[str]:
    heads: dict[str, tuple[int, str]] = {}
    private = {row["event"]: row for row in db.execute("SELECT * FROM private")}
    for *covered, hashed in _plain(db, f"SELECT {', '.join(chain.COVERED)}, hash FROM events ORDER BY n"):
        key, stream, seq = covered[:3]
        sealed, prev = covered[-2:]
        before, head = heads.get(stream, (0, chain.GENESIS))
        if seq != before + 1 or prev != head:
            yield f"The chain breaks at {_where(covered)}: it does not follow the event before it."
        if chain.covered_hash(covered) != hashed:
            yield f"The chain breaks at {_where(covered)}: its words are not the ones that were hashed."
        words = private.pop(key, None)
        if words is not None and chain.digest(words["salt"] + words["content"]) != sealed:
            yield f"The private words of {_where(covered)} are not the ones that were sealed."
        heads[stream] = (seq, hashed)
    if private:
        yield f"There are private words for an event that is not in any chain ({next(iter(private))})."
    told = {row["stream"]: (row["seq"], row["head"]) for row in db.execute("SELECT * FROM streams")}
    if told != heads:
        stream = next(key for key in sorted(told.keys() | heads.keys()) if told.get(key) != heads.get(key))
        yield f"The noted head of {stream} is not the end of its chain; events at its end are missing or were added."


def _where(covered: Sequence[Any]) -> str:
    key, stream, seq, event_type = covered[:4]
    return f"event {seq} of {stream} ({event_type}, {key})"


def _plain(db: sqlite3.Connection, sql: str) -> sqlite3.Cursor:
    """Rows as bare tuples: a quarter of the time where there are hundreds of thousands."""
    cursor = db.cursor()
    cursor.row_factory = None
    return cursor.execute(sql)


def _heads(db: sqlite3.Connection) -> Iterator[str]:
    for row in db.execute("SELECT unit, revision, head FROM sheets"):
        if (
            store.value(db, "SELECT 1 FROM events WHERE stream = ? AND hash = ?", (f"unit:{row['unit']}", row["head"]))
            is None
        ):
            yield f"Sheet {row['revision']} of unit {row['unit']} names a head that is not in the unit's chain."


def _anchors(db: sqlite3.Connection) -> Iterator[str]:
    found: set[tuple[str, str]] = set()  # a signed unit has the same head day after day
    for row in db.execute("SELECT body FROM events WHERE type = 'heads_anchored'"):
        anchored = json.loads(row["body"])
        for stream, head in anchored["heads"].items() - found:
            if store.value(db, "SELECT 1 FROM events WHERE stream = ? AND hash = ?", (stream, head)) is None:
                yield f"The head of {stream} that was anchored on {anchored['day']} is no longer in its chain."
            found.add((stream, head))


def _files(db: sqlite3.Connection, folder: Path) -> Iterator[str]:
    from inspect_app.photos import Store

    kept = Store(folder / "photos")
    for row in db.execute("SELECT sha FROM blobs ORDER BY n"):
        path = kept.path(row["sha"], "full")
        if not path.exists():
            yield f"The picture {row['sha'][:16]}… is missing from the photos folder."
        elif _sha256(path) != row["sha"]:
            yield f"The picture {row['sha'][:16]}… is not the one that was stored."
    for row in db.execute("SELECT unit, revision, a4, letter FROM sheets WHERE state = 'issued'"):
        for sha in (row["a4"], row["letter"]):
            path = folder / "sheets" / f"{sha}.pdf"
            if not path.exists() or _sha256(path) != sha:
                yield f"The file of sheet {row['revision']} of unit {row['unit']} is missing or changed."


def _sha256(path: Path) -> str:
    import hashlib

    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _rebuilt(db: sqlite3.Connection) -> str | None:
    with tempfile.TemporaryDirectory(prefix="lampwalk-verify-") as folder:
        path = Path(folder) / "rebuilt.db"
        anew = store.connect(path)
        try:
            for pragma in ("journal_mode=OFF", "synchronous=OFF", "cache_size=-200000"):  # nobody needs it afterwards
                anew.execute(f"PRAGMA {pragma}")
            store.bring_up(anew)
            anew.execute("BEGIN")
            project.replay(anew, events(db))
            return next(_differences(db, anew), None)
        finally:
            anew.close()


def events(db: sqlite3.Connection) -> Iterator[Stored]:
    """Every event of the chains, oldest first, as the projections read it."""
    for *header, body, resolved, outcome, reason, content in _plain(db, EVENTS):
        private = orjson.loads(content) if content else {}
        yield Stored._make([*header, orjson.loads(body), orjson.loads(resolved), outcome, reason, private])


def _differences(live: sqlite3.Connection, anew: sqlite3.Connection) -> Iterator[str]:
    for table in PROJECTIONS:
        keys = [row["name"] for row in live.execute(f"PRAGMA table_info({table})") if row["pk"]]
        order = ", ".join(keys)
        sql = f"SELECT * FROM {table} ORDER BY {order}"
        if _same(_plain(live, sql), _plain(anew, sql)):
            continue
        ours, theirs = live.execute(sql), anew.execute(sql)
        for left, right in _pairs(ours, theirs, keys):
            yield from _compared(table, keys, left, right)


def _same(ours: sqlite3.Cursor, theirs: sqlite3.Cursor) -> bool:
    """Whether two tables hold the same rows in the same order, a thousand at a time."""
    while left := ours.fetchmany(1000):
        if left != theirs.fetchmany(1000):
            return False
    return not theirs.fetchmany(1)


def _pairs(
    ours: sqlite3.Cursor, theirs: sqlite3.Cursor, keys: list[str]
) -> Iterator[tuple[sqlite3.Row | None, sqlite3.Row | None]]:
    """Walk both tables in the order of their keys; a row that only one of them has comes beside None."""
    left, right = ours.fetchone(), theirs.fetchone()
    while left is not None or right is not None:
        order = _order(left, right, keys)
        yield (left if order <= 0 else None), (right if order >= 0 else None)
        left = ours.fetchone() if order <= 0 else left
        right = theirs.fetchone() if order >= 0 else right


def _order(left: sqlite3.Row | None, right: sqlite3.Row | None, keys: list[str]) -> int:
    if left is None or right is None:
        return 1 if left is None else -1
    a, b = ([str(row[key]) for key in keys] for row in (left, right))
    return (a > b) - (a < b)


def _compared(table: str, keys: list[str], left: sqlite3.Row | None, right: sqlite3.Row | None) -> Iterator[str]:
    def name(row: sqlite3.Row) -> str:
        return " ".join(str(row[key]) for key in keys)

    if left is None and right is not None:
        yield f"{table}: the row {name(right)} follows from the events but is missing."
    elif right is None and left is not None:
        yield f"{table}: the row {name(left)} is there but follows from no event."
    elif left is not None and right is not None and tuple(left) != tuple(right):
        column = next(key for key in left.keys() if left[key] != right[key])  # noqa: SIM118  (a Row is no mapping)
        yield f"{table}: '{column}' of {name(left)} is {left[column]!r}; the events say {right[column]!r}."
