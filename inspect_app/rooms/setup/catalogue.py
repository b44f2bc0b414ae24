"""The catalogue, to read: every value with where it comes from. And the departments."""

from __future__ import annotations

from flask import render_template
from flask.typing import ResponseReturnValue

from inspect_app.journal.events import Refusal
from inspect_app.journal.queries import people
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import journal, reader
from inspect_app.rooms.setup.door import room
from inspect_app.words import N_
from inspect_app.words import gettext as _
from inspect_app.words.figures import figure

PARTS = {
    "kinds": N_("Kinds"),
    "methods": N_("Methods"),
    "limits": N_("Limits"),
    "cautions": N_("Cautions"),
    "gates": N_("Gates"),
}


@room.get("/setup/catalogue")
@room.get("/setup/catalogue/<part>")
@needs("manager")
def catalogue(part: str = "kinds") -> ResponseReturnValue:
    """Show one part of the catalogue in force."""
    if part not in PARTS:
        raise Refusal(
            "no_part", _("The catalogue has no part '%(part)s'; choose one above the table.", part=part[:20]), 404
        )
    return render_template(
        "setup/catalogue.html", part=part, parts=PARTS, catalogue=journal().catalogue(), tenths=tenths
    )


def tenths(value: int | None, unit: str = "mm") -> str:
    """A size kept in tenths, as people read it; 0 allows none at all."""
    if value is None:
        return ""
    return _("none") if value == 0 else f"{figure(f'{value / 10:g}')} {_(unit) if unit else ''}".strip()


@room.get("/setup/departments")
@needs("manager")
def departments() -> ResponseReturnValue:
    """Show the departments: what each makes, what it puts right, who works there."""
    found = journal().catalogue()
    rows = [
        {
            "department": one,
            "makes": [_(kind.label) for kind in found.kinds.values() if kind.origin_department == one.key],
            "steps": [
                _(method.label)
                for method in found.methods.values()
                if any(step.department == one.key for step in method.chain)
            ],
            "people": [person.name for person in people.everyone(reader()) if one.key in person.departments],
        }
        for one in found.departments.values()
    ]
    return render_template("setup/departments.html", rows=rows)
