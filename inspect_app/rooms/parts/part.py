"""One part: its next stage with the cautions of it, its label, its clips, back on the van."""

from __future__ import annotations

import re
from typing import Any

from flask import flash, redirect, render_template
from flask.typing import ResponseReturnValue

from inspect_app.journal.events import Refusal
from inspect_app.journal.labels import MIX_UP
from inspect_app.journal.queries import parts as query
from inspect_app.journal.queries import people
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import journal, reader, ticket
from inspect_app.rooms.parts import timers, told
from inspect_app.rooms.parts.door import WORKERS, room
from inspect_app.rooms.parts.forms import AgainForm, BackForm, ClipsForm, LabelForm, RefitForm, StageForm
from inspect_app.trade import part_stages as stages
from inspect_app.words import gettext as _

DAYS_OF_MIXES = 7
# Which field a refusal of the journal stands beside.
BESIDE = {
    "six": "six", "no_label": "six", "other_part": "six", "which_van": "van", "booth": "booth", "mix": "mix",
    "no_person": "sprayer", "batch": "reason", "stage": "stage", "clips": "broken",
}  # fmt: skip


def part_or_404(key: str) -> Any:
    """Read a part, or refuse with 404."""
    row = query.part(reader(), key)
    if row is None:
        raise Refusal("no_part", _("There is no such part; find it on the rack."), 404)
    return row


@room.get("/parts/<key>")
def part(key: str) -> ResponseReturnValue:
    """Show one part: what is next, how, and what was done."""
    return show(key)


def show(
    key: str, status: int = 200, stop: str = "", timer: timers.TimerForm | None = None, **forms: Any
) -> ResponseReturnValue:
    """Answer with a part's page; `forms` came back with faults, `stop` says that the label is another van's."""
    row, book, now = part_or_404(key), told.book(), told.now()
    db, catalogue = reader(), journal().catalogue()
    coming = told.coming(row, now)
    forms = _fitting({**_fresh(row, coming), **forms}, coming)
    _offer(row, forms)
    return render_template(
        "parts/part.html",
        part=row,
        unit=row,
        piece=_(row["label"]),
        standing=told.standing(row, now),
        track=told.track(row, now),
        coming=coming,
        stage=book.stages.get(coming or ""),
        material=_(book.materials[row["material"]].label),
        department=told.department(book.stages[coming]) if coming else "",
        cautions=told.cautions(book.stages[coming]) if coming else [],
        clause=_(catalogue.clause),
        startable=timers.startable(row, coming, timer),
        running=timers.running(row),
        forms=forms,
        mixes=query.mixes(db, now - DAYS_OF_MIXES * 86_400_000),
        steps=query.steps(db, key),
        labels={one: _(made.label) for one, made in book.stages.items()} | {"put_back": _("put back untouched")},
        names=people.names(db),
        cost=told.money(row["clips_cost"]),
        stop=re.sub(r"(?<=\b\d{3}) (?=\d{3}\b)", "\N{NO-BREAK SPACE}", stop),  # no line ends within a van's last six
        over=row["state"] in told.OVER,
        open=row["unit_state"] == "open",
        waits=told.waits(row, now),
        painting=coming == stages.PAINTED,
        refitting=coming == stages.LAST,
    ), status  # fmt: skip


def _fitting(forms: dict[str, Any], coming: str | None) -> dict[str, Any]:
    """The forms; a label that was sent for another stage than the page has come to is told above and asked for anew."""
    kind, sent = _kind(coming), forms["label"]
    if isinstance(sent, kind):
        return forms
    for fault in (fault for field in sent for fault in field.errors):
        flash(str(fault), "wrong")
    return {**forms, "label": kind(formdata=None, data={"since": sent.since.data, "stage": coming})}


def _kind(coming: str | None) -> type[LabelForm]:
    return RefitForm if coming == stages.LAST else StageForm


def _fresh(row: Any, coming: str | None) -> dict[str, Any]:
    """The forms as they are first shown."""
    counted = {name: row[f"clips_{name}"] for name in ("out", "broken", "replaced")}
    return {
        "label": _kind(coming)(formdata=None, data={"since": row["stage"], "stage": coming}),
        "again": AgainForm(prefix="again", formdata=None, data={"since": row["stage"]}),
        "clips": ClipsForm(formdata=None, data=counted if row["clips_out"] else {}),
        "back": BackForm(prefix="back", formdata=None),
    }


def _offer(row: Any, forms: dict[str, Any]) -> None:
    """Fill what is to be chosen from: the vans that share these six, sprayers, stages already done."""
    book, order = told.book(), told.book().materials[row["material"]].stages
    named = [one for one in query.ending_in(reader(), row["last_six"]) if one["state"] == "open"]
    vans = [(one["id"], f"{one['colour']} · {one['chassis']} · {one['make']} {one['model']}") for one in named]
    for form in (forms["label"], forms["again"]):
        form.van.choices = vans if len(vans) > 1 else []
    forms["again"].stage.choices = [
        (one, _(book.stages[one].label))
        for one in order[1 : order.index(row["stage"]) + 1]
        if one not in (stages.PAINTED, stages.LAST)
    ]
    if "sprayer" in forms["label"]:
        sprayers = [one for one in people.everyone(reader()) if "technician" in one.roles]
        forms["label"].sprayer.choices = [("", _("not known")), *((one.id, one.name) for one in sprayers)]


@room.post("/parts/<key>/stage")
@needs(*WORKERS)
def stage(key: str) -> ResponseReturnValue:
    """Note the next stage as done, the label of the part in hand read."""
    row, form = part_or_404(key), StageForm()
    order = told.book().materials[row["material"]].stages
    since = form.since.data if form.since.data in order else row["stage"]
    wanted = form.stage.data if form.stage.data in order else stages.after(told.book(), row["material"], since)
    if not form.validate():
        return show(key, 422, label=form)
    body = {"stage": str(wanted), "since": since, **form.read(), **form.how(painted=wanted == stages.PAINTED)}
    return _recorded(row, "part_stage", body, "label", form)


@room.post("/parts/<key>/again")
@needs(*WORKERS)
def again(key: str) -> ResponseReturnValue:
    """Note an earlier stage as done again."""
    row, form = part_or_404(key), AgainForm(prefix="again")
    if not form.validate():
        return show(key, 422, again=form)
    if not form.stage.data:
        form.stage.errors = [_("Choose the stage that is done again.")]
        return show(key, 422, again=form)
    body = {"stage": form.stage.data, "since": form.since.data or row["stage"], **form.read()}
    return _recorded(row, "part_stage", body, "again", form)


@room.post("/parts/<key>/refit")
@needs(*WORKERS)
def refit(key: str) -> ResponseReturnValue:
    """Put the part on its van again."""
    row, form = part_or_404(key), RefitForm()
    if not form.validate():
        return show(key, 422, label=form)
    more = {"reason": form.reason.data} if form.reason.data else {}
    return _recorded(row, "part_refitted", {**form.read(), **more}, "label", form)


@room.post("/parts/<key>/clips")
@needs(*WORKERS)
def clips(key: str) -> ResponseReturnValue:
    """Count the clips of the part."""
    row, form = part_or_404(key), ClipsForm()
    if not form.validate():
        return show(key, 422, clips=form)
    body = {name: form[name].data for name in ("out", "broken", "replaced")}
    return _recorded(row, "clips_counted", body, "clips", form)


@room.post("/parts/<key>/back")
@needs(*WORKERS)
def back(key: str) -> ResponseReturnValue:
    """Put an untouched part back on its van."""
    row, form = part_or_404(key), BackForm(prefix="back")
    if not form.validate():
        return show(key, 422, back=form)
    return _recorded(row, "part_put_back", {"reason": form.reason.data.strip()}, "back", form)


def _recorded(row: Any, event: str, body: dict[str, Any], name: str, form: Any) -> ResponseReturnValue:
    """Record it; a label of another van stops whoever holds the part, and is counted."""
    body = {"part": row["id"], **body}
    try:
        journal().record(ticket(), f"unit:{row['unit']}", event, body)
    except Refusal as refusal:
        if refusal.code == MIX_UP:
            _count_mixup(row, body)
            return show(row["id"], 409, stop=refusal.reason, **{name: _emptied(form)})
        if refusal.code == "moved":
            flash(refusal.reason, "wrong")
            return redirect(f"/parts/{row['id']}")
        beside = form[BESIDE[refusal.code]] if BESIDE.get(refusal.code) in form else None
        if beside is None:
            flash(refusal.reason, "wrong")
        else:
            beside.errors = [refusal.reason]
        return show(row["id"], refusal.status if refusal.status != 404 else 422, **{name: form})
    flash(_said(event), "good")
    return redirect(f"/parts/{row['id']}")


def _count_mixup(row: Any, body: dict[str, Any]) -> None:
    wanted = body.get("stage") or stages.LAST
    mixed: dict[str, Any] = {"part": row["id"], "stage": wanted}
    mixed |= {name: body[name] for name in ("six", "label", "van") if name in body}
    journal().record(ticket(), f"unit:{row['unit']}", "mixup_stopped", mixed)


def _emptied(form: LabelForm) -> LabelForm:
    """The form without what was read: the next label is read from the right part."""
    form.six.data = form.label.data = form.van.data = ""
    return form


def _said(event: str) -> str:
    return {
        "part_stage": _("The stage is noted."),
        "part_refitted": _("The part is on its van again; it is looked at there once more."),
        "clips_counted": _("The clips are counted."),
        "part_put_back": _("The part is on its van again, as it was."),
    }[event]
