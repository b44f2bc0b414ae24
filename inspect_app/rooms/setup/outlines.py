"""Outlines: ours and the plant's own, what is drawn on each, and which new units get which."""

from __future__ import annotations

from typing import Any

from flask import Response, flash, redirect, render_template, request
from flask.typing import ResponseReturnValue

from inspect_app.journal.events import Refusal
from inspect_app.journal.journal import PLANT
from inspect_app.journal.queries import outlines as queries
from inspect_app.journal.queries import people
from inspect_app.journal.queries.outlines import Version
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import journal, reader, ticket
from inspect_app.rooms.setup.door import room
from inspect_app.rooms.setup.outlines_forms import ModelForm, UnitsForm
from inspect_app.rooms.setup.outlines_shown import GAPS, class_words, drawing
from inspect_app.words import gettext as _
from inspect_app.words import ngettext

OFFERED = 60  # units that may still change, the newest first


@room.get("/setup/outlines")
@needs("manager")
def outlines() -> ResponseReturnValue:
    """List the outlines: who made each and when, how many units are drawn on it, which models get it."""
    found = queries.versions(reader())
    return render_template(
        "setup/outlines.html",
        here=[one for one in found if not one.retired],
        retired=[one for one in found if one.retired],
        names=people.names(reader()),
        models=_models(),
        label=lambda one: journal().outline(one.hash).label,
    )


@room.get("/setup/outlines/<key>")
@needs("manager")
def outline(key: str) -> ResponseReturnValue:
    """Show one outline, and what is drawn on it."""
    return _page(key)


@room.get("/setup/outlines/<key>.svg")
@needs("manager")
def outline_file(key: str) -> ResponseReturnValue:
    """Hand out an outline as it was written anew, to draw another one from."""
    _version(key)
    own = journal().outline(key)
    headers = {"Content-Disposition": f'attachment; filename="{own.id}.svg"', "Content-Security-Policy": "sandbox"}
    return Response(own.to_svg(), mimetype="image/svg+xml", headers=headers)


@room.post("/setup/outlines/<key>/models")
@needs("manager")
def outline_for_model(key: str) -> ResponseReturnValue:
    """Draw new units of a make and model on this outline from now on."""
    _version(key)
    form = ModelForm()
    if not form.validate_on_submit():
        return _page(key, model_form=form), 422
    make, model = str(form.make.data), str(form.model.data)
    if queries.for_model(reader(), make, model) != key:
        _assign(make, model, key)
    flash(_("New units of %(make)s %(model)s are drawn on this outline.", make=make, model=model), "good")
    return redirect(f"/setup/outlines/{key}")


@room.post("/setup/outlines/<key>/models/off")
@needs("manager")
def outline_off_model(key: str) -> ResponseReturnValue:
    """Draw new units of a make and model on the usual outline again."""
    make, model = request.form.get("make", ""), request.form.get("model", "")
    if (make, model) in _models().get(key, []):
        _assign(make, model, None)
        flash(_("New units of %(make)s %(model)s are drawn on the usual outline.", make=make, model=model), "good")
    return redirect(f"/setup/outlines/{key}")


@room.post("/setup/outlines/<key>/units")
@needs("manager")
def outline_of_units(key: str) -> ResponseReturnValue:
    """Draw chosen units on this outline; those on which something was begun meanwhile keep theirs, each with why."""
    _version(key)
    done = 0
    for unit in request.form.getlist("units")[:OFFERED]:
        try:
            journal().record(ticket(), f"unit:{unit}", "outline_set", {"outline": key})
            done += 1
        except Refusal as refusal:
            flash(refusal.reason, "wrong")
    if not request.form.getlist("units"):
        flash(_("No unit was ticked; tick those that shall be drawn on it."), "wrong")
    if done:
        flash(ngettext("%(n)s unit is drawn on it now.", "%(n)s units are drawn on it now.", done), "good")
    return redirect(f"/setup/outlines/{key}")


@room.post("/setup/outlines/<key>/retired")
@needs("manager")
def retire_outline(key: str) -> ResponseReturnValue:
    """Offer an outline no longer; what is drawn on it stays so."""
    if not _version(key).retired:
        journal().record(ticket(), PLANT, "outline_retired", {"outline": key, "retired": True})
    return redirect(f"/setup/outlines/{key}")


@room.post("/setup/outlines/<key>/back")
@needs("manager")
def bring_outline_back(key: str) -> ResponseReturnValue:
    """Offer a retired outline again."""
    if _version(key).retired:
        journal().record(ticket(), PLANT, "outline_retired", {"outline": key, "retired": False})
    return redirect(f"/setup/outlines/{key}")


def _assign(make: str, model: str, key: str | None) -> None:
    journal().record(ticket(), PLANT, "outline_assigned", {"make": make, "model": model, "outline": key})


def _version(key: str) -> Version:
    found = next((one for one in queries.versions(reader()) if one.hash == key), None)
    if found is None:
        raise Refusal("no_outline", _("There is no such outline; choose one from the list under Setup, Outlines."), 404)
    return found


def _models() -> dict[str, list[tuple[str, str]]]:
    """Makes and models that get an outline of their own, by its hash."""
    found: dict[str, list[tuple[str, str]]] = {}
    for row in queries.assigned(reader()):
        found.setdefault(row["outline"], []).append((row["make"], row["model"]))
    return found


def _page(key: str, *, model_form: ModelForm | None = None) -> str:
    version = _version(key)
    own = journal().outline(key)
    waiting = queries.changeable(reader(), OFFERED + 1, key)
    return render_template(
        "setup/outline.html",
        version=version,
        outline=own,
        offered=OFFERED if len(waiting) > OFFERED else 0,
        drawing=drawing(own),
        class_words=class_words(journal().catalogue()),
        gap_words=GAPS,
        names=people.names(reader()),
        models=_models().get(key, []),
        known=queries.models(reader()),
        model_form=model_form or ModelForm(formdata=None),
        units_form=UnitsForm(formdata=None, units=[(row["id"], _unit(row)) for row in waiting[:OFFERED]]),
    )


def _unit(row: Any) -> str:
    return f"{row['last_six']}, {row['make']} {row['model']}"
