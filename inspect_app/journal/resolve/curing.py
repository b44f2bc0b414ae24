"""Why a marker cannot be cleared yet: who put it right when, with what, and until when that cures."""

from __future__ import annotations

import sqlite3
from datetime import datetime
from zoneinfo import ZoneInfo

from inspect_app.journal.store import one
from inspect_app.journal.writing import Writing
from inspect_app.words import gettext as _
from inspect_app.words import midway, written

LAST = (
    "SELECT w.at, w.method, p.name FROM work w LEFT JOIN people p ON p.id = w.person WHERE w.marker = ?"
    " ORDER BY w.at DESC, w.n DESC LIMIT 1"
)


def still_curing(w: Writing, marker: sqlite3.Row) -> str:
    """Return the sentence for a marker (a row) whose cure has not run out."""
    work = one(w.db, LAST, (marker["id"],))
    until = moment(w, marker["cure_until"])
    if work is None or work["name"] is None:
        return _("%(tag)s is still curing; look at it again from %(until)s.", tag=marker["tag"], until=until)
    method = w.catalogue(None).methods.get(work["method"])
    return _(
        "%(tag)s is still curing: %(name)s has done “%(method)s” there, %(when)s; look at it again from %(until)s.",
        tag=marker["tag"],
        name=work["name"],
        method=midway(_(method.label)) if method else work["method"],
        when=moment(w, work["at"]),
        until=until,
    )


def moment(w: Writing, at: int) -> str:
    """Write a time as the plant's clock shows it."""
    return written.moment(datetime.fromtimestamp(at / 1000, ZoneInfo(w.moment.zone())))
