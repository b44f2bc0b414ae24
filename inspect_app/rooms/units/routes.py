"""Units: one found by its number, its card, and what is put right on it."""

from __future__ import annotations

from typing import Any

from flask import flash, jsonify, redirect, render_template, request
from flask.typing import ResponseReturnValue

from inspect_app.journal.events import Refusal
from inspect_app.journal.queries import units
from inspect_app.rooms.doors import needs, speaks_json
from inspect_app.rooms.house import journal, reader, ticket, unit_or_404
from inspect_app.rooms.shown import zone
from inspect_app.rooms.units import arrive, history, listing, passing  # noqa: F401  (they register themselves on the room)
from inspect_app.rooms.units import card as card_of
from inspect_app.rooms.units.card import show
from inspect_app.rooms.units.door import room
from inspect_app.rooms.units.finding import found
from inspect_app.rooms.units.forms import AnswerForm, CorrectForm, DecideForm, PlaceForm
from inspect_app.rooms.units.paint import colour_hex
from inspect_app.words import gettext as _

__all__ = ["room"]


@room.get("/units/find")
def find() -> ResponseReturnValue:
    """Find units by last six or any part of the chassis number: JSON for the keypad, else a page."""
    answer = found(request.args.get("last6", ""))
    return jsonify(answer) if speaks_json() else render_template("units/found.html", **answer)


@room.get("/units/<key>")
def card(key: str) -> ResponseReturnValue:
    """Show everything on one unit."""
    return show(key)


@room.post("/units/<key>/place")
@needs("inspector", "manager")
def place(key: str) -> ResponseReturnValue:
    """Note where the van stands and where its keys are."""
    unit, form = unit_or_404(key), PlaceForm()
    if not form.validate():
        return show(key, 422, place=form)
    told = {"place": form.place.data or None, "keys": form.keys.data or None}
    return _correct(unit, told, _("Noted where the van and its keys are."))


@room.route("/units/<key>/correct", methods=["GET", "POST"])
@needs("inspector", "manager")
def correct(key: str) -> ResponseReturnValue:
    """Correct what was typed in wrongly; the chassis number itself never changes."""
    unit = unit_or_404(key)
    form = CorrectForm(zone=zone(), data={**dict(unit), "due": card_of.due_text(unit["due"])})
    if not form.validate_on_submit():
        return render_template("units/correct.html", form=form, unit=unit), 422 if form.is_submitted() else 200
    told = {name: form[name].data for name in ("make", "model", "colour", "finish")} | {"due": form.due_at()}
    if told["colour"] != unit["colour"]:
        told["colour_hex"] = colour_hex(told["colour"])
    return _correct(unit, told, _("The unit is corrected."))


def _correct(unit: Any, told: dict[str, Any], said: str) -> ResponseReturnValue:
    changed = {name: value for name, value in told.items() if value != unit[name]}
    if changed:  # the same form sent twice changes nothing the second time
        journal().record(ticket(), f"unit:{unit['id']}", "unit_corrected", changed)
    flash(said, "good")
    return redirect(f"/units/{unit['id']}")


@room.post("/units/<key>/questions/<question>")
@needs("inspector", "manager")
def answer(key: str, question: str) -> ResponseReturnValue:
    """Answer an open question; a mark that could not be found goes back to its department with the answer."""
    unit_or_404(key)
    if not units.asked(reader(), key, question):
        raise Refusal("no_question", _("There is no such question on this unit; reload the page."), 404)
    form = AnswerForm(prefix=question)
    if not form.validate():
        return show(key, 422, **{question: form})
    journal().record(ticket(), f"unit:{key}", "question_answered", {"question": question, "answer": form.answer.data})
    flash(_("The question is answered."), "good")
    return redirect(f"/units/{key}#questions")


@room.post("/units/<key>/no-flaw/<marker>")
@needs("inspector")
def decide(key: str, marker: str) -> ResponseReturnValue:
    """Decide whether a mark is no flaw, as a technician proposes, or goes back to the work."""
    unit_or_404(key)
    form = DecideForm()
    if not form.validate():
        raise Refusal("choice", _("Choose 'No flaw' or 'It is a flaw'."), 422)
    agreed = form.agreed.data == "yes"
    journal().record(ticket(), f"unit:{key}", "no_flaw_decided", {"marker": marker, "agreed": agreed})
    flash(
        _("It is no flaw; the mark is closed.") if agreed else _("It is a flaw; it goes back to its department."),
        "good",
    )
    return redirect(f"/units/{key}#questions")
