"""A reading in words, what it may be judged on, and what it may lead to."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

import uuid_utils.compat as uuids

from inspect_app.journal.bodies import is_id
from inspect_app.journal.events import Refusal
from inspect_app.journal.queries import people, versions
from inspect_app.journal.queries import readings as query
from inspect_app.rooms.house import journal, reader, ticket
from inspect_app.rooms.shown import opening, when
from inspect_app.trade import outline_spot, part_stages
from inspect_app.trade import reading_taken as taken
from inspect_app.trade.catalogue_rows import Caution
from inspect_app.trade.outline import Outline
from inspect_app.trade.readings import Judged
from inspect_app.words import N_
from inspect_app.words import gettext as _

PASSED = ("within", "look_again")
OUTCOMES = {
    "within": N_("passes"),
    "look_again": N_("passes, look again"),
    "over": N_("does not pass"),
    "unmeasured": N_("not judged"),
}
LED_TO = {
    "opened": N_("%(tag)s was opened after this reading."),
    "cleared": N_("%(tag)s was cleared after this reading."),
    "withdrawn": N_("%(tag)s was withdrawn after this reading."),
}
CAUTIONS = {"dew": ("isocyanate", "solvent")}  # of the coat that follows it


def line(row: Any) -> dict[str, Any]:
    """One reading as a line of the list."""
    return {
        "id": row["id"],
        "what": _(taken.WHATS[row["what"]]),
        "label": row["label"],
        "text": row["text"],
        "outcome": row["outcome"],
        "says": _(OUTCOMES[row["outcome"]]),
        "person": row["person"],
        "at": row["at"],
    }


def whole(row: Any, unit: Any) -> dict[str, Any]:
    """All that the page of a reading shows."""
    told, judged = json.loads(row["told"]), json.loads(row["judged"])
    open_unit = unit["state"] == "open"
    did, failed = row["led_to"], row["outcome"] not in ("within", "unmeasured")
    return {
        "reading": line(row),
        "told": taken.told_words(row["what"], told),
        "judged": [{**one, "says": _(OUTCOMES[one["outcome"]])} for one in judged],
        "catalogue": _version(row["catalogue"]),
        "did": _(LED_TO[did], tag=_tag(row["marker"])) if did else "",
        "kinds": _kinds(row, told, judged, unit) if open_unit and not did and failed else [],
        "zones": _zones(row, unit),
        "closes": _closes(row) if open_unit and not did and row["outcome"] in PASSED else [],
        "failed": row["outcome"] == "over",
        "again": {name: row[name] or "" for name in ("what", "part", "joint", "beside")},
        "cautions": cautions(row["what"]),
        "clause": _(journal().catalogue().clause),
    }  # fmt: skip


def _tag(marker: str) -> str:
    row = query.marker(reader(), marker)
    return _("a mark") if row is None else str(row["tag"])


def _flaws(row: Any, told: Mapping[str, Any], judged: list[dict[str, Any]], unit: Any) -> list[taken.Flaw]:
    outline = journal().outline(unit["outline"])
    nominal = outline.joint(row["joint"]).nominal if row["joint"] else None
    figures = [
        Judged(
            what=one["what"],
            outcome=one["outcome"],
            figure=None if one["figure"] is None else one["figure"] / 100,
            text=one["text"],
        )
        for one in judged
    ]
    return taken.flaws(row["what"], told, figures, nominal=nominal)


def _kinds(row: Any, told: Mapping[str, Any], judged: list[dict[str, Any]], unit: Any) -> list[tuple[str, str]]:
    known = journal().catalogue().kinds
    found = dict.fromkeys(flaw.kind for flaw in _flaws(row, told, judged, unit))
    return [(key, opening(_(known[key].label))) for key in found if key in known and not known[key].retired]


def _zones(row: Any, unit: Any) -> list[tuple[str, str]]:
    """The zones a marker may lie on: those of the part; none to choose from where a joint says it."""
    if row["joint"] or not row["part"]:
        return []
    outline = journal().outline(unit["outline"])
    views = {view.id: _(view.label) for view in outline.views}
    zones = [outline.zone(key) for key in outline.part(row["part"]).zones]
    return [(zone.id, _("%(zone)s, %(view)s", zone=_(zone.label), view=views[zone.view])) for zone in zones]


def _closes(row: Any) -> list[dict[str, Any]]:
    """Markers that a reading which passed may close: the one it was taken for, else those of its kinds there."""
    named = marker_of(row, row["for_marker"])
    if named is not None:
        rows = [named]
    elif row["part"] and taken.KINDS[row["what"]]:
        rows = list(query.markers_spoken_of(reader(), row["unit"], row["part"], row["joint"], taken.KINDS[row["what"]]))
    else:
        rows = []
    kinds = journal().catalogue().kinds
    return [
        {
            "id": one["id"],
            "tag": one["tag"],
            "state": one["state"],
            "words": one["words"],
            "kind": _(kinds[one["kind"]].label) if one["kind"] in kinds else one["kind"],
        }
        for one in rows
        if one["state"] in ("open", "in_rework", "reworked")
    ]


def marker_of(row: Any, key: Any) -> Any:
    """A marker of a unit (or of a reading's unit) by its id, None for anything else."""
    if not is_id(key):
        return None
    found = query.marker(reader(), key)
    unit = row["unit"] if "unit" in row.keys() else row["id"]  # noqa: SIM118 - a row of sqlite looks in its values
    return found if found is not None and found["unit"] == unit else None


def marker_body(row: Any, unit: Any, kind: str, zone: str) -> dict[str, Any]:
    """The body of a marker that a reading is the reason for. Raises Refusal for what is not offered."""
    told, judged = json.loads(row["told"]), json.loads(row["judged"])
    flaw = next((one for one in _flaws(row, told, judged, unit) if one.kind == kind), None)
    if flaw is None or row["outcome"] in ("within", "unmeasured"):
        raise Refusal("kind", _("Choose the kind of flaw that this reading speaks of."))
    outline = journal().outline(unit["outline"])
    if row["joint"]:
        spot = outline_spot.of_joint(outline, row["joint"])
    else:
        zones = [key for key, _label in _zones(row, unit)]
        if zone not in zones:
            raise Refusal("zone", _("Choose the zone where the marker lies."))
        spot = outline_spot.of_zone(outline, zone)
    letters = next((one["letters"] for one in people.tablets(reader()) if one["id"] == ticket().tablet), "R")
    measured = {name: held for name, held in (("size", flaw.size), ("gap", flaw.gap)) if held is not None}
    return {"marker": str(uuids.uuid7()), "tag": f"{letters}1", "kind": kind, "reading": row["id"], **spot, **measured}


def parts(outline: Outline) -> dict[str, list[tuple[str, str]]]:
    """The parts of a van to choose from, by side; first of all nothing."""
    heads = {"left": _("Left side"), "right": _("Right side"), "": _("Front, rear and roof")}
    shown = sorted((opening(_(one.label)), one) for one in outline.parts)
    found = {
        head: [(one.id, label) for label, one in shown if part_stages.side(one.id) == side]
        for side, head in heads.items()
    }
    return {"": [("", _("not chosen"))], **{head: some for head, some in found.items() if some}}


def joints(outline: Outline) -> dict[str, list[tuple[str, str]]]:
    """The joints of a van to choose from, by view, each with its nominal gap; first of all nothing."""
    found: dict[str, list[tuple[str, str]]] = {"": [("", _("not chosen"))]}
    for view in outline.views:
        if view.joints:
            found[_(view.label)] = [(one.id, opening(_(one.label))) for one in view.joints]
    return found


def _version(catalogue: str) -> str:
    """A catalogue by its number in the list of versions, for its hash tells a person nothing."""
    found = next((one for one in versions.published(reader()) if one.hash == catalogue), None)
    if found is None:
        return catalogue[:12]
    return _("version %(number)s of %(when)s", number=found.number, when=when(found.at))


def cautions(what: str) -> list[Caution]:
    """The cautions of what follows a reading, as far as the plant's catalogue has them."""
    book = journal().catalogue()
    return [book.cautions[key] for key in CAUTIONS.get(what, ()) if key in book.cautions]
