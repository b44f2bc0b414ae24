"""Lines for the second look: how many rings and undone looks, which still cure, whether someone else has to look."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from inspect_app.rooms.floor.lines import Line, View
from inspect_app.rooms.units.words import moment_words
from inspect_app.words import gettext as _
from inspect_app.words import ngettext
from inspect_app.words.listed import all_of as listed


def look_again(view: View) -> Iterator[Line]:
    """Units with reworked rings or looks undone by work, but not those this person is walking already."""
    for unit in view.standing.units:
        waits = unit["reworked"] or (unit["voided"] and unit["stage"] == "to_look_again")
        mine = any(row["person"] == view.person.id for row in view.of("walks", unit))
        if waits and not mine:
            yield _line(view, unit)


def _line(view: View, unit: Any) -> Line:
    ring = next(iter(view.of("rings", unit)), {"rings": 0, "curing": 0, "own": 0, "cure_until": None})
    parts = [ngettext("%(n)s ring", "%(n)s rings", ring["rings"])] if ring["rings"] else []
    parts += [ngettext("%(n)s look", "%(n)s looks", unit["voided"])] if unit["voided"] else []
    why = ", ".join(_why(view, ring))
    held = ring["rings"] and ring["rings"] in (ring["curing"], ring["own"])
    return view.line(
        unit,
        href=f"/again/{unit['id']}",
        wants="" if held else _("Look again: %(what)s", what=listed(parts)),
        stage=f"{listed(parts)}, {why}" if held else why or view.stage(unit),
    )


def _why(view: View, ring: Any) -> Iterator[str]:
    rings, curing, own = ring["rings"], ring["curing"], ring["own"]
    if curing:
        until = moment_words(ring["cure_until"], view.now, view.zone)
        if curing == rings:
            yield _("still curing, until %(until)s", until=until)
        else:
            yield _("%(curing)s of %(rings)s still curing, until %(until)s", curing=curing, rings=rings, until=until)
    if own and own == rings:
        yield _("you worked on it, so someone else looks")
    elif own:
        yield _("you worked on %(own)s of %(rings)s", own=own, rings=rings)
