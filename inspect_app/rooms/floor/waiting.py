"""Lines for what waits for a word: questions, concessions, late units, sheets not made."""

from __future__ import annotations

import json
from typing import Any

from inspect_app.rooms.floor.lines import Line, View, by_unit
from inspect_app.words import gettext as _
from inspect_app.words import ngettext
from inspect_app.words.listed import all_of as listed


def questions(view: View) -> list[Line]:
    """Units with open questions, or with a mark proposed as no flaw, which an inspector decides."""
    units = view.units
    asked = {row["unit"]: row for row in view.standing.questions if row["unit"] in units}
    proposed = {row["unit"]: row for row in view.standing.no_flaws if row["unit"] in units}
    if "inspector" not in view.person.roles:
        proposed = {}
    found = []
    for key in dict.fromkeys((*asked, *proposed)):
        parts = [ngettext("%(n)s question", "%(n)s questions", asked[key]["questions"])] if key in asked else []
        parts += [_("%(tags)s may be no flaw", tags=proposed[key]["tags"])] if key in proposed else []
        told = asked[key]["text"] if key in asked else _proposed(proposed[key]["markers"])
        wants = _("Answer %(what)s", what=listed(parts)) if key in asked else _("Decide: %(what)s", what=parts[0])
        found.append(view.line(units[key], href=f"/units/{key}#questions", wants=wants, stage=told))
    return found


def _proposed(marks: int) -> str:
    return ngettext("proposed for %(n)s mark", "proposed for %(n)s marks", marks)


def concessions(view: View) -> list[Line]:
    """Units with concessions this person may answer: not their own, not agreed to by them; a manager goes first."""
    rows = [row for row in view.standing.concessions if _may_answer(view, row)]
    return [
        view.line(
            unit, href="/concessions", wants=_("Agree or refuse: %(tags)s", tags=listed([row["tag"] for row in asked]))
        )
        for unit, asked in by_unit(rows, view.units)
    ]


def _may_answer(view: View, row: Any) -> bool:
    names = json.loads(row["approvers"])
    if row["asked_by"] == view.person.id or any(one["person"] == view.person.id for one in names):
        return False
    return "manager" in view.person.roles or any(one["as"] == "manager" for one in names)


def late(view: View) -> list[Line]:
    """Open units whose due date has passed."""
    units = view.standing.units
    return [view.line(unit) for unit in units if unit["due"] is not None and unit["due"] < view.now]


def sheets(view: View) -> list[Line]:
    """Signed units whose sheet has not been stored yet."""
    return [
        view.line(
            unit,
            href=f"/sign-off/{unit['id']}",
            stage=_("signed %(when)s, sheet not made yet", when=view.when(rows[0]["signed_at"])),
        )
        for unit, rows in by_unit(view.standing.sheets, view.units)
    ]
