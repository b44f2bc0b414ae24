"""A new outline: by numbers, or from an SVG of one's own. Either is looked at before it is kept."""

from __future__ import annotations

import uuid
from collections import OrderedDict
from dataclasses import asdict, dataclass, replace
from typing import Any

from flask import current_app, flash, redirect, render_template
from flask.typing import ResponseReturnValue

from inspect_app.journal.events import Refusal
from inspect_app.journal.journal import PLANT
from inspect_app.journal.queries.versions import has_outline
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import journal, reader, ticket
from inspect_app.rooms.setup.door import room
from inspect_app.rooms.setup.outlines_forms import STARTING, DrawingForm, KeepForm, NumbersForm
from inspect_app.rooms.setup.outlines_shown import GAPS, class_words, drawing
from inspect_app.trade import outline_numbers
from inspect_app.trade.outline import Outline, OutlineError, load, load_foreign
from inspect_app.trade.outline_numbers import NumbersError
from inspect_app.trade.outline_xml import LARGEST
from inspect_app.words import gettext as _

KEPT = 20  # drawings that were read and wait to be kept
TOLD = 20  # faults that are told of one file


@dataclass(frozen=True, kw_only=True)
class Draft:
    """A drawing that was read, as it would be kept, and what was left out of its file."""

    outline: Outline
    left_out: dict[str, int]


@room.route("/setup/outlines/numbers", methods=["GET", "POST"])
@needs("manager")
def outline_by_numbers() -> ResponseReturnValue:
    """Draw a van by its numbers, look at it, keep it."""
    form = NumbersForm(data=STARTING)
    made: Outline | None = None
    if form.validate_on_submit():
        try:
            made = outline_numbers.make(form.numbers(), form.name.data or "")
        except NumbersError as fault:
            form.tell(fault.faults)
        else:
            if form.keep.data and form.seen.data == made.id:
                return _keep(made, asdict(form.numbers()))
            if form.keep.data:
                flash(_("The numbers have changed since you looked; look once more, then keep the outline."), "wrong")
    form.seen.data = made.id if made else ""
    status = 422 if form.is_submitted() and made is None else 200
    return render_template("setup/outline_numbers.html", form=form, **_shown(made)), status


@room.route("/setup/outlines/drawing", methods=["GET", "POST"])
@needs("manager")
def outline_by_drawing() -> ResponseReturnValue:
    """Read an SVG; every fault is told with the id of its path."""
    form, faults = DrawingForm(), list[str]()
    if form.validate_on_submit():
        try:
            own, left_out = load_foreign(_text(form.file.data))
        except OutlineError as fault:
            faults = list(fault.faults)
        else:
            return redirect(f"/setup/outlines/drafts/{_hold(Draft(outline=own, left_out=dict(left_out)))}")
    status = 422 if form.is_submitted() else 200
    more = max(0, len(faults) - TOLD)
    return render_template("setup/outline_drawing.html", form=form, faults=faults[:TOLD], more=more), status


@room.route("/setup/outlines/drafts/<key>", methods=["GET", "POST"])
@needs("manager")
def outline_draft(key: str) -> ResponseReturnValue:
    """Look at a drawing that was read, as it was written anew, and keep it."""
    draft = _drafts().get(key)
    if draft is None:
        raise Refusal("no_draft", _("This drawing is no longer held; read its file once more."), 404)
    form = KeepForm()
    if form.validate_on_submit():
        return _keep(replace(draft.outline, label=form.name.data or draft.outline.label), None)
    status = 422 if form.is_submitted() else 200
    shown = _shown(draft.outline)
    return render_template("setup/outline_draft.html", form=form, left_out=draft.left_out, **shown), status


def _text(file: Any) -> str:
    data = file.read(4 * LARGEST + 1)
    try:
        return str(data.decode("utf-8-sig"))
    except UnicodeDecodeError:
        raise OutlineError(_("The file is not text in UTF-8; save it as plain SVG.")) from None


def _shown(own: Outline | None) -> dict[str, Any]:
    drawn = drawing(own) if own else None
    return {"outline": own, "drawing": drawn, "class_words": class_words(journal().catalogue()), "gap_words": GAPS}


def _keep(own: Outline, numbers: dict[str, Any] | None) -> ResponseReturnValue:
    """Publish an outline, unless the very same one is here already; either way show it.

    It is read back first: what cannot be read could never be drawn again.
    """
    load(own.to_svg())
    if has_outline(reader(), own.hash):
        flash(_("This outline is here already; nothing was added."), "good")
    else:
        body = {"hash": own.hash, "content": own.to_svg(), "own": True, "numbers": numbers}
        journal().record(ticket(), PLANT, "outline_published", body)
        flash(_("The outline is kept. Choose below what is drawn on it."), "good")
    return redirect(f"/setup/outlines/{own.hash}")


def _drafts() -> OrderedDict[str, Draft]:
    found: OrderedDict[str, Draft] = current_app.extensions.setdefault("lampwalk.outline_drafts", OrderedDict())
    return found


def _hold(draft: Draft) -> str:
    key = uuid.uuid4().hex
    _drafts()[key] = draft
    while len(_drafts()) > KEPT:
        _drafts().popitem(last=False)
    return key
