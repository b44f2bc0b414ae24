"""The walk's page, a shell that knows no person and no unit; and the note of a tablet that leaves a unit."""

from __future__ import annotations

from flask import Blueprint, jsonify, render_template, request
from flask.typing import ResponseReturnValue

from inspect_app.journal.bodies import is_id
from inspect_app.journal.events import Refusal
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import ticket, unit_or_404
from inspect_app.rooms.sync import presence
from inspect_app.words import gettext as _

room = Blueprint("walk", __name__, template_folder="templates")


@room.get("/walk/<unit>")
@needs("inspector")
def walk(unit: str) -> ResponseReturnValue:
    """Show the drawing board for one unit. What is on it comes from the tablet's own store and the changes feed."""
    unit_or_404(unit)
    return render_template("walk/walk.html")


@room.post("/presence/left")
def left() -> ResponseReturnValue:
    """Note that this tablet has put a unit down with so many events unsent; with none it no longer holds up signing."""
    body = request.get_json(silent=True)
    unit, pending = (body.get("unit"), body.get("pending")) if isinstance(body, dict) else (None, None)
    if not is_id(unit) or not presence.is_count(pending):
        raise Refusal("malformed", _("'unit' must be a unit's id and 'pending' a whole number; reload the page."), 422)
    presence.left(ticket().tablet, unit, pending)
    return jsonify(noted=True)
