"""Sheets of units: their rows, and a unit as it stood when one of them was signed."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from sqlite_utils import Database

from inspect_app.journal import project
from inspect_app.journal.events import Stored, stored
from inspect_app.journal.schema import migrations
from inspect_app.journal.store import one, value

Rows = tuple[sqlite3.Row, ...]


@dataclass(frozen=True, kw_only=True)
class AsSigned:
    """A unit as it stood at one signing: plain rows of the projections at that event, oldest first.

    `gates` are those the signing event found held, `strokes` the drawn signature (points 0 to 1000), `note` what the
    signer's page said about it. `reasons` tells why markers were withdrawn, by marker; `otherwise` are
    the events (type, body, resolved, person, at) by which somebody chose otherwise than the rules say, with a reason. `photo_states` are of now: a
    picture announced before the signing may have arrived since. `looks` leaves out those taken back.
    """

    sheet: sqlite3.Row
    unit: sqlite3.Row
    catalogue: str
    gates: list[dict[str, Any]]
    overrides: Rows
    strokes: list[list[tuple[int, int]]]
    note: str
    markers: Rows
    work: Rows
    walks: Rows
    looks: Rows
    questions: Rows
    concessions: Rows
    checks: Rows
    readings: Rows
    photos: Rows
    job_markers: Rows
    photo_states: dict[str, sqlite3.Row]
    earlier: Rows
    reasons: dict[str, str]
    otherwise: list[dict[str, Any]]
    reopened: list[str]


def sheet(db: sqlite3.Connection, unit: str, revision: str) -> sqlite3.Row | None:
    """Read the row of one sheet, or None."""
    return one(db, "SELECT * FROM sheets WHERE unit = ? AND revision = ?", (unit, revision))


def of_unit(db: sqlite3.Connection, unit: str) -> list[sqlite3.Row]:
    """Read all sheets of a unit, the newest first."""
    return db.execute("SELECT * FROM sheets WHERE unit = ? ORDER BY signed_at DESC, n DESC", (unit,)).fetchall()


def making(db: sqlite3.Connection) -> list[tuple[str, str]]:
    """Read unit and revision of every sheet that was signed for and is not made, the longest waiting first."""
    rows = db.execute("SELECT unit, revision FROM sheets WHERE state = 'making' ORDER BY signed_at")
    return [(row["unit"], row["revision"]) for row in rows]


def lately(db: sqlite3.Connection, limit: int = 20) -> list[sqlite3.Row]:
    """Read the sheets signed last, with what names their units and what has come to light since."""
    sql = (
        "SELECT s.unit, s.revision, s.state AS sheet, s.signed_by, s.signed_at, u.state, u.last_six, u.make, u.model,"
        " u.colour, u.colour_hex, u.build_number, u.questions, u.revision AS newest,"
        ' (SELECT count(*) FROM markers m WHERE m.unit = s.unit AND m."escape" = 1) AS escapes'
        " FROM sheets s JOIN units u ON u.id = s.unit ORDER BY s.n DESC LIMIT ?"
    )
    return sorted(db.execute(sql, (limit,)), key=lambda row: -row["signed_at"])


def as_signed(db: sqlite3.Connection, unit: str, revision: str) -> AsSigned | None:
    """Read a unit as it stood when this revision was signed; None when it was never signed so.

    The unit's events up to the signing are copied into projections of their own: what came later, or was changed after
    a reopening, does not reach the sheet however late it is made.
    """
    row = sheet(db, unit, revision)
    if row is None:
        return None
    signing = one(db, "SELECT * FROM events WHERE id = ?", (row["signed_event"],))
    if signing is None:
        return None
    with _projected(db, unit, signing["n"]) as then:
        return _read(db, then, row, signing)


def _read(db: sqlite3.Connection, then: sqlite3.Connection, row: sqlite3.Row, signing: sqlite3.Row) -> AsSigned:
    unit, private = row["unit"], _private(db, signing["id"])

    def rows(table: str, order: str = "n", where: str = "1") -> Rows:
        return tuple(then.execute(f'SELECT * FROM {table} WHERE unit = ? AND {where} ORDER BY "{order}"', (unit,)))

    return AsSigned(
        sheet=row,
        unit=then.execute("SELECT * FROM units WHERE id = ?", (unit,)).fetchone(),
        catalogue=_catalogue(db, signing["n"]),
        gates=json.loads(signing["resolved"])["gates"],
        overrides=rows("gates", where="tablet <> '' AND state = 'confirmed'"),
        strokes=private.get("strokes") or [],
        note=private.get("note") or "",
        markers=rows("markers", "made_at"),
        work=rows("work", "at"),
        walks=rows("walks", "started_at"),
        looks=rows("looks", "at", "undone = 0"),
        questions=rows("questions", "asked_at"),
        concessions=rows("concessions", "asked_at"),
        checks=rows("gate_checks", "at"),
        readings=rows("readings", "at"),
        photos=rows("photos", "at", "state <> 'removed'"),
        job_markers=rows("job_markers", where="left_out = 0"),
        photo_states={found["id"]: found for found in db.execute("SELECT * FROM photos WHERE unit = ?", (unit,))},
        earlier=tuple(sheet for sheet in rows("sheets", "signed_at") if sheet["revision"] != row["revision"]),
        reasons=_withdrawn(db, unit, signing["n"]),
        otherwise=_otherwise(db, unit, signing["n"]),
        reopened=_reopened(db, unit, signing["n"]),
    )


@contextmanager
def _projected(db: sqlite3.Connection, unit: str, newest: int) -> Iterator[sqlite3.Connection]:
    """Copy the events of one unit, up to a running number, into projections in memory."""
    then = sqlite3.connect(":memory:", isolation_level=None)
    then.row_factory = sqlite3.Row
    try:
        migrations.apply(Database(then))
        then.execute("BEGIN")
        project.replay(then, _events(db, f"unit:{unit}", newest))
        then.execute("COMMIT")
        yield then
    finally:
        then.close()


def _events(db: sqlite3.Connection, stream: str, newest: int) -> Iterator[Stored]:
    sql = (
        "SELECT e.*, p.content FROM events e LEFT JOIN private p ON p.event = e.id"
        " WHERE e.stream = ? AND e.n <= ? ORDER BY e.stream_seq"
    )
    for row in db.execute(sql, (stream, newest)):
        yield stored(row)


def _private(db: sqlite3.Connection, event: str) -> dict[str, Any]:
    content = value(db, "SELECT content FROM private WHERE event = ?", (event,))
    found: dict[str, Any] = json.loads(content) if content else {}
    return found


def _catalogue(db: sqlite3.Connection, newest: int) -> str:
    sql = "SELECT body FROM events WHERE type = 'catalogue_published' AND n <= ? ORDER BY n DESC LIMIT 1"
    return str(json.loads(value(db, sql, (newest,)))["hash"])


def _bodies(db: sqlite3.Connection, unit: str, event_type: str, newest: int) -> Iterator[dict[str, Any]]:
    sql = "SELECT body FROM events WHERE stream = ? AND type = ? AND n <= ? AND outcome = 'applied' ORDER BY n"
    for row in db.execute(sql, (f"unit:{unit}", event_type, newest)):
        yield json.loads(row["body"])


def _withdrawn(db: sqlite3.Connection, unit: str, newest: int) -> dict[str, str]:
    return {body["marker"]: body["reason"] for body in _bodies(db, unit, "marker_withdrawn", newest)}


def _otherwise(db: sqlite3.Connection, unit: str, newest: int) -> list[dict[str, Any]]:
    """Where a person chose otherwise than the rules or the sums say, with their reason, the oldest first."""
    sql = (
        "SELECT type, body, resolved, person, at FROM events WHERE stream = ? AND n <= ? AND outcome = 'applied'"
        " AND type IN ('method_chosen', 'marker_amended', 'plan_accepted', 'part_refitted')"
        " AND (body ->> 'reason' IS NOT NULL OR body ->> 'method_reason' IS NOT NULL OR body ->> '$.otherwise[0]' IS NOT NULL)"
        " ORDER BY n"
    )
    return [
        {**dict(row), "body": json.loads(row["body"]), "resolved": json.loads(row["resolved"] or "{}")}
        for row in db.execute(sql, (f"unit:{unit}", newest))
    ]


def _reopened(db: sqlite3.Connection, unit: str, newest: int) -> list[str]:
    """Why the unit was reopened, each time, the first first."""
    return [body["reason"] for body in _bodies(db, unit, "unit_reopened", newest)]
