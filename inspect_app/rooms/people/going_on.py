"""Going on by a ticket: a tablet whose person was changed while the server was away tells who works on it now."""

from __future__ import annotations

import logging

from flask import g, jsonify, request, session
from flask.typing import ResponseReturnValue

from inspect_app.journal.events import Refusal
from inspect_app.journal.queries import people
from inspect_app.journal.tickets import Ticket
from inspect_app.rooms import tablet as tablets
from inspect_app.rooms import tongue
from inspect_app.rooms.doors import LEFT
from inspect_app.rooms.house import journal, reader
from inspect_app.rooms.people.door import room
from inspect_app.rooms.sync.routes import whoami
from inspect_app.words import N_
from inspect_app.words import gettext as _

log = logging.getLogger("lampwalk.doors")
ENDED = N_("The sign-in you went on with has ended; sign in again. What is kept on this tablet stays kept.")


@room.post("/sign-in/again")
def go_on() -> ResponseReturnValue:
    """Give the session to the owner of a ticket that was made on this tablet and still runs; no new ticket is made."""
    here = tablets.known()
    if tablets.is_shut_out(here):
        raise Refusal("shut_out", _(tablets.SHUT_OUT), 403)
    asked = request.get_json(silent=True)
    token = asked.get("token") if isinstance(asked, dict) else None
    if not isinstance(token, str) or not token:
        raise Refusal("malformed", _("'token' must be the text of a ticket; reload the page."), 422)
    held = journal().tickets.read(token)
    person = people.person(reader(), held.person)
    if here is None or held.tablet != here["id"] or person is None or not _runs(held, person):
        session.clear()  # or the page would go back to whoever had the tablet before, without being asked
        if here is not None and held.tablet == here["id"] and person is not None and not person.active:
            session["left"] = True
            raise Refusal("has_left", _(LEFT), 401)
        raise Refusal("sign_in", _(ENDED), 401)
    session.clear()
    session.permanent = True
    session["token"] = token
    g.ticket, g.person, g.token = held, person, token
    log.info("%s goes on at tablet %s from %s", held.person, held.tablet, request.remote_addr)
    return tongue.remember(jsonify(whoami()), person.language, person.formats)  # type: ignore[no-any-return]


def _runs(held: Ticket, person: people.Person) -> bool:
    kept = set(held.roles) <= set(person.roles) and set(held.departments) <= set(person.departments)
    return person.active and kept and held.until >= journal().clock()
