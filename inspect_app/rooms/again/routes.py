"""Pages of the second look: the units that wait for one, and the drawing of one unit, a shell that its script fills."""

from __future__ import annotations

from flask import Blueprint, render_template
from flask.typing import ResponseReturnValue

from inspect_app.journal.queries import again as queries
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import journal, reader, unit_or_404
from inspect_app.rooms.shown import zone
from inspect_app.rooms.units.words import due_words

room = Blueprint("again", __name__, template_folder="templates")


@room.get("/again")
@needs("inspector", "manager")
def units() -> ResponseReturnValue:
    """List the open units with rings to decide, proposals, questions or looks that work has undone."""
    now, place = journal().clock(), zone()
    waiting = queries.waiting(reader(), now=now)
    return render_template("again/list.html", units=waiting, due=lambda unit: due_words(unit["due"], now, place))


@room.get("/again/<unit>")
@needs("inspector", "manager")
def again(unit: str) -> ResponseReturnValue:
    """Show the drawing of one unit; what is on it comes from the tablet's own store and the changes feed."""
    unit_or_404(unit)
    return render_template("again/again.html")
