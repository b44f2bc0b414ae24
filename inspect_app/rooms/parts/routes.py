"""The rack, and the parts of one unit: what is off, what comes off, the labels to print."""

from __future__ import annotations

from io import BytesIO
from typing import Any

import uuid_utils.compat as uuids
from flask import abort, flash, redirect, render_template, request, send_file
from flask.typing import ResponseReturnValue

from inspect_app.journal.coverage import absent
from inspect_app.journal.events import Refusal
from inspect_app.journal.queries import parts as query
from inspect_app.journal.queries import setup
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import journal, reader, ticket, unit_or_404
from inspect_app.rooms.parts import part, told  # noqa: F401  (part registers itself on the room)
from inspect_app.rooms.parts.door import WORKERS, room
from inspect_app.rooms.parts.forms import OffForm, code_of
from inspect_app.rooms.shown import opening
from inspect_app.rooms.tongue import spoken_here
from inspect_app.sheet.data import SheetError
from inspect_app.trade import part_stages as stages
from inspect_app.words import gettext as _
from inspect_app.words import ngettext
from inspect_app.words.listed import all_of

__all__ = ["room"]


@room.get("/parts")
def rack() -> ResponseReturnValue:
    """Show which parts of which vans are where and what keeps them, or find those of a label."""
    read, groups, note = request.args.get("read", "").strip()[:80], told.groups(told.now()), ""
    if read:
        code = code_of(read)
        if code and query.part(reader(), code) is not None:
            return redirect(f"/parts/{code}")
        six = query.typed_six(read)
        groups = [group for group in groups if group["unit"]["last_six"] == six]
        note = (
            "" if groups else _("No part of a van that ends in %(six)s is off; read the label once more.", six=six[:20])
        )
    return render_template("parts/rack.html", groups=groups, read=read, note=note), 404 if note else 200


@room.get("/units/<key>/parts")
def of_unit(key: str) -> ResponseReturnValue:
    """Show the parts of one van that are off or were, and what may come off."""
    return _of_unit(key)


def _of_unit(key: str, status: int = 200, form: OffForm | None = None) -> ResponseReturnValue:
    unit = unit_or_404(key)
    rows, now = query.of_unit(reader(), key), told.now()
    form = form or OffForm(formdata=None)
    lacking = _not_fitted(unit)
    off_now = {row["part"] for row in rows if row["state"] not in told.OVER}
    offered = _may_come_off(unit, off_now | lacking.keys())
    form.parts.choices = [(one, label) for _head, _folded, some in offered for one, label in some]
    book = told.book()
    form.material.choices = [
        ("", _("what the outline says")),
        *((one, _(made.label)) for one, made in book.materials.items()),
    ]
    return render_template(
        "parts/unit.html",
        unit=unit,
        form=form,
        offered=offered,
        lacking=all_of(lacking.values()),
        ticked=set(form.parts.data or ()),
        lines=[told.line(row, now) for row in rows],
        clips=told.clips(rows),
        as_set=told.as_set(rows),
        mixups=query.mixups_of(reader(), key),
        off=sum(row["state"] not in told.OVER for row in rows),
        off_stage=book.stages[stages.FIRST],
        cautions=told.cautions(book.stages[stages.FIRST]),
        catalogue=journal().catalogue(),
    ), status


def _not_fitted(unit: Any) -> dict[str, str]:
    """Parts of the outline that this van does not have at all, with their names."""
    gone = {zone for zone, why in absent(unit).items() if why == "not_fitted"}
    shown = sorted(journal().outline(unit["outline"]).parts, key=lambda one: one.label)
    return {one.id: _(one.label) for one in shown if gone.issuperset(one.zones)}


def _may_come_off(unit: Any, gone: set[str]) -> list[tuple[str, bool, list[tuple[str, str]]]]:
    """Parts that are painted, by side; those in the chassis maker's paint, which rarely come off, apart (folded)."""
    shown = sorted(journal().outline(unit["outline"]).parts, key=lambda one: one.label)
    heads = {"left": _("Left side"), "right": _("Right side"), "": _("Front, rear and roof")}
    found = [
        (heads[side], False, [one for one in shown if one.paint == "ours" and stages.side(one.id) == side])
        for side in heads
    ]
    found.append((_("In the chassis maker's paint"), True, [one for one in shown if one.paint == "maker"]))
    named = [
        (head, folded, [(one.id, opening(_(one.label))) for one in some if one.id not in gone])
        for head, folded, some in found
    ]
    return [one for one in named if one[2]]


@room.post("/units/<key>/parts")
@needs(*WORKERS)
def take_off(key: str) -> ResponseReturnValue:
    """Note parts as off the van, each an event of its own."""
    unit_or_404(key)
    form = OffForm()
    if not form.validate():
        return _of_unit(key, 422, form)
    more = {name: form[name].data for name in ("material", "place") if form[name].data}
    off, left = 0, []
    for of in form.parts.data:
        try:
            journal().record(ticket(), f"unit:{key}", "part_off", {"part": str(uuids.uuid7()), "of": of, **more})
            off += 1
        except Refusal as refusal:
            left.append(refusal.reason)
    if left:
        form.parts.errors = left
        form.parts.data = [] if off else form.parts.data
    if off:
        flash(
            ngettext(
                "%(n)s part is off the van; print its label now.",
                "%(n)s parts are off the van; print their labels now.",
                off,
            ),
            "good",
        )
    return _of_unit(key, 409, form) if left else redirect(f"/units/{key}/parts")


@room.get("/units/<key>/parts/labels.pdf")
def labels(key: str) -> ResponseReturnValue:
    """Make the labels of what is off, in the plant's paper or in `?paper=` a4 or letter; `?part=` names one."""
    from inspect_app.sheet.part_labels import Label, make_labels  # late: it brings ReportLab with it

    unit, only = unit_or_404(key), request.args.get("part")
    rows = [row for row in query.of_unit(reader(), key) if row["state"] not in told.OVER and only in (None, row["id"])]
    if not rows:
        raise Refusal("no_parts", _("No part of this van is off, so there is no label to print."), 404)
    van = _("%(make)s %(model)s, %(colour)s", make=unit["make"], model=unit["model"], colour=unit["colour"])
    book = told.book()
    wanted = [
        Label(
            part=row["id"], last_six=unit["last_six"], piece=opening(_(row["label"])), van=van, chassis=unit["chassis"],
            material=_(book.materials[row["material"]].label),
        )
        for row in rows
    ]  # fmt: skip
    paper = request.args.get("paper") or setup.paper(reader())
    try:
        pdf = make_labels(wanted, paper=paper, language=spoken_here().key.replace("_", "-"))
    except SheetError:
        abort(404)
    return send_file(BytesIO(pdf), mimetype="application/pdf", download_name=f"labels-{unit['last_six']}.pdf")
