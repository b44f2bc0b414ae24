"""Markers made, amended, withdrawn and decided."""

from __future__ import annotations

import sqlite3
from datetime import datetime
from functools import lru_cache, partial
from typing import Any
from zoneinfo import ZoneInfo

from inspect_app.journal.events import Incoming, Refusal, Resolved
from inspect_app.journal.queries.versions import has_outline
from inspect_app.journal.resolve import resolves
from inspect_app.journal.resolve.curing import still_curing
from inspect_app.journal.resolve.judgement import place, verdict
from inspect_app.journal.resolve.planning import awaits_word, begun, leave, plan_markers
from inspect_app.journal.resolve.readings import hold_reading
from inspect_app.journal.store import one
from inspect_app.journal.ways import barred, ground, refuse
from inspect_app.journal.writing import Flag, Writing
from inspect_app.trade.sizes import size_fault
from inspect_app.trade.stations import not_yet, stands_at
from inspect_app.words import gettext as _
from inspect_app.words import midway

SPOT = ("view", "zone", "x", "y", "spread")
MINUTE_MS = 60_000
ENTERED = (*SPOT, "x2", "y2", "kind", "size", "count", "gap", "raking", "severity")


@resolves("marker_made")
def marker_made(w: Writing, event: Incoming) -> Resolved:
    """Work out where the marker lies, its limit and its departments. After signing it is kept as an escape and asked about."""
    unit = w.unit(event)
    late = w.late(event, unit)
    w.hold(event, "marker", "none")
    if w.moment.made.has(event.body.marker):
        raise Refusal("marker_exists", _("A marker with this id was made before."), 409)
    hold_reading(w, event)
    if not late:
        _on_its_drawing(w, event, unit["outline"])
    values = _judged(w, event, unit, _as_made(event), event.body.walk)
    values["tag"] = _free_tag(w, event)
    values["escape"] = bool(late)
    values["day"] = plant_day(w, event.at)
    values.update(_on_the_line(w, event, unit, values))
    if late:
        return Resolved(
            outcome="flagged",
            values=values,
            reason=_("%(tag)s arrived after the unit was signed; it is kept as an escape.", tag=values["tag"]),
        )
    return Resolved(
        values=values,
        follow=() if _walking(w, event.body.walk) else plan_markers(w, event, _plannable(event.body.marker, values)),
    )


def _on_the_line(w: Writing, event: Incoming, unit: sqlite3.Row, values: dict[str, Any]) -> dict[str, Any]:
    """Where on the line the van stood; and what to ask when the department of origin has not been at it there yet."""
    catalogue = w.catalogue(None)
    found_at = stands_at(catalogue, unit["station"])
    if found_at is None:
        return {}
    later = not_yet(catalogue, values["origin"], found_at)
    if later is None or values["escape"]:
        return {"found_at": found_at}
    doubt = _(
        "Found at %(found)s, before %(department)s has been at the van at %(station)s; judge who made it, or answer why it is so.",
        found=midway(_(catalogue.stations[found_at].label)),
        department=_(catalogue.departments[values["origin"]].label),
        station=midway(_(later.label)),
    )
    # One such question at a time: what is seen ten times over needs one answer.
    known = "SELECT 1 FROM questions WHERE unit = ? AND state = 'open' AND cause = ? AND text = ?"
    asked = one(w.db, known, (event.unit, event.type, doubt)) is not None
    return {"found_at": found_at} | ({} if asked else {"doubt": doubt})


def _on_its_drawing(w: Writing, event: Incoming, held: str) -> None:
    """Ask about a marker whose place was touched on another outline than the unit has."""
    if event.outline not in (None, held) and has_outline(w.db, str(event.outline)):
        raise Flag(_("This was marked on another drawing of the van than it has now; find the spot and mark it anew."))


def _walking(w: Writing, key: str | None) -> bool:
    walk = None if key is None else w.moment.walk(key)
    return walk is not None and walk["state"] == "walking"


def _plannable(marker: str, values: dict[str, Any]) -> list[dict[str, Any]]:
    if values["severity"] == "S5":
        return []
    return [{**values, "id": marker, "attempt": 1, "returned_for": None}]


def _as_made(event: Incoming) -> dict[str, Any]:
    body = vars(event.body)
    return {name: body[name] for name in ENTERED}


def _judged(w: Writing, event: Incoming, unit: sqlite3.Row, found: dict[str, Any], walk: str | None) -> dict[str, Any]:
    """Everything the server adds to a marker: place, limit, departments, method."""
    catalogue = w.catalogue(event.catalogue)
    kind = catalogue.kinds.get(found["kind"])
    if kind is None:
        raise Refusal(
            "no_kind", _("'%(key)s' is not a kind of defect this plant knows; reload the page.", key=found["kind"])
        )
    if kind.sizes and (fault := size_fault(catalogue, kind.key, event.body.size)):
        raise Refusal("size", fault[:1].upper() + fault[1:] + ".", 422)
    outline = w.versions.outline(w.db, unit["outline"])
    found = {**found, **place(outline, kind, found)}
    found.update(verdict(catalogue, kind, found, outline, partial(_others, w, event, found, walk)))
    method = catalogue.methods.get(found.get("method") or kind.method_for(outline.zone(found["zone"]).material))
    if method is None:
        raise Refusal(
            "no_method", _("'%(key)s' is not a method of this plant; choose one from the list.", key=found["method"])
        )
    found["severity"] = found["severity"] or kind.severity
    found["origin"] = kind.origin_department
    found["method"] = method.key
    found["department"] = method.chain[0].department
    return found


def _others(w: Writing, event: Incoming, found: dict[str, Any], walk: str | None) -> int:
    """Count what else of the kind stands on the part, in the same class.

    A second pair of eyes must not learn what the first has found, so on such a walk only its own markers count.
    """
    blind = walk is not None and (row := w.moment.walk(walk)) is not None and row["purpose"] == "second"
    alike = (found["kind"], found["part"], found["class"])
    return w.moment.tally.others(event.unit, event.body.marker, alike, walk=walk if blind else None)


def _free_tag(w: Writing, event: Incoming) -> str:
    tag: str = event.body.tag
    letters = w.moment.letters(event.tablet) or tag.rstrip("0123456789")
    if not w.moment.made.has_tag(event.unit, tag) and tag.rstrip("0123456789") == letters:
        return tag
    tags = w.db.execute("SELECT tag FROM markers WHERE unit = ? AND tag GLOB ?", (event.unit, f"{letters}[0-9]*"))
    return f"{letters}{1 + max((int(row['tag'].removeprefix(letters)) for row in tags), default=0)}"


def plant_day(w: Writing, at: int) -> str:
    """The plant's own calendar day of a time, ISO."""
    return _day(at // MINUTE_MS, w.moment.zone())


@lru_cache(maxsize=4096)
def _day(minute: int, zone: str) -> str:
    """The day of a whole minute: midnight falls on one wherever a plant may stand."""
    return datetime.fromtimestamp(minute * 60, ZoneInfo(zone)).date().isoformat()


def _before(w: Writing, event: Incoming) -> sqlite3.Row:
    w.in_time(event)
    return w.marker(event, event.body.marker)


def _of_escape(w: Writing, event: Incoming) -> tuple[sqlite3.Row, str | None]:
    """Read a marker; and the sentence that says it is late, for one that came after the signing itself.

    Its size, its words and its pictures follow it in events of their own, which would be lost without it.
    """
    late = w.late(event, w.unit(event))
    marker = w.marker(event, event.body.marker)
    if late and not is_escape(w, marker):
        raise Flag(late)
    return marker, late


def is_escape(w: Writing, marker: sqlite3.Row) -> bool:
    """Tell whether a marker came after the last signing of its unit."""
    signed = "SELECT 1 FROM units WHERE id = ? AND signed_at <= ?"
    return bool(marker["escape"]) and one(w.db, signed, (marker["unit"], marker["received_at"])) is not None


def _kept(values: dict[str, Any], late: str | None) -> Resolved:
    """Keep what is said of an escape beside it; the escape itself has been asked about."""
    return Resolved(outcome="flagged", reason=late, values={**values, "kept": True, "asks": False})


@resolves("marker_amended")
def marker_amended(w: Writing, event: Incoming) -> Resolved:
    """Change what an inspector entered; the limit is judged anew, and a job nobody has begun is planned anew."""
    marker, late = _of_escape(w, event)
    w.hold(event, "marker", marker["state"])
    said = event.body.model_dump(exclude={"marker", "method_reason"})
    sent = {name: amount for name, amount in said.items() if amount is not None}
    kept = {
        **{name: marker[name] for name in ENTERED},
        "method": marker["method"],
    }
    if sent.get("kind", marker["kind"]) != marker["kind"]:
        kept = {**kept, "method": None, "size": None, "gap": None}
    unit = w.unit(event)
    values = _judged(w, event, unit, {**kept, **sent}, marker["walk"])
    values["raking"] = bool(values["raking"])
    values["method_reason"] = _why_so(w, event, marker, values)
    kept_by = marker["method_by"] if values["method"] == marker["method"] else None
    values["method_by"] = event.person if event.body.method else kept_by
    if marker["origin_basis"] == "judged":
        values["origin"] = marker["origin"]
    if late:
        return _kept(values, late)
    if not _to_plan(w, marker, values):
        return Resolved(values=values)
    if marker["planned"]:
        values["leave"] = leave(w, marker["id"])
    kept = {"attempt": marker["attempt"], "examined": marker["examined"], "method_reason": values["method_reason"]}
    again = _plannable(marker["id"], values)
    return Resolved(values=values, follow=plan_markers(w, event, [{**one_, **kept} for one_ in again]))


def _why_so(w: Writing, event: Incoming, marker: sqlite3.Row, values: dict[str, Any]) -> str | None:
    """Why this method: the reason given, or the one there was while the method is the same; refuse a barred one without."""
    reason: str | None = event.body.method_reason
    if event.body.method is None or reason:
        return reason or (marker["method_reason"] if values["method"] == marker["method"] else None)
    after = {**dict(marker), **values}
    if why := barred(ground(w, event), [after], values["method"]):
        raise refuse(w.catalogue(None), values["method"], why)
    return None


def _to_plan(w: Writing, marker: sqlite3.Row, values: dict[str, Any]) -> bool:
    """Whether an amended marker gets other jobs, or its first: an S5 that turns out to be more has none yet."""
    if marker["state"] == "reworked":
        return False  # it waits for its second look; sent back, it is planned as it is then
    if not marker["planned"]:
        return not (_walking(w, marker["walk"]) or awaits_word(w, marker))
    named = ("method", "part")
    moved = any(values[name] != marker[name] for name in named) or values["severity"] == "S5" != marker["severity"]
    return moved and not begun(w, marker["id"])


@resolves("marker_withdrawn")
def marker_withdrawn(w: Writing, event: Incoming) -> Resolved:
    """Take back what is no defect, with a reason."""
    marker, late = _of_escape(w, event)
    hold_reading(w, event)
    values = {"to": w.hold(event, "marker", marker["state"]), "leave": leave(w, marker["id"])}
    return _kept(values, late) if late else Resolved(values=values)


@resolves("marker_accepted")
def marker_accepted(w: Writing, event: Incoming) -> Resolved:
    """Leave a marker as it is, within its limit."""
    marker = _before(w, event)
    to = w.hold(event, "marker", marker["state"], severity=marker["severity"], verdict=marker["verdict"])
    return Resolved(values={"to": to, "leave": leave(w, marker["id"])})


@resolves("marker_joined")
def marker_joined(w: Writing, event: Incoming) -> Resolved:
    """Join a double to the marker it doubles."""
    marker = _before(w, event)
    into = w.marker(event, event.body.into)
    if event.body.into == event.body.marker:
        raise Refusal("same", _("A marker cannot be joined to itself; choose the other one."))
    to = w.hold(event, "marker", marker["state"])
    if into["state"] == "withdrawn":  # two tablets may each have joined one to the other; one of them has to stay
        raise Flag(
            _(
                "%(into)s, which %(tag)s was to be joined to, was withdrawn meanwhile.",
                into=into["tag"],
                tag=marker["tag"],
            )
        )
    return Resolved(values={"to": to, "leave": leave(w, marker["id"])})


@resolves("put_right_here")
def put_right_here(w: Writing, event: Incoming) -> Resolved:
    """A wipe or hand polish by the inspector: counted as their work, so a second person clears it."""
    marker = _before(w, event)
    to = w.hold(event, "marker", marker["state"], severity=marker["severity"])
    return Resolved(values={"to": to, "leave": leave(w, marker["id"]), "attempt": marker["attempt"]})


@resolves("origin_revised")
def origin_revised(w: Writing, event: Incoming) -> Resolved:
    """Turn an assumed department of origin into a judged one."""
    marker, late = _of_escape(w, event)
    w.hold(event, "marker", marker["state"])
    if event.body.origin not in w.catalogue(event.catalogue).departments:
        raise Refusal(
            "no_department",
            _("'%(key)s' is not a department of this plant; choose one from the list.", key=event.body.origin),
        )
    values = {"from": marker["origin"]}
    return _kept(values, late) if late else Resolved(values=values)


@resolves("no_flaw_decided")
def no_flaw_decided(w: Writing, event: Incoming) -> Resolved:
    """Decide what a technician proposed: no flaw, or back to the list."""
    marker = _before(w, event)
    if not marker["no_flaw"]:
        raise Flag(_("Nobody proposes any longer that this is no flaw."))
    to = w.hold(event, "marker", marker["state"], variant="agreed" if event.body.agreed else "declined")
    follow = () if event.body.agreed else plan_markers(w, event, [dict(marker)])
    return Resolved(values={"to": to, "leave": leave(w, marker["id"])}, follow=follow)


@resolves("part_judged")
def part_judged(w: Writing, event: Incoming) -> Resolved:
    """Made by the server, which has worked out all of it; see `judging`."""
    return Resolved()


def worked(w: Writing, marker: str, person: str) -> bool:
    """Tell whether a person has logged work on the marker in any attempt."""
    return one(w.db, "SELECT 1 FROM work WHERE marker = ? AND person = ?", (marker, person)) is not None


@resolves("marker_cleared")
def marker_cleared(w: Writing, event: Incoming) -> Resolved:
    """Clear a reworked marker, by someone who never worked on it and after its cure."""
    marker = _before(w, event)
    hold_reading(w, event)
    cure = max(0, (marker["cure_until"] or 0) - event.at)
    mine = worked(w, marker["id"], event.person)
    try:
        to = w.hold(event, "marker", marker["state"], actor_worked=mine, cure_left=cure)
    except Refusal as refusal:
        if refusal.code != "cured":
            raise
        raise Refusal(refusal.code, still_curing(w, marker), refusal.status) from None
    return Resolved(values={"to": to})


@resolves("marker_sent_back")
def marker_sent_back(w: Writing, event: Incoming) -> Resolved:
    """Send a reworked marker back: open again, its returns counted, its jobs planned anew."""
    marker = _before(w, event)
    to = w.hold(event, "marker", marker["state"])
    again = {**dict(marker), "attempt": marker["attempt"] + 1, "returned_for": event.body.reason}
    return Resolved(values={"to": to, "attempt": again["attempt"]}, follow=plan_markers(w, event, [again]))
