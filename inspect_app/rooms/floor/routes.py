"""The floor: what needs the person who is signed in, first."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, Response, g, render_template, request
from flask.typing import ResponseReturnValue

from inspect_app.journal.covered import covered
from inspect_app.journal.queries import changes
from inspect_app.journal.queries import floor as query
from inspect_app.journal.queries import timers as running
from inspect_app.rooms.floor.groups import floor as sort
from inspect_app.rooms.floor.lines import Person, View
from inspect_app.rooms.floor.timers import timers
from inspect_app.rooms.house import journal, reader
from inspect_app.rooms.shown import zone
from inspect_app.rooms.tongue import formats, spoken_here
from inspect_app.words import gettext as _

room = Blueprint("floor", __name__, template_folder="templates")
WEEK_MS = 7 * 24 * 3_600_000
MINUTE_MS = 60_000


@room.get("/")
def floor() -> ResponseReturnValue:
    """Show the whole page."""
    return render_template("floor/floor.html", **_shown())


@room.get("/floor/groups")
def groups() -> ResponseReturnValue:
    """Show the groups alone, for the page to put in place of its own when something has changed."""
    minute = journal().clock() // MINUTE_MS  # what cures or becomes late changes without an event
    etag = f"{journal().epoch}-{changes.newest(reader())}-{minute}-{g.person.id}-{spoken_here().key}-{formats()}"
    if request.if_none_match.contains(etag):
        return Response(status=304, headers={"ETag": f'"{etag}"'})
    response = Response(render_template("floor/_groups.html", **_shown()))
    response.set_etag(etag)
    return response


def _shown() -> dict[str, Any]:
    now, catalogue = journal().clock(), journal().catalogue()
    needless = covered(reader(), catalogue, journal().outline)
    standing = query.standing(reader(), g.person.id, now=now, since=now - WEEK_MS, covered=needless)
    view = View(
        standing=standing,
        person=Person(id=g.person.id, roles=frozenset(g.ticket.roles), departments=frozenset(g.ticket.departments)),
        now=now,
        zone=zone(),
        departments={key: _(one.short) for key, one in catalogue.departments.items()},
        purposes={key: _(one.label) for key, one in catalogue.walks.items()},
    )
    asked = sum(row["questions"] for row in standing.questions)
    waits = timers(running.running(reader()), catalogue, view)
    return {"floor": sort(view), "timers": waits, "left_out": standing.left_out, "bare": not view.units, "asked": asked}
