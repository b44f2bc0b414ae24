"""Signing in by picking one's name and typing a PIN; signing in makes the ticket and registers the tablet."""

from __future__ import annotations

import logging
from typing import Any
from urllib.parse import urlsplit

import uuid_utils.compat as uuids
from flask import flash, g, jsonify, redirect, render_template, request, session, url_for
from flask.typing import ResponseReturnValue

from inspect_app.journal.bodies import is_id
from inspect_app.journal.events import Refusal
from inspect_app.journal.journal import PLANT
from inspect_app.journal.queries import people
from inspect_app.journal.tickets import SHIFT_MS, Ticket
from inspect_app.rooms import tablet as tablets
from inspect_app.rooms import tongue
from inspect_app.rooms.house import journal, reader
from inspect_app.rooms.people import admit, going_on, mine, pins  # noqa: F401  (two register themselves)
from inspect_app.rooms.people.door import room
from inspect_app.rooms.people.forms import FirstManagerForm
from inspect_app.rooms.sync.routes import whoami
from inspect_app.words import gettext as _

__all__ = ["room"]
log = logging.getLogger("lampwalk.doors")


@room.route("/sign-in", methods=["GET", "POST"])
def sign_in() -> ResponseReturnValue:
    """Pick a name, type a PIN. The panel that opens over the work posts JSON to the same address."""
    here = people.everyone(reader())
    if not here and request.is_json:
        raise Refusal(
            "nobody", _("Nobody is known here yet; open Lampwalk in a browser and make the first manager."), 409
        )
    if not here:
        return redirect(url_for("people.first"))
    if request.method == "GET" and tablets.wants_code():
        return redirect(url_for("people.admit"))
    _this_tablet_may()
    if request.is_json:
        asked = request.get_json(silent=True)
        key, pin = (asked.get("person"), asked.get("pin")) if isinstance(asked, dict) else (None, None)
        if not isinstance(key, str) or not isinstance(pin, str):
            raise Refusal("malformed", _("'person' must be a person's id and 'pin' a text of digits; reload the page."))
        return _signed_in(_prove(key, pin), jsonify)
    wrong, chosen = None, request.form.get("person", "")
    if request.method == "POST":
        try:
            person = _prove(chosen, request.form.get("pin", ""))
            return _signed_in(person, lambda _told: redirect(_inside(request.form.get("next"))))
        except Refusal as refusal:
            wrong = refusal.reason
    page = render_template(
        "people/sign_in.html", people=here, wrong=wrong, chosen=chosen, next=_inside(request.values.get("next"))
    )
    return page, 200 if wrong is None else 403


def _this_tablet_may() -> None:
    """Refuse a tablet that was shut out, and one without a code where the plant asks for it."""
    if tablets.is_shut_out(tablets.known()):
        raise Refusal("shut_out", _(tablets.SHUT_OUT), 403)
    if tablets.wants_code():
        raise Refusal("not_admitted", _(tablets.NOT_ADMITTED), 403)


def _prove(key: str, pin: str) -> people.Person:
    person = people.person(reader(), key) if is_id(key) else None
    return pins.prove(journal(), person, pin, request.remote_addr or "nowhere")


def _inside(target: str | None) -> str:
    """An address of this server to go on to, whatever was asked for."""
    parts = urlsplit(target or "/")
    return (
        target
        if target
        and not parts.netloc
        and not parts.scheme
        and target.startswith("/")
        and not target.startswith(("//", "/\\"))
        else "/"
    )


def _signed_in(person: people.Person, answer: Any) -> ResponseReturnValue:
    tablet = _tablet()
    now = journal().clock()
    made = Ticket(
        id=str(uuids.uuid7()),
        person=person.id,
        tablet=tablet,
        roles=person.roles,
        departments=person.departments,
        issued_at=now,
        until=now + SHIFT_MS,
    )
    body = {
        "ticket": made.id,
        "person": person.id,
        "tablet": tablet,
        "roles": list(made.roles),
        "departments": list(made.departments),
    }
    journal().record_server(PLANT, "ticket_issued", {**body, "issued_at": made.issued_at, "until": made.until})
    session.clear()
    session.permanent = True
    session["token"] = journal().tickets.write(made)
    g.ticket, g.person, g.token = made, person, session["token"]
    log.info("%s signed in on tablet %s from %s", person.id, tablet, request.remote_addr)
    response = tongue.remember(answer(whoami()), person.language, person.formats)
    return tablets.remember(response, tablet)  # type: ignore[no-any-return]


def _tablet() -> str:
    """The tablet in hand: known by its cookie, or registered now with the next free letters."""
    known = tablets.known()
    return admit.register() if known is None else str(known["id"])


@room.get("/sign-in/names")
def names() -> ResponseReturnValue:
    """Names to pick from in the panel that opens over the work; the sign-in page shows the same to anyone."""
    _this_tablet_may()
    return jsonify(people=[{"person": person.id, "name": person.name} for person in people.everyone(reader())])


@room.route("/sign-out", methods=["GET", "POST"])
def sign_out() -> ResponseReturnValue:
    """Ask, then end the session. The tablet keeps what it has not sent, with its authors."""
    if request.method == "GET":
        return render_template("people/sign_out.html")
    session.clear()
    return redirect(url_for("people.sign_in"))


@room.route("/first", methods=["GET", "POST"])
def first() -> ResponseReturnValue:
    """Make the first manager of an empty data folder."""
    if people.everyone(reader()):
        return redirect(url_for("people.sign_in"))
    form = FirstManagerForm()
    if not form.validate_on_submit():
        return render_template("people/first.html", form=form), 422 if form.is_submitted() else 200
    key = str(uuids.uuid7())
    roles = ["manager"] + (["inspector"] if form.inspects.data else [])
    try:
        journal().record_server(
            PLANT,
            "person_added",
            {"person": key, "roles": roles, "departments": [], "state": "active"},
            private={"name": form.name.data, "pin_hash": pins.hash_pin(form.pin.data or "")},
        )
    except Refusal as refusal:
        form.pin.errors = [refusal.reason]
        return render_template("people/first.html", form=form), 422
    flash(_("You are the first manager. Sign in, then add people and units under Setup."), "good")
    return redirect(url_for("people.sign_in"))
