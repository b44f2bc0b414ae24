"""Lines for the second look: how many rings and undone looks, which still cure, whether someone else has to look."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from inspect_app.rooms.floor.lines import Line, View
from inspect_app.rooms.units.words import counted, listed, moment_words


def look_again(view: View) -> Iterator[Line]:
    """Units with reworked rings or looks undone by work, but not those this person is walking already."""
    for unit in view.standing.units:
        waits = unit["reworked"] or (unit["voided"] and unit["stage"] == "to_look_again")
        mine = any(row["person"] == view.person.id for row in view.of("walks", unit))
        if waits and not mine:
            yield _line(view, unit)


def _line(view: View, unit: Any) -> Line:
    ring = next(iter(view.of("rings", unit)), {"rings": 0, "curing": 0, "own": 0, "cure_until": None})
    parts = [counted(ring["rings"], "ring")] if ring["rings"] else []
    parts += [counted(unit["voided"], "undone look")] if unit["voided"] else []
    why = ", ".join(_why(view, ring))
    held = ring["rings"] and ring["rings"] in (ring["curing"], ring["own"])
    return view.line(
        unit,
        href=f"/again/{unit['id']}",
        wants="" if held else f"Look again: {listed(parts)}",
        stage=f"{listed(parts)}, {why}" if held else why or view.stage(unit),
    )


def _why(view: View, ring: Any) -> Iterator[str]:
    rings, curing, own = ring["rings"], ring["curing"], ring["own"]
    if curing:
        until = moment_words(ring["cure_until"], view.now, view.zone)
        yield f"still curing, until {until}" if curing == rings else f"{curing} of {rings} still curing, until {until}"
    if own:
        yield "you worked on it, so someone else looks" if own == rings else f"you worked on {own} of {rings}"
