"""Walks, the looks taken on them, and the rule that ends them."""

from __future__ import annotations

from inspect_app.journal import coverage
from inspect_app.journal.events import Incoming, Refusal, Resolved
from inspect_app.journal.queries.versions import has_outline
from inspect_app.journal.resolve import resolves
from inspect_app.journal.resolve.planning import plan
from inspect_app.journal.resolve.units import zone_of
from inspect_app.journal.store import one
from inspect_app.journal.writing import Writing
from inspect_app.words import gettext as _


@resolves("walk_started")
def walk_started(w: Writing, event: Incoming) -> Resolved:
    """Begin a walk; while one of the same purpose is under way on the unit, it is joined, not doubled."""
    unit = w.in_time(event)
    purpose = w.catalogue(event.catalogue).walks.get(event.body.purpose)
    if purpose is None:
        raise Refusal(
            "purpose", _("'%(key)s' is not a walk this plant makes; reload the page.", key=event.body.purpose)
        )
    if one(w.db, "SELECT id FROM walks WHERE id = ?", (event.body.walk,)):
        raise Refusal("walk_exists", _("A walk with this id was started before."), 409)
    w.hold(event, "walk", "none")
    values = {"counts": purpose.counts_for_coverage}
    return Resolved(values=values | _walked_on(w, event, unit["outline"]))


def _walked_on(w: Writing, event: Incoming, held: str) -> dict[str, str]:
    """Name the outline that the unit's first walk was begun on, if the unit was set to another one meanwhile.

    A tablet that was out of reach then brings markers with places on its own drawing, so the unit goes back to that.
    """
    if event.outline in (None, held) or not has_outline(w.db, str(event.outline)):
        return {}
    begun = one(w.db, "SELECT 1 FROM walks WHERE unit = ?", (event.unit,))
    return {} if begun or w.counted(event)["markers"] else {"outline": str(event.outline)}


@resolves("zone_looked")
def zone_looked(w: Writing, event: Incoming) -> Resolved:
    """Note that a zone was looked at in one lap."""
    unit = w.in_time(event)
    outline = w.versions.outline(w.db, unit["outline"])
    zone = zone_of(outline, event.body.zone)
    if event.body.lap not in zone.laps:
        raise Refusal(
            "lap",
            _("%(zone)s is not looked at in the lap '%(lap)s'.", zone=_(zone.label), lap=event.body.lap),
        )
    walk = w.walk(event)
    w.hold(event, "walk", walk["state"], zone_absent=event.body.zone in w.moment.absent(unit))
    purpose = w.catalogue(event.catalogue).walks[walk["purpose"]]
    worked = w.moment.undone(event.unit).get((zone.id, event.body.lap))
    voided = worked is not None and worked >= event.at
    return Resolved(
        values={"part": zone.part, "purpose": walk["purpose"], "counts": purpose.counts_for_coverage, "voided": voided}
    )


@resolves("look_undone")
def look_undone(w: Writing, event: Incoming) -> Resolved:
    """Take back a look that was ticked by mistake."""
    w.in_time(event)
    w.hold(event, "walk", w.walk(event)["state"])
    return Resolved()


@resolves("walk_finished")
def walk_finished(w: Writing, event: Incoming) -> Resolved:
    """End a walk, with its twins, when nothing of it is left to look at or decide; its open markers become jobs."""
    unit = w.in_time(event)
    walk = w.walk(event)
    missing = coverage.missing_of_walk(w.db, w.versions, unit, walk)
    undecided = w.counted(event)["reworked"] if walk["purpose"] == "again" else 0
    w.hold(event, "walk", walk["state"], looks_missing=len(missing), rings_undecided=undecided)
    return Resolved(values={"walks": list(coverage.together(w.db, walk))}, follow=plan(w, event, unit))


@resolves("marks_released")
def marks_released(w: Writing, event: Incoming) -> Resolved:
    """Send what is marked so far to rework before the walk is finished."""
    unit = w.in_time(event)
    w.hold(event, "walk", w.walk(event)["state"])
    return Resolved(follow=plan(w, event, unit))
