"""Readings taken at the van: what was read, held against its limits with the number, kept as it was judged."""

from __future__ import annotations

import re
from typing import Any

from inspect_app.journal.events import Incoming, Refusal, Resolved
from inspect_app.journal.queries import readings as query
from inspect_app.journal.resolve import resolves
from inspect_app.journal.store import one, value
from inspect_app.journal.writing import Writing
from inspect_app.trade import reading_taken as taken
from inspect_app.trade.catalogue import CatalogueError
from inspect_app.trade.outline import Outline
from inspect_app.words import gettext as _

TOLD = {
    "film": ("method", "where", "film"),
    "colour": ("colour",),
    "gap": ("gap", "flush"),
    "adhesion": ("scale", "grade", "film"),
    "dew": ("air", "surface", "humidity"),
}
NEEDED = {"film": ("method",), "colour": ("colour",), "gap": (), "adhesion": ("scale", "grade"), "dew": TOLD["dew"]}


@resolves("reading_taken")
def reading_taken(w: Writing, event: Incoming) -> Resolved:
    """Judge a reading by the catalogue in force and say where it was taken."""
    unit, body = w.in_time(event), event.body
    if one(w.db, "SELECT 1 FROM readings WHERE id = ?", (body.reading,)):
        raise Refusal("known_reading", _("This reading is kept already."), 409)
    if body.for_marker is not None:
        w.marker(event, body.for_marker)
    told = body.model_dump(include=set(TOLD[body.what]), exclude_none=True)
    missing = [name for name in NEEDED[body.what] if name not in told]
    if missing:
        raise Refusal("missing", _("'%(field)s' is missing; a reading of this sort needs it.", field=missing[0]))
    outline, catalogue = w.versions.outline(w.db, unit["outline"]), w.catalogue(None)
    place, ground = _ground(outline, body, effect=_metallic(w, event.unit))
    across = query.gaps_across(w.db, event.unit, opposite(outline, body.joint)) if body.joint else None
    try:
        judged = taken.judge(catalogue, body.what, told, ground, other_side=across)
    except (CatalogueError, ValueError) as fault:
        raise Refusal("reading", str(fault)) from None
    return Resolved(
        values={
            **place,
            "told": told,
            "catalogue": catalogue.hash,
            "outcome": taken.outcome(judged),
            "judged": [
                {"what": told_.what, "outcome": told_.outcome, "figure": _tenfold(told_.figure), "text": told_.text}
                for told_ in judged
            ],
            "text": "; ".join(told_.text for told_ in judged),
        }
    )


def _metallic(w: Writing, unit: str) -> bool:
    return bool(value(w.db, "SELECT finish FROM units WHERE id = ?", (unit,)) == "metallic")


def _tenfold(figure: float | None) -> int | None:
    """A figure in hundredths of its unit, for all numbers of the journal are whole."""
    return None if figure is None else round(figure * 100)


def _ground(outline: Outline, body: Any, *, effect: bool) -> tuple[dict[str, Any], taken.Ground]:
    """Where it was read, in words and in keys, and what the surface is there."""
    if body.joint is not None:
        joint = next((found for view in outline.views for found in view.joints if found.id == body.joint), None)
        if joint is None:
            raise Refusal("no_joint", _("The outline of this unit has no joint '%(key)s'.", key=body.joint))
        worst = min(_class(outline, part) for part in joint.parts)
        joined: dict[str, Any] = {"label": _(joint.label), "part": joint.parts[0], "joint": joint.id, "class": worst}
        return joined, taken.Ground(surface_class=worst, nominal=joint.nominal, tolerance=joint.tolerance)
    if body.what == "gap":
        raise Refusal("no_joint", _("A gap belongs to a joint; choose the joint that was read."))
    if body.part is None:
        if body.what != "dew":
            raise Refusal("no_part", _("Choose the part that was read."))
        nowhere: dict[str, Any] = {"label": "", "part": None, "joint": None, "class": None}
        return nowhere, taken.Ground()
    part, beside = _part(outline, body.part), body.beside
    if body.what == "colour" and beside is None:
        raise Refusal("beside", _("Choose what the part was compared with; colour is read as a pair."))
    if beside is not None and _part(outline, beside) == part:
        raise Refusal("beside", _("A part is compared with another one, not with itself."))
    label = _(part.label)
    if beside is not None:
        label = _("%(part)s beside %(other)s", part=label, other=_(_part(outline, beside).label))
    surface = _class(outline, part.id)
    material = outline.zone(part.zones[0]).material
    place: dict[str, Any] = {"label": label, "part": part.id, "joint": None, "class": surface}
    return place, taken.Ground(surface_class=surface, material=material, effect=effect)


def _part(outline: Outline, key: str) -> Any:
    part = next((found for found in outline.parts if found.id == key), None)
    if part is None:
        raise Refusal("no_part", _("The outline of this unit has no part '%(key)s'; reload the page.", key=key))
    return part


def _class(outline: Outline, part: str) -> str:
    """The most visible class of a part's zones."""
    return min(outline.zone(zone).surface_class for zone in outline.part(part).zones)


def opposite(outline: Outline, joint: str) -> str | None:
    """The same joint on the other side of the van, where the outline has one."""
    swapped = re.sub(r"left|right", lambda side: "right" if side[0] == "left" else "left", joint)
    known = {found.id for view in outline.views for found in view.joints}
    return swapped if swapped != joint and swapped in known else None


def hold_reading(w: Writing, event: Incoming) -> None:
    """Refuse an event that names a reading this unit does not have."""
    key = event.body.reading
    if key is None:
        return
    row = one(w.db, "SELECT unit FROM readings WHERE id = ?", (key,))
    if row is None or row["unit"] != event.unit:
        raise Refusal("no_reading", _("This server knows no such reading of this unit; open the reading again."), 404)
