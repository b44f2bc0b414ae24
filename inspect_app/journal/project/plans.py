"""Rows of accepted plans, and the chains of jobs they put in place of others."""

from __future__ import annotations

import json
import sqlite3

from inspect_app.journal.events import Stored
from inspect_app.journal.project import projects
from inspect_app.journal.project.jobs import plant_chain
from inspect_app.journal.store import change, put


@projects("plan_accepted")
def plan_accepted(db: sqlite3.Connection, event: Stored) -> None:
    """Keep the plan, take its markers out of the jobs they were in, and insert its chains."""
    body, found = event.body, event.resolved
    told = {name: found[name] for name in ("text", "cost", "minutes", "look_minutes")}
    lists = {name: json.dumps(found[name]) for name in ("refinish", "blends")}
    told_of = {"otherwise": body.get("otherwise") or [], "markers": found["prints"]}
    lists |= {name: json.dumps(one, sort_keys=True) for name, one in told_of.items()}
    row = {"id": event.id, "unit": event.unit, "person": event.person, "at": event.at, "booth": int(found["booth"])}
    put(db, "plans", {**row, **told, **lists, "counted": body.get("counted", "minutes"), "n": event.n})
    for job in found["leave"]["jobs"]:
        db.executemany(
            "UPDATE job_markers SET left_out = 1, n = ? WHERE job = ? AND marker = ? AND left_out = 0",
            [(event.n, job, marker) for marker in found["markers"]],
        )
        change(db, "jobs", job, n=event.n)
    for job in found["leave"]["cancel"]:
        change(db, "jobs", job, state="cancelled", n=event.n)
    for marker, to in found["markers"].items():
        change(db, "markers", marker, method=to["method"], department=to["department"], planned=1, n=event.n)
    for chain in found["chains"]:
        plant_chain(db, event, chain)
