"""What every page shows: who is here, which rooms are theirs, the theme; and filters for words, times and numbers."""

from __future__ import annotations

import json
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from flask import Flask, g, request
from flask_wtf.csrf import generate_csrf

from inspect_app.journal.queries import setup
from inspect_app.rooms.house import journal, reader
from inspect_app.rooms.units.words import moment_words
from inspect_app.words import N_, gettext, midway, written
from inspect_app.words.listed import all_of

NAVIGATION = (
    ("/", N_("Floor"), "floor", ()),
    ("/rework", N_("Rework"), "rework", ("technician", "manager")),
    ("/parts", N_("Parts"), "parts", ()),
    ("/again", N_("Look again"), "again", ("inspector", "manager")),
    ("/sign-off", N_("Sign-off"), "signoff", ()),
    ("/rates", N_("Rates"), "rates", ("manager",)),
    ("/setup", N_("Setup"), "setup", ("manager",)),
)
# Keys that are shown as they are, in English; said as words in another language.
KEYS = (
    N_("inspector"), N_("technician"), N_("manager"),
    N_("body"), N_("paint"), N_("prep"), N_("strip"), N_("trim"), N_("glass"), N_("fit"), N_("polish"),
    N_("inspection"), N_("handling"),
    N_("within"), N_("over"), N_("unmeasured"), N_("no limit"), N_("assumed"), N_("judged"),
    N_("solid"), N_("metallic"), N_("incoming"), N_("first"), N_("again"), N_("second"), N_("wipe"), N_("hand_polish"),
    N_("mm"), N_("steps"), N_("min"), N_("L/min"), N_("kPa"), N_("km"), N_("kg"),
)  # fmt: skip


def attach(app: Flask) -> None:
    """Give templates their context and filters."""
    app.context_processor(_context)
    app.template_filter("when")(when)
    app.template_filter("day")(day)
    app.template_filter("near")(near)
    app.template_filter("said")(gettext)
    app.template_filter("midway")(midway)
    app.template_filter("all_of")(all_of)
    app.template_filter("opening")(opening)
    app.template_filter("booth")(booth_words)
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
        {"href": href, "label": gettext(label), "here": room == here}
        for href, label, room, wanted in NAVIGATION
        if not wanted or set(wanted) & set(roles)
    ]


def zone() -> ZoneInfo:
    """The plant's time zone."""
    return ZoneInfo(setup.timezone(reader()))


def when(ms: int | None) -> str:
    """Date and time in the plant's zone: 2026-11-25 14:05, or as the person wants them written."""
    return "" if ms is None else written.moment(datetime.fromtimestamp(ms / 1000, zone()))


def near(ms: int | None) -> str:
    """A time as near as one says it, in the plant's zone: "14:05" today, "Wed 14:05" within a week, else "5 Nov"."""
    return "" if ms is None else moment_words(ms, journal().clock(), zone())


def day(ms: int | None) -> str:
    """Weekday and date in the plant's zone: Wed 5 Nov, or as the person wants them written."""
    return "" if ms is None else written.weekday_and_day(datetime.fromtimestamp(ms / 1000, zone()))


def opening(text: str) -> str:
    """A text as it opens a line: with a capital."""
    return f"{text[:1].upper()}{text[1:]}"


def booth_words(name: str) -> str:
    """A booth in a sentence: its name as the plant writes it, or "booth 2" where that is only a number."""
    return name if any(sign.isalpha() for sign in name) else gettext("booth %(booth)s", booth=name)
