"""How a flaw is put right: what was seen of it, which method is chosen, and which job a manager puts first."""

from __future__ import annotations

import json
import sqlite3
from typing import Any

import uuid_utils.compat as uuids

from inspect_app.journal.events import Incoming, Refusal, Resolved
from inspect_app.journal.resolve import resolves
from inspect_app.journal.resolve.jobs import members, others, untaken
from inspect_app.journal.resolve.planning import spots_minutes
from inspect_app.journal.store import one
from inspect_app.journal.ways import barred, ground, refuse
from inspect_app.journal.writing import Writing
from inspect_app.trade.catalogue import Method
from inspect_app.words import gettext as _


@resolves("spot_examined")
def spot_examined(w: Writing, event: Incoming) -> Resolved:
    """Note what somebody saw of a flaw close by; what was seen before and is not said anew stays."""
    w.in_time(event)
    marker = w.marker(event, event.body.marker)
    w.hold(event, "marker", marker["state"])
    return Resolved(values={"seen": {**json.loads(marker["examined"] or "{}"), **event.body.seen()}})


@resolves("method_chosen")
def method_chosen(w: Writing, event: Incoming) -> Resolved:
    """Let a job's markers be put right another way, or by a barred method with a reason; nobody may have begun."""
    w.in_time(event)
    job = w.job(event, event.body.job)
    catalogue, key = w.catalogue(None), event.body.method
    if key not in catalogue.methods or catalogue.methods[key].retired:
        raise Refusal("no_method", _("'%(key)s' is not a method of this plant; choose one from the list.", key=key))
    same = key == job["method"]
    state = w.hold(event, "job", job["state"], variant="same" if same else None, taken_by_other=others(job, event))
    markers = members(w, job["id"])
    why = barred(ground(w, event), markers, key)
    if why and not event.body.reason:
        raise refuse(catalogue, key, why)
    if same and not event.body.reason:
        raise Refusal("same", _("The job is done this way already; choose another one."))
    values: dict[str, Any] = {
        "was": job["method"],
        "barred": why,
        "state": state,
        "markers": [m["id"] for m in markers],
    }
    if same:
        return Resolved(values=values)
    if _begun(w, job):
        raise Refusal(
            "begun", _("Work on this has begun, or a step was put before it; add a step before this one instead."), 409
        )
    spots = sum(marker["count"] for marker in markers)
    return Resolved(values={**values, **_steps(catalogue.methods[key], spots), "markers_to": untaken(w, job)})


def _begun(w: Writing, job: sqlite3.Row) -> bool:
    """Whether a step of the chain is done, or one of another method was put before it."""
    sql = (
        "SELECT 1 FROM jobs WHERE chain = ? AND state <> 'cancelled'"
        " AND (done_at IS NOT NULL OR method <> ? OR (step < ? AND id <> ?)) LIMIT 1"
    )
    return one(w.db, sql, (job["chain"], job["method"], job["step"], job["id"])) is not None


def _steps(method: Method, spots: int) -> dict[str, Any]:
    """Return the steps as they will stand: the job that is there does the first, the others are new."""
    return {
        "film": method.film,
        "steps": [
            {
                "id": None if number == 1 else str(uuids.uuid7()),
                "department": step.department,
                "step": number,
                "text": step.text,
                "minutes": step.minutes_base + spots_minutes(step, spots),
            }
            for number, step in enumerate(method.chain, start=1)
        ],
    }


@resolves("job_pinned")
def job_pinned(w: Writing, event: Incoming) -> Resolved:
    """Put a job before all others on its lists, by a manager's word, or no longer."""
    w.in_time(event)
    job = w.job(event, event.body.job)
    w.hold(event, "job", job["state"])
    return Resolved()
