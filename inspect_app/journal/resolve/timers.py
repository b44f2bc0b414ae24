"""Safety timers: waits of a caution that run by the clock and that a named person ends."""

from __future__ import annotations

from inspect_app.journal.events import Incoming, Refusal, Resolved
from inspect_app.journal.resolve import resolves
from inspect_app.journal.store import one
from inspect_app.journal.writing import Writing
from inspect_app.words import gettext as _

MINUTE_MS = 60_000
SLACK_MS = 5_000  # two tablets know the server's time by an estimate each


@resolves("timer_started")
def timer_started(w: Writing, event: Incoming) -> Resolved:
    """Start the wait of a caution; until when follows from the moment it was started, however late that is sent."""
    unit, body = w.unit(event), event.body
    w.late(event, unit)
    known = one(w.db, "SELECT state FROM timers WHERE id = ?", (body.timer,))
    w.hold(event, "timer", known["state"] if known else "none")
    caution = w.catalogue(event.catalogue).cautions.get(body.caution)
    if caution is None or not caution.timer:
        raise Refusal("no_caution", _("'%(key)s' is no caution with a timer; reload the page.", key=body.caution), 404)
    if body.minutes < caution.timer_least:
        raise Refusal(
            "minutes",
            _(
                "%(timer)s runs for at least %(least)s minutes (got %(got)s); start it again with more.",
                timer=_(caution.timer),
                least=caution.timer_least,
                got=body.minutes,
            ),
            422,
        )
    if body.job:
        w.part_of(event, "jobs", body.job, "job", "unit")
    return Resolved(values={"until": event.at + body.minutes * MINUTE_MS, "last_six": unit["last_six"]})


@resolves("timer_ended")
def timer_ended(w: Writing, event: Incoming) -> Resolved:
    """End a timer by name once its minutes have run out, or before with a reason. Who was first to end it stays."""
    w.late(event, w.unit(event))
    timer = w.part_of(event, "timers", event.body.timer, "timer")
    left = timer["until"] - SLACK_MS - event.at
    w.hold(event, "timer", timer["state"], variant="early" if event.body.reason else None, timer_left=left)
    return Resolved(values={"first": timer["state"] == "running"})
