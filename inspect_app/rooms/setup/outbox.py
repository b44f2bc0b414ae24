"""Outbox files: what a tablet could not send, carried here by hand."""

from __future__ import annotations

import uuid
from collections import OrderedDict

from flask import current_app, flash, redirect, render_template
from flask.typing import ResponseReturnValue

from inspect_app.journal.events import Refusal
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import house, ticket
from inspect_app.rooms.setup import bringing, outbox_file
from inspect_app.rooms.setup.door import room
from inspect_app.rooms.setup.forms import OutboxForm, VouchForm
from inspect_app.words import gettext as _

KEPT = 5  # reports that can still be looked at; each may hold a file of 40 MB while entries wait for a word


@room.route("/setup/outbox", methods=["GET", "POST"])
@needs("manager")
def outbox() -> ResponseReturnValue:
    """Bring in a file that was saved on a tablet, then show what became of each entry."""
    form = OutboxForm()
    if form.validate_on_submit():
        try:
            parcel = outbox_file.read(form.file.data.read())
        except outbox_file.FileFault as fault:
            form.file.errors = [str(fault)]
        else:
            return redirect(f"/setup/outbox/{_keep(bringing.bring(house(), ticket(), parcel))}")
    return render_template("setup/outbox.html", form=form), 422 if form.is_submitted() else 200


@room.route("/setup/outbox/<key>", methods=["GET", "POST"])
@needs("manager")
def brought(key: str) -> ResponseReturnValue:
    """Show what became of each entry; take those that wait for a manager's word, with a reason."""
    report, form = _kept(key), VouchForm()
    if form.validate_on_submit():
        done = bringing.vouch(house(), ticket(), report, form.reason.data or "")
        _reports()[key] = done
        flash(_("Taken on your word; their authors stay who they were."), "good")
        return redirect(f"/setup/outbox/{key}")
    page = render_template("setup/outbox_brought.html", report=report, form=form)
    return page, 422 if form.is_submitted() else 200


def _reports() -> OrderedDict[str, bringing.Report]:
    """Reports live as long as the server; what was taken is in the journal."""
    found: OrderedDict[str, bringing.Report] = current_app.extensions.setdefault("lampwalk.outboxes", OrderedDict())
    return found


def _keep(report: bringing.Report) -> str:
    key = uuid.uuid4().hex
    _reports()[key] = report
    while len(_reports()) > KEPT:
        _reports().popitem(last=False)
    return key


def _kept(key: str) -> bringing.Report:
    if key not in _reports():
        raise Refusal(
            "no_report", _("This report is no longer kept; bring the file in again, nothing comes in twice."), 404
        )
    return _reports()[key]
