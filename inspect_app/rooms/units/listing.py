"""The list of units: by stage, narrowed by make, plant and due date, searched by any part of what a unit is called."""

from __future__ import annotations

from datetime import datetime, time, timedelta
from typing import Any
from urllib.parse import urlencode

from flask import render_template, request
from flask.typing import ResponseReturnValue

from inspect_app.journal.events import Refusal, printable
from inspect_app.journal.queries import units_list as query
from inspect_app.rooms.house import journal, reader, ticket
from inspect_app.rooms.shown import zone
from inspect_app.rooms.units.door import room
from inspect_app.rooms.units.words import STAGES, due_words, moment_words, next_step
from inspect_app.words import N_
from inspect_app.words import gettext as _

PAGE = 50
MOST_NOTES = 20
MOST_WORDS = 8
LISTS = {
    "open": N_("All open"),
    "late": N_("Late"),
    "to_walk": N_("To walk"),
    "walking": N_("Being walked"),
    "in_rework": N_("In rework"),
    "to_look_again": N_("To look again"),
    "to_sign": N_("To sign"),
    "signed": N_("Signed"),
    "all": N_("All"),
}
DUE = {
    "": N_("whenever"),
    "today": N_("today or before"),
    "week": N_("within seven days"),
    "none": N_("no due date"),
}


@room.get("/units")
def listed() -> ResponseReturnValue:
    """List units page by page: the open ones by due date, those of one stage or signed, or what a search finds."""
    asked = {name: printable(request.args.get(name, "")).strip()[:120] for name in ("q", "make", "plant", "due")}
    words = tuple(asked["q"].split()[:MOST_WORDS])
    show = request.args.get("show") or ("all" if words else "open")
    if show not in LISTS or asked["due"] not in DUE:
        unknown = show if show not in LISTS else asked["due"]
        raise Refusal(
            "no_list", _("There is no list '%(show)s' of units; choose one above the list.", show=unknown[:20]), 404
        )
    number, now = max(1, min(request.args.get("page", 1, type=int), 10_000)), journal().clock()
    wanted = _wanted(show, words, asked, now)
    rows, total = query.page(reader(), wanted, now=now, limit=PAGE, offset=(number - 1) * PAGE)
    if not rows and total:  # a page that has been: units were signed meanwhile
        number = -(-total // PAGE)
        rows, total = query.page(reader(), wanted, now=now, limit=PAGE, offset=(number - 1) * PAGE)
    narrowed = any(asked.values())
    return render_template(
        "units/list.html",
        lines=[_line(row, now) for row in rows],
        notes=query.noted(reader(), words, ticket().person, MOST_NOTES) if words and number == 1 else (),
        show=show,
        lists=LISTS,
        asked=asked,
        narrowed=narrowed,
        choices={"make": query.makes(reader()), "plant": query.plants(reader()), "due": DUE},
        pages={"number": number, "last": max(1, -(-total // PAGE)), "total": total},
        counts={} if narrowed else query.counts(reader(), now),
        catalogue=journal().catalogue(),
        address=lambda **changed: _address({"show": show, **asked, **changed}),
    )


def _wanted(show: str, words: tuple[str, ...], asked: dict[str, str], now: int) -> query.Wanted:
    days = {"today": 1, "week": 8}.get(asked["due"])
    midnight = datetime.combine(datetime.fromtimestamp(now / 1000, zone()).date(), time(), zone())
    return query.Wanted(
        show=show,
        words=words,
        make=asked["make"],
        plant=asked["plant"],
        due_before=None if days is None else round((midnight + timedelta(days=days)).timestamp() * 1000),
        undated=asked["due"] == "none",
    )


def _address(asked: dict[str, Any]) -> str:
    return "/units?" + urlencode({name: value for name, value in asked.items() if value})


def _line(row: Any, now: int) -> dict[str, Any]:
    gone = row["state"] != "open"
    due = moment_words(row["signed_at"], now, zone()) if gone else due_words(row["due"], now, zone())
    return {"unit": row, "stage": _(STAGES[row["stage"]]), "due": due, "next": next_step(row, ticket().roles).words}
