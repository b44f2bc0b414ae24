"""Units that arrive on the list the office exports."""

from __future__ import annotations

import uuid
from collections import OrderedDict

from flask import Response, current_app, redirect, render_template
from flask.typing import ResponseReturnValue

from inspect_app.journal.events import Refusal
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import journal, ticket
from inspect_app.rooms.setup.door import room
from inspect_app.rooms.setup.forms import ImportForm
from inspect_app.rooms.units.bring import Brought, bring
from inspect_app.trade.units_csv import UnitsFileError
from inspect_app.words import gettext as _

KEPT = 20  # results of imports that can still be looked at


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
        raise Refusal(
            "no_import", _("This report is no longer kept; import the list again, nothing comes in twice."), 404
        )
    return _results()[key]
