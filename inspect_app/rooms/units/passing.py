"""What is noted of a van on the line: a station it has passed, a part that was painted."""

from __future__ import annotations

from typing import Any

from flask import flash, redirect
from flask.typing import ResponseReturnValue

from inspect_app.journal.events import Refusal
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import journal, ticket, unit_or_404
from inspect_app.rooms.units.card import show
from inspect_app.rooms.units.door import room
from inspect_app.rooms.units.line import PaintedForm, PassedForm
from inspect_app.words import gettext as _

WRITERS = ("inspector", "technician", "manager")


@room.post("/units/<key>/stations")
@needs(*WRITERS)
def passed(key: str) -> ResponseReturnValue:
    """Note that the van has left a station of the line."""
    unit = unit_or_404(key)
    form = PassedForm(unit=unit)
    if not form.validate():
        return show(key, 422, passed=form)
    body = {"station": form.station.data, **({"walk": form.walk.data} if form.walk.data else {})}
    return _recorded(key, "station_passed", body, _("The station is passed."), passed=form)


@room.post("/units/<key>/painted")
@needs(*WRITERS)
def painted(key: str) -> ResponseReturnValue:
    """Note how a part was painted."""
    unit = unit_or_404(key)
    form = PaintedForm(unit=unit)
    if not form.validate():
        return show(key, 422, painted=form)
    told = {"part": form.part.data, "booth": form.booth.data, "at": form.painted_at.ms()}
    more = {"sprayer": form.sprayer.data, "mix": form.mix.data, "flame_at": form.flame_at.ms()}
    body = {**told, **{name: value for name, value in more.items() if value}}
    return _recorded(key, "part_painted", body, _("Noted how the part was painted."), painted=form)


def _recorded(key: str, event: str, body: dict[str, Any], said: str, **forms: Any) -> ResponseReturnValue:
    fields = {"future": "painted_at", "flame": "flame_at", "passed": "station"}
    try:
        journal().record(ticket(), f"unit:{key}", event, body)
    except Refusal as refusal:
        (form,) = forms.values()
        if fields.get(refusal.code) not in form:
            raise
        form[fields[refusal.code]].errors = [refusal.reason]
        return show(key, 422, **forms)
    flash(said, "good")
    return redirect(f"/units/{key}#line")
