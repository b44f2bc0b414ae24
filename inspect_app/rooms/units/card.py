"""What the card of a unit shows."""

from __future__ import annotations

import json
from collections import Counter
from datetime import datetime
from typing import Any

from flask import render_template
from flask.typing import ResponseReturnValue

from inspect_app.journal.queries import people, units
from inspect_app.rooms.house import journal, reader, ticket, unit_or_404
from inspect_app.rooms.shown import zone
from inspect_app.rooms.units import line
from inspect_app.rooms.units.forms import AnswerForm, PlaceForm
from inspect_app.rooms.units.words import STAGES, STATES, due_words, next_step
from inspect_app.trade import vin
from inspect_app.words import N_, ngettext
from inspect_app.words import gettext as _

OVER = ("cleared", "accepted", "conceded", "no_flaw", "withdrawn")


def show(key: str, status: int = 200, **forms: Any) -> ResponseReturnValue:
    """Answer with the card of a unit; `forms` are those that came back with faults, by name."""
    unit = unit_or_404(key)
    forms = {"place": PlaceForm(data={"place": unit["place"], "keys": unit["keys"]}, formdata=None), **forms}
    return render_template("units/card.html", **context(unit), line=line.context(unit, **forms), forms=forms), status


def context(unit: Any) -> dict[str, Any]:
    """Everything the template needs for one unit (a row of units)."""
    held = units.card(reader(), unit["id"])
    return {
        "unit": unit,
        "options": json.loads(unit["options"]),
        "absent": _absent(unit),
        "card": held,
        "names": people.names(reader()),
        "catalogue": journal().catalogue(),
        "stage": _(STAGES[unit["stage"]]),
        "due": due_words(unit["due"], journal().clock(), zone()),
        "step": next_step(unit, ticket().roles),
        "states": STATES,
        "counts": _counts(held.markers),
        "check_digit": vin.check_digit_holds(unit["chassis"]),
        "proposed": [row for row in held.markers if row["no_flaw"] and row["state"] in ("open", "in_rework")],
        "answer_form": lambda question: AnswerForm(prefix=question, formdata=None),
    }


def _absent(unit: Any) -> list[tuple[str, list[str]]]:
    """What is not on the van, under the word for why."""
    outline, absent = journal().outline(unit["outline"]), json.loads(unit["absent"])
    words = {"not_fitted": _("not fitted"), "off": _("off the van")}
    found = {
        word: [_(outline.zone(zone).label) for zone in absent if absent[zone] == why] for why, word in words.items()
    }
    return [(word, zones) for word, zones in found.items() if zones]


def _counts(markers: Any) -> str:
    """The markers in one line: "5 markers: 2 open, 1 in rework, 2 decided"."""
    if not markers:
        return _("no markers")
    decided = N_("decided")
    states = Counter(decided if row["state"] in OVER else STATES[row["state"]] for row in markers)
    told = ", ".join(f"{number} {_(state)}" for state, number in states.items())
    return ngettext("%(n)s marker: %(states)s", "%(n)s markers: %(states)s", len(markers), states=told)


def due_text(due: int | None) -> str:
    """A due date as its form field reads it again, without the time when it is the end of a day."""
    if due is None:
        return ""
    then = datetime.fromtimestamp(due / 1000, zone())
    return f"{then:%Y-%m-%d}" if (then.hour, then.minute) == (23, 59) else f"{then:%Y-%m-%d %H:%M}"
