"""Jobs: taken, handed on, done. Only the last step of a chain makes its markers reworked."""

from __future__ import annotations

import sqlite3
from typing import Any

import uuid_utils.compat as uuids

from inspect_app.journal.events import Incoming, Refusal, Resolved
from inspect_app.journal.resolve import resolves
from inspect_app.journal.resolve.planning import leave
from inspect_app.journal.store import one
from inspect_app.journal.ways import barred, ground, refuse
from inspect_app.journal.writing import Flag, Writing
from inspect_app.trade.catalogue import Method
from inspect_app.trade.outline import Outline
from inspect_app.words import gettext as _


def _job(w: Writing, event: Incoming) -> sqlite3.Row:
    w.in_time(event)
    return w.job(event, event.body.job)


def members(w: Writing, job: str) -> list[sqlite3.Row]:
    sql = "SELECT k.* FROM job_markers m JOIN markers k ON k.id = m.marker WHERE m.job = ? AND m.left_out = 0 AND k.state IN ('open', 'in_rework')"
    return w.db.execute(sql, (job,)).fetchall()


def _still_in(w: Writing, job: sqlite3.Row, marker: sqlite3.Row) -> None:
    sql = "SELECT 1 FROM job_markers WHERE job = ? AND marker = ? AND left_out = 0"
    if one(w.db, sql, (job["id"], marker["id"])) is None:
        raise Refusal(
            "left_job",
            _("%(tag)s has left this job already: an inspector has been asked about it.", tag=marker["tag"]),
            409,
        )


def _method(w: Writing, job: sqlite3.Row) -> Method:
    return w.catalogue(None).methods[job["method"]]


@resolves("job_planned")
def job_planned(w: Writing, event: Incoming) -> Resolved:
    """Made by the server; its body already says all."""
    return Resolved()


@resolves("job_taken")
def job_taken(w: Writing, event: Incoming) -> Resolved:
    """Take a job of one's department, its cautions read."""
    job = _job(w, event)
    unseen = set(_method(w, job).cautions) - set(event.body.cautions)
    state = "held" if job["waiting_what"] else job["state"]
    w.hold(event, "job", state, job_department=job["department"], cautions_unseen=len(unseen))
    markers = members(w, job["id"])
    sound = job["step"] > 1 or job["method_reason"]  # what was begun is brought to its end
    unsaid = [] if sound else [row for row in markers if not row["method_reason"]]
    if unsaid and (why := barred(ground(w, event), unsaid, job["method"], chosen=False)):
        raise refuse(w.catalogue(None), job["method"], why)
    return Resolved(values={"markers": [row["id"] for row in markers]})


@resolves("job_handed_back")
def job_handed_back(w: Writing, event: Incoming) -> Resolved:
    """Give a taken job back to the department's list."""
    job = _job(w, event)
    w.hold(event, "job", job["state"], taken_by_other=others(job, event))
    return Resolved(values={"markers": [row["id"] for row in members(w, job["id"])], "markers_to": untaken(w, job)})


def others(job: sqlite3.Row, event: Incoming) -> bool:
    return job["taken_by"] not in (None, event.person)


def untaken(w: Writing, job: sqlite3.Row) -> str:
    """The state of a job's markers once nobody has it in hand: open, unless an earlier step is done."""
    begun = one(w.db, "SELECT 1 FROM jobs WHERE chain = ? AND done_at IS NOT NULL", (job["chain"],))
    return "open" if begun is None else "in_rework"


@resolves("job_rerouted")
def job_rerouted(w: Writing, event: Incoming) -> Resolved:
    """Send a job to the department it belongs to."""
    job = _job(w, event)
    w.hold(event, "job", job["state"], taken_by_other=others(job, event))
    _department(w, event.body.department)
    if event.body.department == job["department"]:
        raise Refusal("same", _("The job is with this department already; choose another one."))
    values = {"from": job["department"], "markers": [row["id"] for row in members(w, job["id"])]}
    return Resolved(values={**values, "markers_to": untaken(w, job)})


def _department(w: Writing, key: str) -> None:
    if key not in w.catalogue(None).departments:
        raise Refusal(
            "no_department", _("'%(key)s' is not a department of this plant; choose one from the list.", key=key)
        )


@resolves("step_inserted")
def step_inserted(w: Writing, event: Incoming) -> Resolved:
    """Put another department's step before this one and what follows it, as when a polish broke through."""
    job = _job(w, event)
    w.hold(event, "job", job["state"], taken_by_other=others(job, event))
    _department(w, event.body.department)
    catalogue = w.catalogue(None)
    method = event.body.method or job["method"]
    if method not in catalogue.methods:
        raise Refusal("no_method", _("'%(key)s' is not a method of this plant; choose one from the list.", key=method))
    step = next(
        (s for s in catalogue.methods[method].chain if s.department == event.body.department),
        catalogue.methods[method].chain[0],
    )
    spots = len(members(w, job["id"]))
    return Resolved(
        values={
            "job": str(uuids.uuid7()),
            "unit": event.unit,
            "part": job["part"],
            "method": method,
            "text": step.text,
            "chain": job["chain"],
            "step": job["step"],
            "attempt": job["attempt"],
            "film": catalogue.methods[method].film,
            "method_reason": event.body.reason,
            "minutes": step.minutes_base + step.minutes_spot * spots,
            "steps": job["steps"] + 1,
            "markers": [row["id"] for row in members(w, job["id"])],
        }
    )


@resolves("waiting_for")
def waiting_for(w: Writing, event: Incoming) -> Resolved:
    """Set a job aside until a part or material is there; an empty `what` takes it up again."""
    job = _job(w, event)
    w.hold(event, "job", job["state"])
    return Resolved()


@resolves("spot_not_found")
def spot_not_found(w: Writing, event: Incoming) -> Resolved:
    """Take a marker nobody can find out of the job and ask an inspector."""
    job = _job(w, event)
    w.hold(event, "job", job["state"])
    marker = w.marker(event, event.body.marker)
    w.hold(event, "marker", marker["state"])
    _still_in(w, job, marker)
    return Resolved(
        values={
            "leave": leave(w, marker["id"]),
            "text": _("%(tag)s cannot be found: %(reason)s", tag=marker["tag"], reason=event.body.reason),
        }
    )


@resolves("no_flaw_proposed")
def no_flaw_proposed(w: Writing, event: Incoming) -> Resolved:
    """A technician sees no flaw; an inspector decides."""
    w.in_time(event)
    marker = w.marker(event, event.body.marker)
    w.hold(event, "marker", marker["state"])
    if event.body.job:
        job = w.job(event, event.body.job)
        w.hold(event, "job", job["state"])
        _still_in(w, job, marker)
    return Resolved(values={"leave": leave(w, marker["id"])})


@resolves("work_done")
def work_done(w: Writing, event: Incoming) -> Resolved:
    """Log a step: who is next, what the work undoes, and, after the last step, which markers wait for their second look."""
    unit = w.in_time(event)
    job = _job(w, event)
    w.hold(event, "job", job["state"], taken_by_me=job["taken_by"] == event.person)
    method = _method(w, job)
    markers = members(w, job["id"])
    if not markers:
        raise Flag(_("Every marker of this job was decided meanwhile."))
    following = one(
        w.db,
        "SELECT id, department FROM jobs WHERE chain = ? AND step = ? AND state = 'waiting'",
        (job["chain"], job["step"] + 1),
    )
    values: dict[str, Any] = {
        "markers": [row["id"] for row in markers],
        "department": job["department"],
        "method": job["method"],
        "attempt": job["attempt"],
        "next": dict(following) if following else None,
        "voids": voids(
            w.versions.outline(w.db, unit["outline"]), method, job["part"], [row["zone"] for row in markers]
        ),
    }
    if following is None:
        for row in markers:
            w.hold(event, "marker", row["state"], variant="last")
        values["cure_until"] = event.at + method.wait_minutes * 60_000 if method.wait_minutes else None
    return Resolved(values=values)


def voids(outline: Outline, method: Method, part: str, zones: list[str]) -> list[list[str]]:
    """List the zone and lap pairs whose looks a method undoes: its zones, its part, or the part and its neighbours."""
    scope = method.voids.scope
    if scope == "none":
        return []
    parts = {part} | (set(outline.part(part).neighbours) if scope == "part_and_neighbours" else set())
    touched = set(zones)
    if scope != "zone":
        touched |= {zone for key in parts for zone in outline.part(key).zones}
    touched |= {outline.panel_of(zone).id for zone in touched if not outline.zone(zone).laps}
    return sorted([zone, lap] for zone in touched for lap in outline.zone(zone).laps if lap in method.voids.laps)
