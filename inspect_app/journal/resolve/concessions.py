"""Concessions: asked by an inspector, agreed by a manager, for an S2 by one more named person, never for an S1."""

from __future__ import annotations

import json
import sqlite3

from inspect_app.journal.events import Incoming, Refusal, Resolved
from inspect_app.journal.resolve import resolves
from inspect_app.journal.resolve.markers import worked
from inspect_app.journal.resolve.planning import leave
from inspect_app.journal.store import one
from inspect_app.journal.writing import Writing
from inspect_app.words import gettext as _


@resolves("concession_asked")
def concession_asked(w: Writing, event: Incoming) -> Resolved:
    """Ask to release a named flaw as it is, with the reason and who agreed for the customer."""
    w.in_time(event)
    marker = w.marker(event, event.body.marker)
    w.hold(event, "marker", marker["state"], severity=marker["severity"])
    w.hold(event, "concession", "none")
    if not (event.private or {}).get("customer"):
        raise Refusal("customer", _("'customer' is missing: name who agreed for the customer."))
    if one(w.db, "SELECT 1 FROM concessions WHERE marker = ? AND state = 'asked'", (marker["id"],)):
        raise Refusal("asked_already", _("A concession for this marker is waiting for its answer already."), 409)
    if one(w.db, "SELECT 1 FROM concessions WHERE id = ?", (event.body.concession,)):
        raise Refusal("concession_exists", _("A concession with this id was asked for before."), 409)
    return Resolved(values={"needed": _needed(w, event, marker)})


def _needed(w: Writing, event: Incoming, marker: sqlite3.Row) -> int:
    return w.catalogue(event.catalogue).severities[marker["severity"]].approvers or 1


@resolves("concession_agreed")
def concession_agreed(w: Writing, event: Incoming) -> Resolved:
    """Agree; with the last name needed the marker is conceded and leaves the work.

    How many are needed goes by what the marker is now: it may have been asked for as an S3 and be an S2.
    """
    w.in_time(event)
    asked = w.part_of(event, "concessions", event.body.concession, "concession")
    approvers = json.loads(asked["approvers"])
    w.hold(
        event,
        "concession",
        asked["state"],
        asked_by_me=asked["asked_by"] == event.person,
        agreed_by_me=any(one_["person"] == event.person for one_ in approvers),
        manager_agrees="manager" in event.roles or any(one_["as"] == "manager" for one_ in approvers),
        actor_worked=worked(w, asked["marker"], event.person),
    )
    approvers.append(
        {"person": event.person, "at": event.at, "as": "manager" if "manager" in event.roles else "inspector"}
    )
    marker = w.marker(event, asked["marker"])
    to = w.hold(event, "marker", marker["state"], variant="final", severity=marker["severity"])
    needed = max(asked["needed"], _needed(w, event, marker))
    told = {"approvers": approvers, "needed": needed, "marker": marker["id"]}
    if len(approvers) < needed:
        return Resolved(values={**told, "final": False})
    return Resolved(values={**told, "final": True, "to": to, "leave": leave(w, marker["id"])})


@resolves("concession_refused")
def concession_refused(w: Writing, event: Incoming) -> Resolved:
    """Refuse, with the reason; the marker stays in the work."""
    w.in_time(event)
    asked = w.part_of(event, "concessions", event.body.concession, "concession")
    w.hold(event, "concession", asked["state"])
    return Resolved(values={"marker": asked["marker"]})
