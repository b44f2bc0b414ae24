"""Rows of parts that leave the van, of their steps, and of mix-ups that were stopped."""

from __future__ import annotations

import json
import sqlite3
from typing import Any

from inspect_app.journal.events import Stored
from inspect_app.journal.project import projects
from inspect_app.journal.project.jobs import void
from inspect_app.journal.store import change, put


@projects("part_off")
def part_off(db: sqlite3.Connection, event: Stored) -> None:
    """Insert the part; its zones are off the van."""
    body, found = event.body, event.resolved
    row = {
        "id": body["part"],
        "unit": event.unit,
        "part": body["of"],
        "place": body.get("place"),
        "state": "off",
        "stage": "off",
    }
    told = {name: found[name] for name in ("label", "side", "material")}
    kept = {"zones": json.dumps(found["zones"]), "done": json.dumps(found["done"], sort_keys=True)}
    put(db, "parts", {**row, **told, **kept, "off_at": event.at, "off_by": event.person, "n": event.n})
    _step(db, event, "off")
    _absent(db, event, "off")


@projects("part_stage")
def part_stage(db: sqlite3.Connection, event: Stored) -> None:
    """Bring the part to its stage; a painting is kept with the van's paintings too."""
    body, found = event.body, event.resolved
    told: dict[str, Any] = {
        "state": found["state"],
        "stage": body["stage"],
        "done": json.dumps(found["done"], sort_keys=True),
    }
    if body.get("place"):
        told["place"] = body["place"]
    if body["stage"] == "painted":
        told |= {"mix": body["mix"], "booth": body["booth"]}
        how = {name: body.get(name) for name in ("booth", "sprayer", "mix")}
        row = {
            "id": event.id,
            "unit": event.unit,
            "part": found["of"],
            **how,
            "flame_at": found["flame_at"],
            "at": event.at,
        }
        put(db, "painted", {**row, "person": event.person, "n": event.n})
    change(db, "parts", body["part"], **told, n=event.n)
    _step(db, event, body["stage"], booth=body.get("booth"), mix=body.get("mix"))


@projects("part_refitted")
def part_refitted(db: sqlite3.Connection, event: Stored) -> None:
    """The part is on its van; the looks there are undone."""
    body = event.body
    back = {"state": "refitted", "stage": "refitted", "back_at": event.at, "back_by": event.person}
    change(db, "parts", body["part"], **back, reason=body.get("reason"), n=event.n)
    _step(db, event, "refitted")
    _absent(db, event, None)
    void(db, event)


@projects("part_put_back")
def part_put_back(db: sqlite3.Connection, event: Stored) -> None:
    """The part is on its van as it was."""
    back = {"state": "put_back", "stage": "off", "back_at": event.at, "back_by": event.person}
    change(db, "parts", event.body["part"], **back, reason=event.body["reason"], n=event.n)
    _step(db, event, "put_back")
    _absent(db, event, None)
    void(db, event)


@projects("mixup_stopped")
def mixup_stopped(db: sqlite3.Connection, event: Stored) -> None:
    """Insert the mix-up."""
    body, found = event.body, event.resolved
    row = {"id": event.id, "unit": event.unit, "part": body["part"], "stage": body["stage"], "read": found["read"]}
    put(db, "mixups", {**row, "vans": json.dumps(found["vans"]), "person": event.person, "at": event.at, "n": event.n})


@projects("clips_counted")
def clips_counted(db: sqlite3.Connection, event: Stored) -> None:
    """Overwrite the clips of the part and what they cost."""
    body = event.body
    counted = {f"clips_{name}": body[name] for name in ("out", "broken", "replaced")}
    change(db, "parts", body["part"], **counted, clips_cost=event.resolved["cost"], n=event.n)


def _step(db: sqlite3.Connection, event: Stored, stage: str, **more: Any) -> None:
    row = {"id": event.id, "unit": event.unit, "part": event.body["part"], "stage": stage, "person": event.person}
    put(db, "part_steps", {**row, "at": event.at, **more, "n": event.n})


def _absent(db: sqlite3.Connection, event: Stored, why: str | None) -> None:
    """Note the zones of the part as off the van, or as on it."""
    held = json.loads(db.execute("SELECT absent FROM units WHERE id = ?", (event.unit,)).fetchone()["absent"])
    for zone in event.resolved["zones"]:
        held.pop(zone, None)
        if why is not None:
            held[zone] = why
    change(db, "units", event.unit, absent=json.dumps(held, sort_keys=True), n=event.n)
