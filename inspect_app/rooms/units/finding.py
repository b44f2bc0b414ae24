"""A unit found by its last six, or by any part of its chassis number."""

from __future__ import annotations

import re
from typing import Any

from flask import g

from inspect_app.journal.queries import units
from inspect_app.rooms.house import journal, reader
from inspect_app.rooms.shown import zone
from inspect_app.rooms.units.words import STAGES, due_words, next_step
from inspect_app.words import gettext as _

LONGEST = 17
LEAST = 2  # one character says nothing in a plant of any age


def cleaned(text: str) -> str:
    """Capitals and digits of what was typed; I, O and Q stay, so that they are seen to find nothing."""
    return re.sub(r"[^0-9A-Z]", "", text.upper())[:LONGEST]


def found(text: str) -> dict[str, Any]:
    """Answer the keypad: the units that fit, those that share their last six, and where to add one when none fits."""
    typed = cleaned(text)
    hits = units.find(reader(), typed) if len(typed) >= LEAST else units.Found(rows=(), more=False)
    sixes = [row["last_six"] for row in hits.rows]
    shared = sorted({six for six in sixes if sixes.count(six) > 1})
    return {
        "typed": typed,
        "units": [_shaped(row) for row in hits.rows],
        "shared": shared,
        "more": hits.more,
        "advice": _("Compare it with the plate, or type fewer of its characters.")
        if len(typed) >= LEAST
        else _("Type at least two characters."),
        "add": _add(typed) if len(typed) >= LEAST and not hits.rows else None,
    }


def _add(typed: str) -> str | None:
    """Where this person may add a van that is not known yet; a whole number need not be typed again."""
    if not {"inspector", "manager"} & set(g.ticket.roles):
        return None
    return f"/units/new?chassis={typed}" if len(typed) == LONGEST else "/units/new"


def _shaped(row: Any) -> dict[str, Any]:
    step = next_step(row, g.ticket.roles)
    shown = (
        "id",
        "last_six",
        "chassis",
        "build_number",
        "make",
        "model",
        "colour",
        "colour_hex",
        "stage",
        "place",
        "keys",
    )
    told = {name: row[name] for name in shown}
    due = due_words(row["due"], journal().clock(), zone()) if row["state"] == "open" else ""
    return {**told, "stage_words": _(STAGES[row["stage"]]), "due_words": due, "href": step.href, "next": step.words}
