"""People: added, changed, given a new PIN, retired. Retiring stops the PIN at once; history keeps the name."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

import uuid_utils.compat as uuids
from flask import flash, redirect, render_template
from flask.typing import ResponseReturnValue

from inspect_app.journal import notes
from inspect_app.journal.events import Refusal
from inspect_app.journal.journal import PLANT
from inspect_app.journal.queries import people
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import journal, reader, ticket
from inspect_app.rooms.people.pins import hash_pin
from inspect_app.rooms.setup.door import room
from inspect_app.rooms.setup.forms import NewPersonForm, PersonForm, PinForm
from inspect_app.words import gettext as _


@room.get("/setup/people")
@needs("manager")
def everyone() -> ResponseReturnValue:
    """List who is here, and who has left."""
    found = people.everyone(reader(), active=False)
    labels = {key: one.label for key, one in journal().catalogue().departments.items()}
    here, left = [one for one in found if one.active], [one for one in found if not one.active]
    return render_template("setup/people.html", here=here, left=left, labels=labels)


@room.route("/setup/people/new", methods=["GET", "POST"])
@needs("manager")
def add() -> ResponseReturnValue:
    """Add a person."""
    form = NewPersonForm(departments=_departments())
    if form.validate_on_submit():
        try:
            hashed = hash_pin(form.pin.data or "")
            body = {"person": str(uuids.uuid7()), "state": "active", **form.body()}
            _record("person_added", body, form.name.data or "", hashed)
        except Refusal as refusal:
            _beside(form, refusal)
        else:
            flash(_("%(data)s can sign in.", data=form.name.data), "good")
            return redirect("/setup/people")
    return render_template("setup/person_new.html", form=form), 422 if form.is_submitted() else 200


@room.route("/setup/people/<key>", methods=["GET", "POST"])
@needs("manager")
def change(key: str) -> ResponseReturnValue:
    """Change name, roles and departments; whoever loses a role has to sign in anew."""
    person = _person(key)
    form = PersonForm(
        departments=_departments(person.departments),
        data={"name": person.name, "roles": person.roles, "departments": person.departments},
    )
    if form.validate_on_submit():
        try:
            _keep(person, name=form.name.data, **form.body())
        except Refusal as refusal:
            _beside(form, refusal)
        else:
            flash(_("%(data)s is kept as entered.", data=form.name.data), "good")
            return redirect("/setup/people")
    return render_template("setup/person.html", form=form, person=person), 422 if form.is_submitted() else 200


@room.route("/setup/people/<key>/pin", methods=["GET", "POST"])
@needs("manager")
def pin(key: str) -> ResponseReturnValue:
    """Set a new PIN."""
    person, form = _person(key), PinForm()
    if form.validate_on_submit():
        try:
            _keep(person, pin_hash=hash_pin(form.pin.data or ""))
        except Refusal as refusal:
            form.pin.errors = [refusal.reason]
        else:
            journal().note(*notes.tries_forgotten(f"person:{key}"))
            flash(_("%(name)s has a new PIN.", name=person.name), "good")
            return redirect("/setup/people")
    return render_template("setup/pin.html", form=form, person=person), 422 if form.is_submitted() else 200


@room.post("/setup/people/<key>/left")
@needs("manager")
def leave(key: str) -> ResponseReturnValue:
    """Retire a person: the PIN stops at once, what they did keeps their name."""
    person = _person(key)
    _keep(person, state="left")
    flash(_("%(name)s has left; the PIN no longer opens anything.", name=person.name), "good")
    return redirect("/setup/people")


@room.post("/setup/people/<key>/back")
@needs("manager")
def back(key: str) -> ResponseReturnValue:
    """Let a person who left sign in again, with the old PIN."""
    person = _person(key)
    _keep(person, state="active")
    flash(_("%(name)s can sign in again.", name=person.name), "good")
    return redirect("/setup/people")


def _person(key: str) -> people.Person:
    found = people.person(reader(), key)
    if found is None:
        raise Refusal("no_person", _("There is no such person; go back to the list."), 404)
    return found


def _keep(person: people.Person, **changed: Any) -> None:
    """Record what is different; the same form sent twice records nothing the second time."""
    was = {
        "name": person.name,
        "roles": list(person.roles),
        "departments": list(person.departments),
        "state": "active" if person.active else "left",
        "pin_hash": person.pin_hash,
    }
    now = {**was, **changed}
    if now != was:
        body = {name: now[name] for name in ("roles", "departments", "state")}
        _record("person_changed", {"person": person.id, **body}, now["name"], now["pin_hash"])


def _record(event: str, body: dict[str, Any], name: str, pin_hash: str) -> None:
    journal().record(ticket(), PLANT, event, body, private={"name": name, "pin_hash": pin_hash})


def _beside(form: Any, refusal: Refusal) -> None:
    """Show a refusal beside the field it is about."""
    fields = {"same_name": "name", "last_manager": "roles", "pin_shape": "pin", "pin_weak": "pin"}
    if refusal.code not in fields:
        raise refusal
    field = form[fields[refusal.code]]
    field.errors = [*field.errors, refusal.reason]


def _departments(held: Collection[str] = ()) -> list[tuple[str, str]]:
    """Departments that take jobs; a retired one only for whom it is theirs, until its last jobs are done."""
    found = journal().catalogue().departments.values()
    return [(one.key, _(one.label)) for one in found if one.takes_jobs and (not one.retired or one.key in held)]
