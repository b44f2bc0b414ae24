"""Who may come in: a sign-in for everything, a role where it is written, proof that a write is from our own page."""

from __future__ import annotations

import logging
import sqlite3
from collections.abc import Callable
from functools import wraps
from typing import Any, NoReturn, TypeVar
from urllib.parse import urlsplit

from flask import Flask, flash, g, redirect, request, session, url_for
from flask.typing import ResponseReturnValue
from flask_wtf.csrf import CSRFError, validate_csrf
from wtforms import ValidationError

from inspect_app.journal.events import Refusal
from inspect_app.journal.queries import people
from inspect_app.journal.tickets import Ticket
from inspect_app.rooms import tablet as tablets
from inspect_app.rooms.house import journal, reader, ticket
from inspect_app.words import N_
from inspect_app.words import gettext as _
from inspect_app.words.listed import one_of

log = logging.getLogger("lampwalk.doors")

JSON_ONLY = frozenset(
    {"people.names", "people.go_on", "walk.left"}
    | {
        f"signoff.{view}"
        for view in ("now", "sign", "confirm", "answer_question", "reopen", "agree", "refuse", "make_again")
    }
)
# By address as well: where no route fits (404, 405) there is no endpoint to go by.
JSON_PATHS = (
    *("/sync", "/changes", "/me", "/photos/", "/catalogues/", "/outlines/"),
    *("/lifecycle.json", "/judgement.json", "/healthz"),
)
FILES = frozenset({"client", "room_file", "words"})
# The same for everyone who reads one language: no session is read, nobody is named in the answer.
IMPERSONAL = FILES | {"offline.manifest", "offline.worker", "offline.shell"}
OPEN_TO_ALL = frozenset(
    {"people.sign_in", "people.names", "people.first", "people.admit", "people.go_on", "sync.healthz"}
)
# Their forms hold the token themselves before anything is written: with an old one they are shown again, as typed.
SHOWN_AGAIN = frozenset(
    {"units.new", "units.correct", "units.place", "people.mine"}
    | {
        f"setup.{view}"
        for view in (
            "add", "change", "pin", "tablet", "admit_tablet", "settings", "outbox", "import_", "new_row",
            "change_row", "limits", "change_rules",
        )
    }
)  # fmt: skip
CONTENT_SECURITY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; connect-src 'self'; "
    "font-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'; manifest-src 'self'; "
    "worker-src 'self'"
)

LEFT = N_(
    "Whoever was signed in is no longer at work here: nothing more is kept under their name until somebody signs in, "
    "and what was kept before stays and is sent then."
)

View = TypeVar("View", bound=Callable[..., Any])


def attach(app: Flask) -> None:
    """Guard every request of the application."""
    app.before_request(_let_in)
    app.after_request(_seal)


def speaks_json() -> bool:
    """Tell a program's request from a person's: JSON routes never redirect and never answer with a page."""
    if request.blueprint == "sync" or request.endpoint in JSON_ONLY or request.path.startswith(JSON_PATHS):
        return True
    if request.headers.get("X-Lampwalk") or request.is_json:
        return True
    return request.accept_mimetypes.best_match(["text/html", "application/json"]) == "application/json"


def _let_in() -> ResponseReturnValue | None:
    if request.method in ("POST", "PUT", "PATCH", "DELETE"):
        _own_page_only()
    if request.endpoint in IMPERSONAL:
        return None
    if request.endpoint is None or request.endpoint in OPEN_TO_ALL:
        _read_ticket()
        return None
    if _read_ticket():
        return None
    if tablets.is_shut_out(_tablet_in_hand()):
        _stand_outside()
    if speaks_json():
        if session.get("left"):
            raise Refusal("has_left", _(LEFT), 401)
        raise Refusal(
            "sign_in", _("You are not signed in; sign in to go on. What is kept on this tablet stays kept."), 401
        )
    wanted = request.full_path.rstrip("?") if request.method == "GET" else "/"
    return redirect(url_for("people.sign_in", next=wanted))


def _read_ticket() -> bool:
    token = session.get("token")
    if not token:
        return False
    try:
        found = journal().tickets.read(token)
    except Refusal:
        session.clear()
        return False
    if tablets.is_shut_out(people.tablet(reader(), found.tablet)):
        return False
    person = people.person(reader(), found.person)
    if person is None or not person.active or found.until < journal().clock() or _lost(found, person):
        session.pop("token", None)
        if person is not None and not person.active:
            session["left"] = True  # for the tablet in hand, which goes on asking; who it was is not said
        return False
    g.ticket, g.person, g.token = found, person, token
    return True


def _tablet_in_hand() -> sqlite3.Row | None:
    """The tablet that asks: of its session while that lasts, else of its cookie."""
    try:
        held = journal().tickets.read(session.get("token") or "")
    except Refusal:
        return tablets.known()
    return people.tablet(reader(), held.tablet) or tablets.known()


def _stand_outside() -> NoReturn:
    """Take nothing from a tablet that was shut out; what it sends is kept aside for a manager to see."""
    if request.endpoint == "sync.sync":
        from inspect_app.rooms.sync.aside import keep_aside

        keep_aside(_tablet_in_hand())
    log.warning("%s was refused to a tablet that is shut out", request.endpoint)
    raise Refusal("shut_out", _(tablets.SHUT_OUT), 403)


def _lost(held: Ticket, person: people.Person) -> bool:
    """Whether a ticket speaks of a role or department its person no longer has; a new sign-in makes a true one."""
    return not (set(held.roles) <= set(person.roles) and set(held.departments) <= set(person.departments))


def _own_page_only() -> None:
    origin = request.headers.get("Origin")
    if origin and urlsplit(origin).netloc != request.host:
        log.warning("a write from %s to %s was refused", origin, request.endpoint)
        raise Refusal("origin", _("This did not come from a page of this server; open Lampwalk and do it there."), 403)
    if request.headers.get("X-Lampwalk"):
        return
    if request.is_json or request.blueprint == "sync" or request.endpoint in JSON_ONLY:
        raise Refusal("header", _("The header X-Lampwalk is missing; use a page of this server."), 403)
    try:
        validate_csrf(request.form.get("csrf_token"))
    except (ValidationError, CSRFError):
        if request.form.get("csrf_token") and request.endpoint in SHOWN_AGAIN and _read_ticket():
            sentence = _(
                "This page had grown old, so nothing was sent. What you typed still stands here, "
                "but for PINs and files; send it again."
            )
            flash(sentence, "wrong")
            return
        raise Refusal("stale_form", _("This page has grown old; reload it and send it again."), 403) from None


def needs(*roles: str) -> Callable[[View], View]:
    """Let a view be used by these roles only."""

    def guard(view: View) -> View:
        @wraps(view)
        def guarded(*args: Any, **kwargs: Any) -> Any:
            if not set(ticket().roles) & set(roles):
                log.warning("%s was refused to %s", request.endpoint, ticket().person)
                wanted = one_of(_(role) for role in roles)
                raise Refusal("roles", _("This needs the role %(roles)s; ask someone who has it.", roles=wanted), 403)
            return view(*args, **kwargs)

        return guarded  # type: ignore[return-value]

    return guard


def _seal(response: Any) -> Any:
    response.headers.setdefault("X-Content-Type-Options", "nosniff")
    if _never_a_page(response):
        return response
    response.headers.setdefault("Content-Security-Policy", CONTENT_SECURITY)
    response.headers.setdefault("Referrer-Policy", "same-origin")
    response.headers.setdefault("Permissions-Policy", "geolocation=(), microphone=(), payment=()")
    kept = request.endpoint in (*FILES, "sync.catalogue", "sync.outline", "sync.photo")
    if not kept or response.status_code >= 400:
        response.headers.setdefault("Cache-Control", "no-store")
    return response


def _never_a_page(response: Any) -> bool:
    """Scripts and styles: the rest of the seal acts on pages and workers, and would weigh more than many a module."""
    return request.endpoint in FILES and response.mimetype in ("text/javascript", "text/css")
