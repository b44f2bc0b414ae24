"""A unit that arrives by itself: entered by whoever receives it, an inspector at the door or a manager."""

from __future__ import annotations

import uuid_utils.compat as uuids
from flask import flash, redirect, render_template, request
from flask.typing import ResponseReturnValue

from inspect_app.journal.events import Refusal
from inspect_app.journal.queries import setup
from inspect_app.journal.queries import units as query
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import journal, reader, ticket
from inspect_app.rooms.shown import zone
from inspect_app.rooms.units.door import room
from inspect_app.rooms.units.finding import cleaned
from inspect_app.rooms.units.forms import UnitForm
from inspect_app.rooms.units.paint import colour_hex
from inspect_app.trade import vin
from inspect_app.words import gettext as _


@room.route("/units/new", methods=["GET", "POST"])
@needs("inspector", "manager")
def new() -> ResponseReturnValue:
    """Add one unit; `chassis` in the address is the number that was looked for and not found."""
    usual = setup.settings(reader()).get("plant") or query.plant_name(reader())
    sought = cleaned(request.args.get("chassis", ""))
    form = UnitForm(zone=zone(), data={"plant": usual, "finish": "solid", "chassis": sought})
    if form.validate_on_submit():
        key = str(uuids.uuid7())
        try:
            journal().record(ticket(), f"unit:{key}", "unit_arrived", _body(form))
        except Refusal as refusal:
            if refusal.code != "known_unit":
                raise
            form.chassis.errors = [f"{refusal.reason} {_('Look for it on the floor, or check the build number.')}"]
        else:
            flash(_("The unit is added."), "good")
            return redirect(f"/units/{key}")
    return render_template("units/new.html", form=form), 422 if form.is_submitted() else 200


def _body(form: UnitForm) -> dict[str, object]:
    texts = {name: form[name].data for name in ("plant", "build_number", "make", "model", "colour", "finish")}
    return {
        **texts,
        "chassis": vin.normalise(form.chassis.data or ""),
        "colour_hex": colour_hex(form.colour.data or ""),
        "options": form.option_lines(),
        "due": form.due_at(),
    }
