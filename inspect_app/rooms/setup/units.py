"""Units that arrive: entered one by one, or from the list the office exports."""

from __future__ import annotations

import uuid
from collections import OrderedDict

import uuid_utils.compat as uuids
from flask import Response, current_app, flash, redirect, render_template
from flask.typing import ResponseReturnValue

from inspect_app.journal.events import Refusal
from inspect_app.journal.queries import setup
from inspect_app.journal.queries import units as query
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import journal, reader, ticket
from inspect_app.rooms.setup.door import room
from inspect_app.rooms.setup.forms import ImportForm
from inspect_app.rooms.shown import zone
from inspect_app.rooms.units.bring import Brought, bring
from inspect_app.rooms.units.forms import UnitForm
from inspect_app.rooms.units.paint import colour_hex
from inspect_app.trade import vin
from inspect_app.trade.units_csv import UnitsFileError

KEPT = 20  # results of imports that can still be looked at


@room.route("/setup/units/new", methods=["GET", "POST"])
@needs("manager")
def new() -> ResponseReturnValue:
    """Add one unit."""
    usual = setup.settings(reader()).get("plant") or query.plant_name(reader())
    form = UnitForm(zone=zone(), data={"plant": usual, "finish": "solid"})
    if form.validate_on_submit():
        key = str(uuids.uuid7())
        try:
            journal().record(ticket(), f"unit:{key}", "unit_arrived", _body(form))
        except Refusal as refusal:
            if refusal.code != "known_unit":
                raise
            form.chassis.errors = [f"{refusal.reason} Look for it on the floor, or check the build number."]
        else:
            flash("The unit is added.", "good")
            return redirect(f"/units/{key}")
    return render_template("setup/unit_new.html", form=form), 422 if form.is_submitted() else 200


def _body(form: UnitForm) -> dict[str, object]:
    texts = {name: form[name].data for name in ("plant", "build_number", "make", "model", "colour", "finish")}
    return {
        **texts,
        "chassis": vin.normalise(form.chassis.data or ""),
        "colour_hex": colour_hex(form.colour.data or ""),
        "options": form.option_lines(),
        "due": form.due_at(),
    }


@room.route("/setup/units/import", methods=["GET", "POST"])
@needs("manager")
def import_() -> ResponseReturnValue:
    """Bring in a list of units, then show what became of it."""
    form = ImportForm()
    if form.validate_on_submit():
        try:
            brought = bring(journal(), form.file.data.read(), ticket())
        except UnitsFileError as fault:
            form.file.errors = [str(fault)]
        else:
            return redirect(f"/setup/units/import/{_keep(brought)}")
    return render_template("setup/import.html", form=form), 422 if form.is_submitted() else 200


@room.get("/setup/units/import/<key>")
@needs("manager")
def imported(key: str) -> ResponseReturnValue:
    """Show what came in, what was here already, and each row that was not taken."""
    return render_template("setup/imported.html", brought=_kept(key), key=key)


@room.get("/setup/units/import/<key>/rows.csv")
@needs("manager")
def bad_rows(key: str) -> ResponseReturnValue:
    """Hand the rows not taken back, with their reasons, to be mended."""
    headers = {"Content-Disposition": 'attachment; filename="units.bad.csv"'}
    return Response(_kept(key).bad_csv.encode(), mimetype="text/csv", headers=headers)


def _results() -> OrderedDict[str, Brought]:
    """Results live as long as the server: reports, no history."""
    found: OrderedDict[str, Brought] = current_app.extensions.setdefault("lampwalk.imports", OrderedDict())
    return found


def _keep(brought: Brought) -> str:
    key = uuid.uuid4().hex
    _results()[key] = brought
    while len(_results()) > KEPT:
        _results().popitem(last=False)
    return key


def _kept(key: str) -> Brought:
    if key not in _results():
        raise Refusal("no_import", "This report is no longer kept; import the list again, nothing comes in twice.", 404)
    return _results()[key]
