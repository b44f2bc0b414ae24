"""What is somebody's own: the language they read, and how numbers and dates are written for them."""

from __future__ import annotations

from datetime import datetime

from flask import flash, g, redirect, render_template
from flask.typing import ResponseReturnValue

from inspect_app.journal.journal import PLANT
from inspect_app.rooms import tongue
from inspect_app.rooms.house import journal, ticket
from inspect_app.rooms.people.door import room
from inspect_app.rooms.shown import zone
from inspect_app.rooms.tongue_forms import TongueForm
from inspect_app.words import gettext as _


@room.route("/my-settings", methods=["GET", "POST"])
def mine() -> ResponseReturnValue:
    """Show and change one's own language and way of writing; they come along to every tablet one signs in on."""
    person = g.person
    form = TongueForm(data={"language": person.language, "formats": person.formats})
    form.offer(datetime.fromtimestamp(journal().clock() / 1000, zone()), usual=_("As the plant's"))
    if not form.validate_on_submit():
        return render_template("people/mine.html", form=form), 422 if form.is_submitted() else 200
    language, formats = form.sent("language") or "", form.sent("formats") or ""
    if (language, formats) != (person.language, person.formats):
        body = {"person": person.id, "language": language, "formats": formats}
        journal().record(ticket(), PLANT, "person_preferred", body)
    flash(_("Kept. Pages that this tablet keeps for the time without the server follow when all work is sent."), "good")
    return tongue.remember(redirect("/my-settings"), language, formats)  # type: ignore[no-any-return]
