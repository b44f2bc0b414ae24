"""What every page shows: who is here, which rooms are theirs, the theme; and words for times and numbers."""

from __future__ import annotations

import json
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from flask import Flask, g, request
from flask_wtf.csrf import generate_csrf

from inspect_app.journal.queries import setup
from inspect_app.rooms.house import reader

NAVIGATION = (
    ("/", "Floor", "floor", ()),
    ("/rework", "Rework", "rework", ("technician", "manager")),
    ("/again", "Look again", "again", ("inspector", "manager")),
    ("/sign-off", "Sign-off", "signoff", ("inspector", "manager")),
    ("/rates", "Rates", "rates", ("manager",)),
    ("/setup", "Setup", "setup", ("manager",)),
)


def attach(app: Flask) -> None:
    """Give templates their context and filters."""
    app.context_processor(_context)
    app.template_filter("when")(when)
    app.template_filter("day")(day)
    app.template_filter("fromjson")(json.loads)


def _context() -> dict[str, Any]:
    person = g.get("person")
    return {
        "theme": request.cookies.get("theme", "lamp"),
        "type": request.cookies.get("type", ""),
        "me": person,
        "rooms": _rooms(person.roles) if person else [],
        "csrf_token": generate_csrf,
    }


def _rooms(roles: tuple[str, ...]) -> list[dict[str, Any]]:
    here = request.blueprint
    return [
        {"href": href, "label": label, "here": room == here}
        for href, label, room, wanted in NAVIGATION
        if not wanted or set(wanted) & set(roles)
    ]


def zone() -> ZoneInfo:
    """The plant's time zone."""
    return ZoneInfo(setup.timezone(reader()))


def when(ms: int | None) -> str:
    """Date and time in the plant's zone: 2026-11-25 14:05."""
    return "" if ms is None else datetime.fromtimestamp(ms / 1000, zone()).strftime("%Y-%m-%d %H:%M")


def day(ms: int | None) -> str:
    """Weekday and date in the plant's zone: Wed 25 Nov."""
    return "" if ms is None else datetime.fromtimestamp(ms / 1000, zone()).strftime("%a %d %b")
