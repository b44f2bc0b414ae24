"""Rows of units, and the counts and stage that follow from what happens to them."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable

from inspect_app.journal.events import Stored
from inspect_app.journal.project import projects
from inspect_app.journal.store import change, put


@projects("unit_arrived")
def unit_arrived(db: sqlite3.Connection, event: Stored) -> None:
    """Insert the unit."""
    body, found = event.body, event.resolved
    put(
        db,
        "units",
        {
            "id": event.unit,
            "plant": body["plant"],
            "chassis": found["chassis"],
            "last_six": found["last_six"],
            "build_number": body.get("build_number", ""),
            "make": body["make"],
            "model": body["model"],
            "colour": body["colour"],
            "colour_hex": body.get("colour_hex", "#8a8f94"),
            "finish": body["finish"],
            "options": json.dumps(body.get("options", []), ensure_ascii=False),
            "due": body.get("due"),
            "outline": found["outline"],
            "absent": json.dumps(found.get("absent", {}), sort_keys=True),  # earlier arrivals do not say
            "state": "open",
            "stage": "to_walk",
            "arrived_at": event.at,
            "n": event.n,
        },
    )


@projects("unit_corrected")
def unit_corrected(db: sqlite3.Connection, event: Stored) -> None:
    """Overwrite the named fields."""
    change(db, "units", event.unit, **event.body, n=event.n)


@projects("station_passed")
def station_passed(db: sqlite3.Connection, event: Stored) -> None:
    """Insert the passing; the unit names the furthest."""
    body = event.body
    row = {"id": event.id, "unit": event.unit, "station": body["station"], "walk": body.get("walk")}
    put(db, "stations_passed", {**row, "person": event.person, "at": event.at, "n": event.n})
    change(db, "units", event.unit, station=event.resolved["furthest"], n=event.n)


@projects("part_painted")
def part_painted(db: sqlite3.Connection, event: Stored) -> None:
    """Insert the painting of a part; a part may be painted again."""
    told = {name: event.body.get(name) for name in ("part", "booth", "sprayer", "mix", "flame_at", "at")}
    put(db, "painted", {"id": event.id, "unit": event.unit, **told, "person": event.person, "n": event.n})


@projects("outline_set")
def outline_set(db: sqlite3.Connection, event: Stored) -> None:
    """Point the unit at another outline version."""
    change(db, "units", event.unit, outline=event.body["outline"], n=event.n)
    if "absent" in event.resolved:  # earlier events do not say
        change(db, "units", event.unit, absent=json.dumps(event.resolved["absent"], sort_keys=True))


@projects("zones_absent")
def zones_absent(db: sqlite3.Connection, event: Stored) -> None:
    """Note which zones are not on the van, or are again."""
    absent = json.loads(db.execute("SELECT absent FROM units WHERE id = ?", (event.unit,)).fetchone()["absent"])
    for zone in event.body["zones"]:
        absent.pop(zone, None)
        if event.body["why"] != "present":
            absent[zone] = event.body["why"]
    change(db, "units", event.unit, absent=json.dumps(absent, sort_keys=True), n=event.n)


@projects("unit_signed")
def unit_signed(db: sqlite3.Connection, event: Stored) -> None:
    """Close the unit; its sheet is on its way."""
    found = event.resolved
    change(db, "units", event.unit, state="signed", revision=found["revision"], signed_at=event.at, n=event.n)
    put(
        db,
        "sheets",
        {
            "unit": event.unit,
            "revision": found["revision"],
            "head": found["head"],
            "paper": found.get("paper", "a4"),  # earlier signings do not say
            "signed_by": event.person,
            "signed_at": event.at,
            "signed_event": event.id,
            "state": "making",
            "n": event.n,
        },
    )


@projects("unit_reopened")
def unit_reopened(db: sqlite3.Connection, event: Stored) -> None:
    """Open the unit; confirmations of its gates lapse."""
    change(db, "units", event.unit, state="open", n=event.n)
    db.execute("UPDATE gates SET state = 'lapsed', n = ? WHERE unit = ?", (event.n, event.unit))


@projects("sheet_issued")
def sheet_issued(db: sqlite3.Connection, event: Stored) -> None:
    """Name the stored files of a revision."""
    body = event.body
    db.execute(
        "UPDATE sheets SET state = 'issued', a4 = ?, letter = ?, bytes = ?, issued_at = ?, n = ? WHERE unit = ? AND revision = ?",
        (body["a4"], body["letter"], body["bytes"], event.at, event.n, event.unit, body["revision"]),
    )


COUNTED = """
UPDATE units SET (markers, open, in_rework, reworked) = (
    SELECT count(*), coalesce(sum(state = 'open' AND severity <> 'S5'), 0), coalesce(sum(state = 'in_rework'), 0), coalesce(sum(state = 'reworked'), 0)
    FROM markers WHERE unit = :unit),
  questions = (SELECT count(*) FROM questions WHERE unit = :unit AND state = 'open'),
  voided = (SELECT count(*) FROM voidings v WHERE v.unit = :unit AND NOT EXISTS (
    SELECT 1 FROM looks l WHERE l.unit = :unit AND l.zone = v.zone AND l.lap = v.lap AND l.counts = 1 AND l.undone = 0 AND l.at > v.at)
    AND NOT EXISTS (SELECT 1 FROM json_each(units.absent) a WHERE a.key = v.zone AND a.value = 'not_fitted')),
  n = :n
WHERE id = :unit
"""

STAGED = """
UPDATE units SET stage = CASE
  WHEN state = 'signed' THEN 'signed'
  WHEN EXISTS (SELECT 1 FROM walks w WHERE w.unit = :unit AND w.state = 'walking') THEN 'walking'
  WHEN NOT EXISTS (SELECT 1 FROM walks w WHERE w.unit = :unit AND w.state = 'finished' AND w.counts = 1) THEN 'to_walk'
  WHEN open + in_rework > 0 THEN 'in_rework'
  WHEN reworked > 0 OR voided > 0 THEN 'to_look_again'
  ELSE 'to_sign' END
WHERE id = :unit
"""

UNCOUNTED = {
    "photo_added",
    "photo_stored",
    "photo_refused",
    "photo_marked",
    "photo_removed",
    "origin_revised",
    "gate_confirmed",
    "waiting_for",
    "sheet_issued",
    "part_painted",
    "reading_taken",
    *("part_stage", "mixup_stopped", "clips_counted"),
    "timer_started",
    "timer_ended",
}


def needs_count(event: Stored, undone: Callable[[str, str, str], bool]) -> bool:
    """Tell whether an event can change its unit's counts or stage. A look can only where work has undone one.

    `undone` tells that of a unit, a zone and a lap.
    """
    if event.type == "zone_looked" and event.outcome == "applied":
        return undone(event.unit, event.body["zone"], event.body["lap"])
    return event.type not in UNCOUNTED or event.outcome != "applied"


def undone(db: sqlite3.Connection, unit: str, zone: str, lap: str) -> bool:
    """Tell whether work has undone a look here, whenever that was."""
    sql = "SELECT 1 FROM voidings WHERE unit = ? AND zone = ? AND lap = ?"
    return db.execute(sql, (unit, zone, lap)).fetchone() is not None


def count(db: sqlite3.Connection, unit: str, n: int) -> None:
    """Count the unit's markers anew and name its stage, as of event `n`."""
    db.execute(COUNTED, {"unit": unit, "n": n})
    db.execute(STAGED, {"unit": unit})
