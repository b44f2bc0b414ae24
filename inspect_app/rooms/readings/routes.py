"""Readings of one van: what was read, a new one, and what one leads to, with a person's press."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

import uuid_utils.compat as uuids
from flask import abort, flash, redirect, render_template, request
from flask.typing import ResponseReturnValue

from inspect_app.journal.events import Refusal
from inspect_app.journal.film import Budgeted, budgeted
from inspect_app.journal.queries import changes, people
from inspect_app.journal.queries import readings as query
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import journal, reader, ticket, unit_or_404
from inspect_app.rooms.readings import film, told
from inspect_app.rooms.readings.door import WORKERS, room
from inspect_app.rooms.readings.forms import ANGLES, FORMS, POINTS, ReadingForm, labs
from inspect_app.trade.reading_taken import WHATS
from inspect_app.words import gettext as _

__all__ = ["room"]

# Which field a refusal of the journal stands beside.
BESIDE = {"no_joint": "joint", "no_part": "part", "beside": "beside", "missing": "grade", "reading": "film"}


@room.get("/units/<key>/readings")
def of_unit(key: str) -> ResponseReturnValue:
    """Show what was read at one van, the newest first, and what may be read."""
    unit = unit_or_404(key)
    rows = query.of_unit(reader(), key)
    found = _budgets(unit)
    return render_template(
        "readings/unit.html",
        unit=unit,
        whats={what: _(label) for what, label in WHATS.items()},
        lines=[{**told.line(row), "budget": film.lines(found.get(row["id"]))} for row in rows],
        names=people.names(reader()),
        named="?" + urlencode({"part": part}) if (part := request.args.get("part", "")[:80]) else "",
    )


def _budgets(unit: Any) -> dict[str, Budgeted]:
    """What the budget makes of the film readings of a unit, by reading.

    Whoever looks for a second time must not learn here which spots the first has marked.
    """
    if changes.blind_walk(reader(), unit["id"], ticket().person):
        return {}
    return budgeted(reader(), unit["id"], journal().catalogue(), journal().outline(unit["outline"]))


@room.route("/units/<key>/readings/<what>", methods=["GET", "POST"])
@needs(*WORKERS)
def take(key: str, what: str) -> ResponseReturnValue:
    """Take a reading: judged at once with its number, and kept."""
    unit = unit_or_404(key)
    if what not in FORMS:
        abort(404)
    form = FORMS[what](formdata=request.form) if request.method == "POST" else _begun(unit, what)
    _offer(unit, form)
    if request.method == "GET":
        return _form(unit, what, form)
    if not form.validate():
        return _form(unit, what, form, 422)
    reading = str(uuids.uuid7())
    body = {"reading": reading, "what": what, **form.told()}
    if told.marker_of(unit, form.for_marker.data):
        body["for_marker"] = form.for_marker.data
    try:
        journal().record(ticket(), f"unit:{key}", "reading_taken", body)
    except Refusal as refusal:
        field = BESIDE.get(refusal.code)
        if field is None or field not in form:
            flash(refusal.reason, "wrong")
        else:
            form[field].errors = [refusal.reason]
        return _form(unit, what, form, refusal.status if refusal.status != 404 else 422)
    return redirect(f"/readings/{reading}")


def _begun(unit: Any, what: str) -> ReadingForm:
    """The form as it is first shown, with the part, joint or marker that the way here named."""
    given = {name: request.args.get(name, "")[:80] for name in ("part", "beside", "joint")}
    marker = told.marker_of(unit, request.args.get("marker"))
    if marker is not None:
        given = {"part": marker["part"], "beside": given["beside"], "joint": marker["joint"] or given["joint"]}
    return FORMS[what](formdata=None, data={**given, "for_marker": marker["id"] if marker else ""})


def _offer(unit: Any, form: ReadingForm) -> None:
    outline = journal().outline(unit["outline"])
    for name in ("part", "beside"):
        if name in form:
            form[name].choices = told.parts(outline)
    if "joint" in form:
        form["joint"].choices = told.joints(outline)
    offer = getattr(form, "offer", None)
    if offer is not None:
        offer()


def _form(unit: Any, what: str, form: ReadingForm, status: int = 200) -> ResponseReturnValue:
    return render_template(
        "readings/take.html",
        unit=unit,
        what=what,
        label=_(WHATS[what]),
        form=form,
        angles=_angles(unit, form),
        points=POINTS,
        labs=labs,
        marker=told.marker_of(unit, form.for_marker.data),
        cautions=told.cautions(what),
        clause=_(journal().catalogue().clause),
    ), status  # fmt: skip


def _angles(unit: Any, form: ReadingForm) -> tuple[int, ...]:
    """The angles to read: three for metallic, and where somebody has filled in one of the others already."""
    others = any(form.data.get(labs(one, "part")[0]) for one in (15, 110))
    return ANGLES if others or unit["finish"] == "metallic" else (45,)


def reading_or_404(key: str) -> Any:
    """Read one reading, or refuse with 404."""
    row = query.reading(reader(), key)
    if row is None:
        raise Refusal("no_reading", _("There is no such reading; find it on the page of its van."), 404)
    return row


@room.get("/readings/<key>")
def reading(key: str) -> ResponseReturnValue:
    """Show one reading, how it was judged, and what a person may do about it."""
    return _reading(key)


def _reading(key: str, status: int = 200, fault: str = "") -> ResponseReturnValue:
    row = reading_or_404(key)
    unit = unit_or_404(row["unit"])
    return render_template(
        "readings/reading.html",
        unit=unit,
        fault=fault,
        budget=film.lines(_budgets(unit).get(key)) if row["what"] == "film" else [],
        names=people.names(reader()),
        inspects="inspector" in ticket().roles,
        **told.whole(row, unit),
    ), status


@room.post("/readings/<key>/marker")
@needs("inspector")
def open_marker(key: str) -> ResponseReturnValue:
    """Open a marker for a reading that did not pass: a marker like any other, which names the reading."""
    row = reading_or_404(key)
    body = told.marker_body(row, unit_or_404(row["unit"]), request.form.get("kind", ""), request.form.get("zone", ""))
    if row["led_to"]:
        raise Refusal("led_to", _("This reading has led to a marker already; its page names it."), 409)
    return _pressed(row, "marker_made", body, _("The marker is open; its department has it now."))


@room.post("/readings/<key>/close")
@needs("inspector")
def close_marker(key: str) -> ResponseReturnValue:
    """Close a marker by a reading that passed: cleared when it was reworked, withdrawn when nobody has begun."""
    row = reading_or_404(key)
    marker = told.marker_of(row, request.form.get("marker"))
    if marker is None or row["outcome"] not in told.PASSED:
        raise Refusal("no_marker", _("This reading closes no such marker; open the reading again."), 409)
    body = {"marker": marker["id"], "reading": row["id"]}
    if marker["state"] == "reworked":
        said = _("%(tag)s is cleared.", tag=marker["tag"])
        return _pressed(row, "marker_cleared", body, said)
    return _pressed(
        row, "marker_withdrawn", {**body, "reason": row["text"][:500]}, _("%(tag)s is withdrawn.", tag=marker["tag"])
    )


def _pressed(row: Any, event: str, body: dict[str, Any], said: str) -> ResponseReturnValue:
    try:
        answer = journal().record(ticket(), f"unit:{row['unit']}", event, body)
    except Refusal as refusal:
        return _reading(row["id"], refusal.status if refusal.status != 404 else 422, refusal.reason)
    flash(answer.reason if answer.outcome == "flagged" and answer.reason else said, "good")
    return redirect(f"/readings/{row['id']}")
