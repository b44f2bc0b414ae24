"""The tablet in hand: known by a sealed cookie; what is said to one that is not admitted, or shut out."""

from __future__ import annotations

import sqlite3
from typing import Any

from flask import current_app, request
from itsdangerous import BadSignature, URLSafeSerializer

from inspect_app.journal.queries import people, setup
from inspect_app.rooms.cookies import cookie_name
from inspect_app.rooms.house import reader
from inspect_app.words import N_

COOKIE = "lampwalk_tablet"
TEN_YEARS = 10 * 365 * 24 * 3600
SHUT_OUT = N_(
    "This tablet was shut out, so nothing it sends is taken; what it keeps stays on it. "
    "Ask a manager to let it in again."
)
NOT_ADMITTED = N_("This tablet is not admitted here yet; ask a manager for a code and enter it.")


def known() -> sqlite3.Row | None:
    """The row of the tablet in hand, or None for one that this server has not met."""
    sealed = request.cookies.get(cookie_name(COOKIE), "")
    if not sealed:
        return None
    try:
        return people.tablet(reader(), str(_sealer().loads(sealed)))
    except BadSignature:
        return None


def is_shut_out(tablet: sqlite3.Row | None) -> bool:
    """Whether a manager has shut this tablet out."""
    return tablet is not None and tablet["state"] == "shut_out"


def wants_code() -> bool:
    """Whether the tablet in hand has to be admitted by a code before anyone signs in on it."""
    return setup.admitting(reader()) == "code" and known() is None


def remember(response: Any, tablet: str) -> Any:
    """Let the browser keep which tablet it is."""
    response.set_cookie(
        cookie_name(COOKIE), _sealer().dumps(tablet), max_age=TEN_YEARS, httponly=True, samesite="Lax",
        secure=request.is_secure,
    )  # fmt: skip
    return response


def _sealer() -> URLSafeSerializer:
    return URLSafeSerializer(current_app.config["SECRET_KEY"], salt="lampwalk-tablet")
