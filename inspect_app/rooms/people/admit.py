"""Admitting a tablet by a one-time code of a manager's: typed, or brought by a QR code in the fragment."""

from __future__ import annotations

import logging
from typing import Any

import uuid_utils.compat as uuids
from flask import flash, redirect, render_template, request
from flask.typing import ResponseReturnValue

from inspect_app.journal.events import Refusal
from inspect_app.journal.journal import PLANT
from inspect_app.journal.queries import people
from inspect_app.rooms import tablet
from inspect_app.rooms.house import journal, reader
from inspect_app.rooms.people import tries
from inspect_app.rooms.people.codes import codes
from inspect_app.rooms.people.door import room
from inspect_app.words import N_
from inspect_app.words import gettext as _

log = logging.getLogger("lampwalk.doors")

FREE_TRIES = 5


@room.route("/admit", methods=["GET", "POST"])
def admit() -> ResponseReturnValue:
    """Take a code and make this browser a tablet of the plant; the page's script fills in one from the fragment."""
    here, wrong = tablet.known(), None
    if request.method == "POST" and here is None:
        try:
            return _admitted(request.form.get("code", ""))
        except Refusal as refusal:
            wrong = refusal.reason
    typed = request.form.get("code", "")[:20]  # one wrong letter is mended, not all eight typed again
    page = render_template("people/admit.html", here=here, wrong=wrong, typed=typed, needed=tablet.wants_code())
    return page, 200 if wrong is None else 403


def _admitted(typed: str) -> ResponseReturnValue:
    address = request.remote_addr or "nowhere"
    who = f"code:{address}"
    tries.not_locked(journal(), who, FREE_TRIES, N_("Too many wrong codes; wait %(left)s and try again."))
    code = codes().spend(typed, journal().clock())
    if code is None:
        tries.count(journal(), who)
        log.warning("a wrong code to admit a tablet from %s", address)
        raise Refusal("wrong_code", _("This code is not valid, or no longer; ask a manager for a new one."), 403)
    tries.forget(journal(), who)
    key = register(name=code.name, by=code.by, how="code")
    letters = people.tablet(reader(), key)["letters"]  # type: ignore[index]
    flash(
        _("This is tablet %(letters)s from now on, %(name)s. Sign in.", letters=letters, name=code.name)
        if code.name
        else _("This is tablet %(letters)s from now on. Sign in.", letters=letters),
        "good",
    )
    return tablet.remember(redirect("/sign-in"), key)  # type: ignore[no-any-return]


def register(*, name: str = "", by: str | None = None, how: str = "sign_in") -> str:
    """Register a new tablet, with the next free letters, and return its id."""
    key = str(uuids.uuid7())
    body: dict[str, Any] = {"tablet": key, "how": how}
    if by is not None:
        body["by"] = by
    if name and people.tablet_called(reader(), name) is None:
        body["name"] = name  # taken meanwhile: admitted without, since the code is spent
    journal().record_server(PLANT, "tablet_admitted", body)
    log.info("tablet %s was admitted by %s", key, how)
    return key
