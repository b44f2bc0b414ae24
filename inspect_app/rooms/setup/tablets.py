"""Tablets: what each is called. Their letters, the first part of every tag, never change."""

from __future__ import annotations

from flask import flash, redirect, render_template
from flask.typing import ResponseReturnValue

from inspect_app.journal.events import Refusal
from inspect_app.journal.journal import PLANT
from inspect_app.journal.queries import people, setup
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import journal, reader, ticket
from inspect_app.rooms.setup.door import room
from inspect_app.rooms.setup.forms import TabletForm


@room.get("/setup/tablets")
@needs("manager")
def tablets() -> ResponseReturnValue:
    """List the tablets with who used each last."""
    return render_template("setup/tablets.html", tablets=setup.tablets(reader()), mine=ticket().tablet)


@room.route("/setup/tablets/<key>", methods=["GET", "POST"])
@needs("manager")
def tablet(key: str) -> ResponseReturnValue:
    """Name a tablet; an empty name takes the name away."""
    found = people.tablet(reader(), key)
    if found is None:
        raise Refusal("no_tablet", "There is no such tablet; go back to the list.", 404)
    form = TabletForm(data={"name": found["name"]})
    if form.validate_on_submit():
        try:
            if (form.name.data or None) != found["name"]:
                body = {"tablet": key, "name": form.name.data or ""}
                journal().record(ticket(), PLANT, "tablet_named", body)
        except Refusal as refusal:
            form.name.errors = [refusal.reason]
        else:
            flash(f"Tablet {found['letters']} is called {form.name.data or 'nothing'} now.", "good")
            return redirect("/setup/tablets")
    return render_template("setup/tablet.html", form=form, tablet=found), 422 if form.is_submitted() else 200
