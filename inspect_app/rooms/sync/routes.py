"""The JSON routes that tablets live on. See docs/openapi.yaml."""

from __future__ import annotations

import logging
from collections.abc import Callable
from typing import Any, overload

from flask import Blueprint, Response, g, jsonify, request
from flask.typing import ResponseReturnValue

from inspect_app.journal.events import Refusal, printable
from inspect_app.journal.queries import changes as feed
from inspect_app.journal.queries import people, units, versions
from inspect_app.rooms import tongue
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import house, journal, reader, ticket
from inspect_app.rooms.sync import presence
from inspect_app.trade import lifecycle, ways
from inspect_app.words import N_
from inspect_app.words import gettext as _

room = Blueprint("sync", __name__)
log = logging.getLogger("lampwalk.sync")

MOST_EVENTS = 500
MOST_TICKETS = 500  # each event names one
_SHAPED: dict[str, dict[str, Any]] = {}  # versions named by their content never change
FOR_EVER = "private, max-age=31536000, immutable"


@room.get("/healthz")
def healthz() -> ResponseReturnValue:
    """Tell that the server answers and can read its store."""
    return jsonify(ok=True, n=feed.newest(reader()))


@room.get("/me")
def me() -> ResponseReturnValue:
    """Tell a page who is signed in on this tablet, with the ticket that proves it; pages are then in their language."""
    response = jsonify(whoami())
    return tongue.remember(response, g.person.language, g.person.formats)  # type: ignore[no-any-return]


def whoami() -> dict[str, Any]:
    """Shape the signed-in person for the browser."""

    held = ticket()
    tablet = people.tablet(reader(), held.tablet)
    return {
        "person": held.person,
        "name": g.person.name,
        "roles": list(held.roles),
        "departments": list(held.departments),
        "language": g.person.language,
        "formats": g.person.formats,
        "ticket": held.id,
        "token": g.token,
        "tablet": held.tablet,
        "letters": tablet["letters"] if tablet else "",
        "until": held.until,
        "now": journal().clock(),
    }


@room.post("/sync")
def sync() -> ResponseReturnValue:
    """Take events from an outbox; one answer for each. Roles are asked for event by event, by the lifecycle table."""
    body = _object(request.get_json(silent=True))
    events, tokens = body.get("events"), body.get("tickets", [])
    if (
        not isinstance(events, list)
        or not isinstance(tokens, list)
        or not all(isinstance(token, str) for token in tokens)
    ):
        raise Refusal(
            "malformed", _("'events' must be a list of events and 'tickets' a list of texts; update the tablet."), 422
        )
    _not_more_than(MOST_EVENTS, events, N_("At most %(most)s events go in one sync (got %(n)s); send fewer at a time."))
    _not_more_than(
        MOST_TICKETS, tokens, N_("At most %(most)s tickets go in one sync (got %(n)s); send fewer at a time.")
    )
    tablet, pending = ticket().tablet, body.get("pending")
    if pending is not None and not presence.is_count(pending):
        raise Refusal("malformed", _("'pending' must be a whole number from 0 on; update the tablet."), 422)
    # One commit for both: that nothing is left unsent is true only together with what was sent.
    answers = journal().sync(events, tokens, tablet=tablet, note=presence.report(tablet, pending))
    for answer in answers:
        if answer.outcome == "refused":
            log.info("event %r from tablet %s was refused: %s", answer.id, tablet, answer.code)
    # An event the server failed at is not answered: the tablet keeps it and sends it again.
    told = [answer.to_json() for answer in answers if answer.outcome != "error"]
    return jsonify(answers=told, now=journal().clock(), n=feed.newest(reader()), epoch=journal().epoch)


def _not_more_than(most: int, found: list[Any], sentence: str) -> None:
    if len(found) > most:
        raise Refusal("too_many", _(sentence, most=most, n=len(found)), 413)


def _object(body: Any) -> dict[str, Any]:
    if not isinstance(body, dict):
        raise Refusal("malformed", _("The body could not be read as a JSON object; update the tablet."), 422)
    return body


@room.get("/changes")
def changes() -> ResponseReturnValue:
    """Tell what changed since a running number, in one unit or in all that are open."""
    since, unit, pending = _whole("since", "0"), request.args.get("unit"), _whole("pending", None)
    held = ticket()
    db = reader()
    if unit is not None and units.unit(db, unit) is None:
        raise Refusal("no_unit", _("This server does not know the unit; find it again on the floor."), 404)
    presence.seen(held.tablet, unit, pending)
    newest = feed.newest(db)
    # Another epoch makes the tablet read everything anew: when a blind walk begins, and when it ends.
    whole = request.args.get("units") == "open"
    blind = feed.blind_walk(db, unit, held.person) if unit else None
    blinds = [blind] if blind else [] if unit or whole else feed.blind_walks(db, held.person)
    epoch = ".".join([journal().epoch, *blinds])
    etag = f"{epoch}-{newest}"
    if request.if_none_match.contains_weak(etag) and since >= newest:
        return Response(status=304, headers={"ETag": f'"{etag}"'})
    if unit:
        rows = feed.of_unit(db, unit, since, blind)
    elif whole:  # to keep; nobody has these units before them
        rows = feed.of_open(db, since, held.person)
    else:
        rows = feed.of_plant(db, since, held.person)
    response = jsonify(epoch=epoch, n=newest, now=journal().clock(), rows=rows)
    response.set_etag(etag)
    return response


@overload
def _whole(name: str, usual: str) -> int: ...
@overload
def _whole(name: str, usual: None) -> int | None: ...
def _whole(name: str, usual: str | None) -> int | None:
    raw = request.args.get(name, usual)
    if raw is None:
        return None
    if not (raw.isascii() and raw.isdecimal()) or len(raw) > 15:
        raise Refusal(
            "malformed",
            _("'%(name)s' must be a whole number (got '%(raw)s').", name=name, raw=printable(raw)[:20]),
            422,
        )
    return int(raw)


@room.get("/lifecycle.json")
def lifecycle_table() -> ResponseReturnValue:
    """The one state machine, for the browser."""
    return _rules(lifecycle.builtin().to_json())


@room.get("/judgement.json")
def judgement() -> ResponseReturnValue:
    """Which methods are open for a flaw, and how much clear may come off: rules that the browser reads by itself."""
    return _rules(ways.to_json(journal().catalogue()))


def _rules(found: dict[str, Any]) -> ResponseReturnValue:
    response = jsonify(found)
    response.add_etag()
    made: Any = response.make_conditional(request)
    return made  # type: ignore[no-any-return]


@room.get("/catalogues/<key>.json")
def catalogue(key: str) -> ResponseReturnValue:
    """A catalogue version, by its hash, or `current`."""
    if key == "current":
        key = versions.current_catalogue(reader())
    return _version(key, versions.has_catalogue(reader(), key), journal().catalogue)


@room.get("/outlines/<key>.json")
def outline(key: str) -> ResponseReturnValue:
    """An outline version, by its hash."""
    return _version(key, versions.has_outline(reader(), key), journal().outline)


def _version(key: str, known: bool, load: Callable[[str], Any]) -> ResponseReturnValue:
    if not known:
        raise Refusal("no_version", _("This server does not know the version named; reload the page."), 404)
    if key not in _SHAPED:
        # What a browser reads of the rules it gets from /judgement.json.
        _SHAPED[key] = {name: held for name, held in load(key).to_json().items() if name != "rules"} | {"hash": key}
    response = jsonify(_SHAPED[key])
    response.set_etag(key[:24])
    response.headers["Cache-Control"] = FOR_EVER if not request.path.endswith("/current.json") else "no-cache"
    made: Any = response.make_conditional(request)
    return made  # type: ignore[no-any-return]


@room.put("/photos/<key>")
@needs("inspector", "technician", "manager")
def put_photo(key: str) -> ResponseReturnValue:
    """Take the picture of an announced photo: cleaned, stored by its hash, or refused with a sentence."""
    from inspect_app.rooms.sync.pictures import take

    return jsonify(take(house(), key, request.stream, request.content_length))


@room.get("/photos/<key>")
def photo(key: str) -> ResponseReturnValue:
    """Show a stored picture: full, 600 or thumb."""
    from inspect_app.rooms.sync.pictures import find

    path, sha = find(house(), key, request.args.get("size", "600"))
    return Response(
        headers={
            "X-Lampwalk-File": path,
            "ETag": f'"{sha}-{request.args.get("size", "600")}"',
            "Cache-Control": FOR_EVER,
        },
        mimetype="image/jpeg",
    )
