"""Tablets: admitted by a code, named, shut out, let in again. Their letters, first part of a tag, never change."""

from __future__ import annotations

import sqlite3
from urllib.parse import urlsplit

from flask import flash, redirect, render_template, request
from flask.typing import ResponseReturnValue

from inspect_app.journal.events import Refusal
from inspect_app.journal.journal import PLANT
from inspect_app.journal.queries import people, setup
from inspect_app.journal.queries import tablets as queries
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import journal, reader, ticket
from inspect_app.rooms.people.codes import codes
from inspect_app.rooms.setup.door import room
from inspect_app.rooms.setup.entry_words import Teller
from inspect_app.rooms.setup.forms import AdmitForm, TabletForm
from inspect_app.rooms.setup.handout import code as qr_code
from inspect_app.rooms.setup.handout import offered
from inspect_app.words import N_
from inspect_app.words import gettext as _

LOOPBACK = ("127.0.0.1", "localhost", "::1")


@room.get("/setup/tablets")
@needs("manager")
def tablets() -> ResponseReturnValue:
    """List the tablets with who used each last."""
    by_code = setup.admitting(reader()) == "code"
    return render_template("setup/tablets.html", tablets=setup.tablets(reader()), mine=ticket().tablet, by_code=by_code)


@room.route("/setup/tablets/new", methods=["GET", "POST"])
@needs("manager")
def admit_tablet() -> ResponseReturnValue:
    """Make a one-time code that admits a tablet, under a name if wanted."""
    form = AdmitForm()
    if form.validate_on_submit():
        taken = people.tablet_called(reader(), form.name.data) if form.name.data else None
        if taken is None:
            made = codes().make(name=form.name.data or "", by=ticket().person, now=journal().clock())
            return redirect(f"/setup/tablets/codes/{made.key}")
        form.name.errors = [
            _("Tablet %(letters)s is called %(name)s already; choose another name.",
              letters=taken["letters"], name=form.name.data)
        ]  # fmt: skip
    return render_template("setup/tablet_new.html", form=form), 422 if form.is_submitted() else 200


@room.get("/setup/tablets/codes/<key>")
@needs("manager")
def tablet_code(key: str) -> ResponseReturnValue:
    """Show a code while it waits: in letters, and as a QR code for the tablet's camera."""
    code = codes().by_key(key, journal().clock())
    if code is None:
        raise Refusal(
            "no_code", _("This code was used, or its ten minutes are over; make another one if you need it."), 404
        )
    handout = offered()
    address = f"{handout.address if handout else request.host_url.rstrip('/')}/admit"
    drawn = "" if urlsplit(address).hostname in LOOPBACK else qr_code(f"{address}#code={code.text}", _("the way in"))
    return render_template("setup/tablet_code.html", code=code, address=address, drawn=drawn)


@room.route("/setup/tablets/<key>", methods=["GET", "POST"])
@needs("manager")
def tablet(key: str) -> ResponseReturnValue:
    """Name a tablet, an empty name takes the name away; and see what was refused of it."""
    found = _tablet(key)
    form = TabletForm(data={"name": found["name"]})
    if form.validate_on_submit():
        try:
            if (form.name.data or None) != found["name"]:
                body = {"tablet": key, "name": form.name.data or ""}
                journal().record(ticket(), PLANT, "tablet_named", body)
        except Refusal as refusal:
            form.name.errors = [refusal.reason]
        else:
            flash(
                _(
                    "Tablet %(letters)s is called %(name)s now.",
                    letters=found["letters"],
                    name=form.name.data or _("nothing"),
                ),
                "good",
            )
            return redirect("/setup/tablets")
    teller = Teller()
    refused = [(row, teller.kept(row)) for row in queries.refused(reader(), key)]
    page = render_template(
        "setup/tablet.html", form=form, tablet=found, mine=ticket().tablet, refused=refused, most=queries.MOST_SHOWN,
        brought=queries.brought(reader(), key), by_code=setup.admitting(reader()) == "code",
    )  # fmt: skip
    return page, 422 if form.is_submitted() else 200


@room.post("/setup/tablets/<key>/out")
@needs("manager")
def shut_out(key: str) -> ResponseReturnValue:
    """Shut a tablet out: its sign-ins end at once, and nothing it sends is taken."""
    return _turn(key, "tablet_shut_out", N_("Tablet %(letters)s is shut out; every sign-in on it has ended."))


@room.post("/setup/tablets/<key>/in")
@needs("manager")
def let_in(key: str) -> ResponseReturnValue:
    """Let a tablet in again: what it keeps is taken when it comes."""
    return _turn(key, "tablet_let_in", N_("Tablet %(letters)s is let in again; what it kept comes by itself."))


def _turn(key: str, event: str, said: str) -> ResponseReturnValue:
    found = _tablet(key)
    sentence = _(said, letters=found["letters"])
    try:
        journal().record(ticket(), PLANT, event, {"tablet": key})
    except Refusal as refusal:
        if refusal.code != "done_already":
            raise
        sentence = refusal.reason
    flash(sentence, "good")
    return redirect(f"/setup/tablets/{key}")


def _tablet(key: str) -> sqlite3.Row:
    found = people.tablet(reader(), key)
    if found is None:
        raise Refusal("no_tablet", _("There is no such tablet; go back to the list."), 404)
    return found
