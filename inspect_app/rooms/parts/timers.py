"""The waits for safety of a part's stages: which can be started beside it, and which run at its van."""

from __future__ import annotations

from typing import Any

import uuid_utils.compat as uuids
from flask import flash, redirect
from flask.typing import ResponseReturnValue
from wtforms import HiddenField, SubmitField
from wtforms.validators import InputRequired

from inspect_app.journal.events import Refusal
from inspect_app.journal.queries import timers as query
from inspect_app.rooms.doors import needs
from inspect_app.rooms.floor.timers import At, Timer
from inspect_app.rooms.floor.timers import timers as in_words
from inspect_app.rooms.house import journal, reader, ticket
from inspect_app.rooms.parts import told
from inspect_app.rooms.parts.door import WORKERS, room
from inspect_app.rooms.parts.forms import PartForm
from inspect_app.rooms.shown import zone
from inspect_app.rooms.units.forms import line
from inspect_app.rooms.whole_field import WholeField
from inspect_app.trade.catalogue_check import MOST_MINUTES
from inspect_app.words import gettext as _
from inspect_app.words import lazy

MISSING = lazy("'Minutes' is missing; your local code and the data sheet say how many.")
MINUTES = lazy("Minutes are a whole number from 1 to %(max)s.", max=MOST_MINUTES)


class TimerForm(PartForm):
    """Where a wait runs, and for how long."""

    caution = HiddenField()
    place = line(
        lazy("Where"),
        lazy("'Where' is missing; write the booth, the station or the van."),
        most=80,
        hint=lazy("The booth, the station or the van: whoever reads it must find it"),
    )
    minutes = WholeField(
        lazy("Minutes"), least=1, most=MOST_MINUTES, wrong=MINUTES, asked=MISSING, validators=[InputRequired(MISSING)]
    )
    start = SubmitField(lazy("Start it in my name"))


def startable(row: Any, coming: str | None, sent: TimerForm | None = None) -> list[tuple[Any, TimerForm]]:
    """The cautions with a timer of the stage that comes and of the one just done, each with its form."""
    book = told.book().stages
    near = [book[one] for one in (row["stage"], coming) if one in book]
    found = {one.key: one for stage in near for one in told.cautions(stage) if one.timer and not one.retired}
    return [(one, _form(row, one, sent)) for one in found.values()]


def _form(row: Any, caution: Any, sent: TimerForm | None) -> TimerForm:
    if sent is not None and sent.caution.data == caution.key:
        return sent
    fresh = {"caution": caution.key, "place": row["place"] or "", "minutes": caution.timer_minutes}
    return TimerForm(prefix="timer", formdata=None, data=fresh)


def running(row: Any) -> list[Timer]:
    """The timers that run at the van of a part, in words."""
    own = [one for one in query.running(reader()) if one["unit"] == row["unit"]]
    return in_words(own, journal().catalogue(), At(now=told.now(), zone=zone()))


@room.post("/parts/<key>/timer")
@needs(*WORKERS)
def start_timer(key: str) -> ResponseReturnValue:
    """Start the wait of a caution beside a part; it is ended in Rework, by name."""
    from inspect_app.rooms.parts.part import part_or_404, show  # that page shows these timers

    row, form = part_or_404(key), TimerForm(prefix="timer")
    if not form.validate():
        return show(key, 422, timer=form)
    body = {"timer": str(uuids.uuid7()), **{name: form[name].data for name in ("caution", "place", "minutes")}}
    try:
        journal().record(ticket(), f"unit:{row['unit']}", "timer_started", body)
    except Refusal as refusal:
        if refusal.code != "minutes":
            raise
        form.minutes.errors = [refusal.reason]
        return show(key, 422, timer=form)
    flash(_("The timer runs, in your name. It stands on the floor and in Rework until somebody has looked."), "good")
    return redirect(f"/parts/{key}")
