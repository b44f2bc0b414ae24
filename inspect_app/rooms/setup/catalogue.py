"""The catalogue, to read: every value with where it comes from. And the departments."""

from __future__ import annotations

from typing import Any

from flask import render_template
from flask.typing import ResponseReturnValue

from inspect_app.journal.events import Refusal
from inspect_app.journal.queries import people, setup, versions
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import journal, reader
from inspect_app.rooms.setup.door import room
from inspect_app.trade.build_options import option_named
from inspect_app.trade.catalogue import Catalogue, Kind
from inspect_app.trade.catalogue_words import PAINTS, value_words
from inspect_app.trade.catalogue_words import PARTS as CALLED
from inspect_app.trade.limits import size_words
from inspect_app.words import N_
from inspect_app.words import gettext as _
from inspect_app.words.figures import figure
from inspect_app.words.spans import minutes_words

SHOWN = ("kinds", "limits", "methods", "departments", "gates", "options", "cautions", "stations")
PARTS = {part: CALLED[part] for part in SHOWN} | {"classes": N_("Classes and severities")}
ADDABLE = {
    "kinds": N_("A new kind"),
    "methods": N_("A new method"),
    "departments": N_("A new department"),
    "gates": N_("A new gate"),
    "options": N_("A new build option"),
    "stations": N_("A new station"),
    "cautions": N_("A new caution"),
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
    found = journal().catalogue()
    return render_template(
        "setup/catalogue.html",
        part=part,
        parts=PARTS,
        addable=ADDABLE,
        catalogue=found,
        version=versions.published(reader())[0],
        tenths=tenths,
        most=most_words,
        minutes_words=minutes_words,
        paints=PAINTS,
        value_words=value_words,
        **MORE.get(part, lambda _found: {})(found),
    )


def tenths(value: int | None, unit: str = "mm") -> str:
    """A size kept in tenths, as people read it; 0 allows none at all."""
    if value is None:
        return ""
    return _("none") if value == 0 else f"{figure(f'{value / 10:g}')} {_(unit) if unit else ''}".strip()


def most_words(kind: Kind, value: int | None) -> str:
    """The most a limit allows of a kind, as people read it: "0.5 mm", "1 step", "none"."""
    return size_words(kind, value) if value and kind.unit else tenths(value)


def _limits(found: Catalogue) -> dict[str, Any]:
    limited = {key for limit in found.limits for key in limit.kinds}
    return {"unlimited": [kind for kind in found.kinds.values() if kind.key not in limited and not kind.retired]}


def _options(found: Catalogue) -> dict[str, Any]:
    outline = journal().outline(setup.current_outline(reader()))
    labels = {zone.id: _(zone.label) for zone in outline.zones}
    seen = setup.options_seen(reader())
    return {
        "zone_words": lambda zones: ", ".join(labels.get(zone, zone) for zone in zones),
        "unknown_options": {name: units for name, units in seen.items() if option_named(found, name) is None},
    }


def _departments(found: Catalogue) -> dict[str, Any]:
    everyone = people.everyone(reader())
    rows = [
        {
            "department": one,
            "makes": [
                _(kind.label) for kind in found.kinds.values() if kind.origin_department == one.key and not kind.retired
            ],
            "steps": [
                _(method.label)
                for method in found.methods.values()
                if not method.retired and any(step.department == one.key for step in method.chain)
            ],
            "people": [person.name for person in everyone if one.key in person.departments],
        }
        for one in sorted(found.departments.values(), key=lambda one: one.retired)
    ]
    return {"departments": rows}


MORE = {"limits": _limits, "options": _options, "departments": _departments}


@room.get("/setup/departments")
@needs("manager")
def departments() -> ResponseReturnValue:
    """Show the departments: what each makes, what it puts right, who works there."""
    return render_template("setup/departments.html", **_departments(journal().catalogue()))
