"""Signing in by picking one's name and typing a PIN; signing in makes the ticket and registers the tablet."""

from __future__ import annotations

import logging
from typing import Any
from urllib.parse import urlsplit

import uuid_utils.compat as uuids
from flask import Blueprint, flash, g, jsonify, redirect, render_template, request, session, url_for
from flask.typing import ResponseReturnValue
from itsdangerous import BadSignature, URLSafeSerializer

from inspect_app.journal.events import Refusal
from inspect_app.journal.journal import PLANT
from inspect_app.journal.queries import people
from inspect_app.journal.tickets import SHIFT_MS, Ticket
from inspect_app.rooms.cookies import cookie_name
from inspect_app.rooms.house import journal, reader
from inspect_app.rooms.people import pins
from inspect_app.rooms.people.forms import FirstManagerForm
from inspect_app.rooms.sync.routes import whoami

room = Blueprint("people", __name__, template_folder="templates")
log = logging.getLogger("lampwalk.doors")

TABLET_COOKIE = "lampwalk_tablet"
TEN_YEARS = 10 * 365 * 24 * 3600


@room.route("/sign-in", methods=["GET", "POST"])
def sign_in() -> ResponseReturnValue:
    """Pick a name, type a PIN. The panel that opens over the work posts JSON to the same address."""
    here = people.everyone(reader())
    if not here:
        return redirect(url_for("people.first"))
    if request.is_json:
        asked = request.get_json(silent=True) or {}
        return _signed_in(_prove(str(asked.get("person", "")), str(asked.get("pin", ""))), jsonify)
    wrong, chosen = None, request.form.get("person", "")
    if request.method == "POST":
        try:
            person = _prove(chosen, request.form.get("pin", ""))
            return _signed_in(person, lambda _: redirect(_inside(request.form.get("next"))))
        except Refusal as refusal:
            wrong = refusal.reason
    page = render_template(
        "people/sign_in.html", people=here, wrong=wrong, chosen=chosen, next=_inside(request.values.get("next"))
    )
    return page, 200 if wrong is None else 403


def _prove(key: str, pin: str) -> people.Person:
    return pins.prove(journal(), people.person(reader(), key), pin, request.remote_addr or "nowhere")


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
    response = answer(whoami())
    response.set_cookie(
        cookie_name(TABLET_COOKIE),
        _sealer().dumps(tablet),
        max_age=TEN_YEARS,
        httponly=True,
        samesite="Lax",
        secure=request.is_secure,
    )
    return response  # type: ignore[no-any-return]


def _sealer() -> URLSafeSerializer:
    from flask import current_app

    return URLSafeSerializer(current_app.config["SECRET_KEY"], salt="lampwalk-tablet")


def _tablet() -> str:
    """The tablet in hand: known by its cookie, or admitted now with the next free letters."""
    try:
        known: str = _sealer().loads(request.cookies.get(cookie_name(TABLET_COOKIE), ""))
        if people.tablet(reader(), known) is not None:
            return known
    except BadSignature:
        pass
    key = str(uuids.uuid7())
    journal().record_server(PLANT, "tablet_admitted", {"tablet": key})
    return key


@room.get("/sign-in/names")
def names() -> ResponseReturnValue:
    """Names to pick from in the panel that opens over the work; the sign-in page shows the same to anyone."""
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
    flash("You are the first manager. Sign in, then add people and units under Setup.", "good")
    return redirect(url_for("people.sign_in"))
