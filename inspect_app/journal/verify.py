"""Prove that nothing inside has been changed: walk every chain, rebuild every projection, compare row by row."""

from __future__ import annotations

import json
import sqlite3
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from inspect_app.journal import chain, project, store
from inspect_app.journal.events import Stored, stored
from inspect_app.journal.schema import PROJECTIONS


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
    for row in db.execute("SELECT * FROM events ORDER BY n"):
        seq, head = heads.get(row["stream"], (0, chain.GENESIS))
        where = f"event {row['stream_seq']} of {row['stream']} ({row['type']}, {row['id']})"
        if row["stream_seq"] != seq + 1 or row["prev"] != head:
            yield f"The chain breaks at {where}: it does not follow the event before it."
        if chain.event_hash(row) != row["hash"]:
            yield f"The chain breaks at {where}: its words are not the ones that were hashed."
        words = private.pop(row["id"], None)
        if words is not None and chain.digest(words["salt"] + words["content"]) != row["private_hash"]:
            yield f"The private words of {where} are not the ones that were sealed."
        heads[row["stream"]] = (row["stream_seq"], row["hash"])
    if private:
        yield f"There are private words for an event that is not in any chain ({next(iter(private))})."
    told = {row["stream"]: (row["seq"], row["head"]) for row in db.execute("SELECT * FROM streams")}
    if told != heads:
        stream = next(key for key in sorted(told.keys() | heads.keys()) if told.get(key) != heads.get(key))
        yield f"The noted head of {stream} is not the end of its chain; events at its end are missing or were added."


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
        store.migrate(path)
        anew = store.connect(path)
        try:
            anew.execute("PRAGMA synchronous=OFF")
            anew.execute("BEGIN")
            project.replay(anew, events(db))
            return next(_differences(db, anew), None)
        finally:
            anew.close()


def events(db: sqlite3.Connection) -> Iterator[Stored]:
    """Every event of the chains, oldest first, as the projections read it."""
    sql = "SELECT e.*, p.content FROM events e LEFT JOIN private p ON p.event = e.id ORDER BY e.n"
    for row in db.execute(sql):
        yield stored(row)


def _differences(live: sqlite3.Connection, anew: sqlite3.Connection) -> Iterator[str]:
    for table in PROJECTIONS:
        keys = [row["name"] for row in live.execute(f"PRAGMA table_info({table})") if row["pk"]]
        order = ", ".join(keys)
        ours, theirs = (db.execute(f"SELECT * FROM {table} ORDER BY {order}") for db in (live, anew))
        for left, right in _pairs(ours, theirs, keys):
            yield from _compared(table, keys, left, right)


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
