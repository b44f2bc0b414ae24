"""The table of the gates in docs/readings.md: each example is done on a van, and the gate says what stands there."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from inspect_app.journal import gates
from inspect_app.trade import catalogue
from sample_units.hands import new_id
from tests.rooms import signed_units as done

TEXT = (Path(__file__).parents[2] / "docs" / "readings.md").read_text("utf-8")
BOOK = catalogue.builtin()
LABELS = {gate.label: key for key, gate in BOOK.gates.items()}
ROWS = {
    LABELS[cells[0]]: cells[1:]
    for line in TEXT.splitlines()
    if line.startswith("| ") and (cells := [cell.strip() for cell in line.strip("| ").split(" | ")])[0] in LABELS
}
DOOR = "cab_door_left"


def blocks(plant, unit: str, key: str) -> list[str]:
    """What a gate says, of a van on which all gates are in force."""
    db, journal = plant.journal.read(), plant.journal
    row = db.execute("SELECT * FROM units WHERE id = ?", (unit,)).fetchone()
    states = gates.states(db, journal.versions, row, now=journal.clock())
    return [block.text for block in next(one for one in states if one.key == key).blocks]


def marked(plant, unit: str) -> None:
    done.walked(plant, unit, ("nib", "left.cab_door_lower", {"size": 8}))


def polished(plant, unit: str) -> None:
    done.walked(plant, unit, ("swirl", "left.sliding_door_lower", {"size": 300}))
    done.put_right(plant, unit)


def off(plant, unit: str) -> None:
    plant.dmytro.online(unit, "part_off", {"part": new_id(), "of": "moulding_cab_door_left"})


def read(what: str, **told: object) -> Callable[..., None]:
    def take(plant, unit: str) -> None:
        plant.per.online(unit, "reading_taken", {"reading": new_id(), "what": what, **told})

    return take


def confirmed(gate: str, **values: object) -> Callable[..., None]:
    def confirm(plant, unit: str) -> None:
        plant.ines.online(unit, "gate_confirmed", {"gate": gate, "values": values})

    return confirm


def resealed(plant, unit: str) -> None:
    done.walked(plant, unit, ("seal_void", "left.sliding_door_window", {}))
    done.put_right(plant, unit)


PAIR = {"angle": 45, "part": [5000, 268, -7978], "beside": [5000, 0, -8275]}
DOES: dict[str, Callable[..., None]] = {
    "marks": marked,
    "coverage": polished,
    "parts": off,
    "film": read("film", part=DOOR, method="magnetic", film=3050),
    "colour": read("colour", part=DOOR, beside="wing_left", colour=[PAIR]),
    "gaps": read("gap", joint="left.joint.cab_door_to_b_pillar", gap=[45, 50, 66]),
    "fasteners": confirmed("fasteners", checked=24, right=23, clips=0),
    "glass": resealed,
    "water": confirmed("water", method="shower", minutes=10, flow=145, result="entry", where="left rear lamp"),
    "lamps": confirmed("lamps", faults=2, touched="no"),
}


def test_all_gates_stand_there_with_those_that_are_in_force() -> None:
    assert list(ROWS) == list(BOOK.gates)
    assert [row[0] == "yes" for row in ROWS.values()] == [gate.by_default for gate in BOOK.gates.values()]


@pytest.mark.parametrize("key", list(BOOK.gates))
def test_the_example_of_a_gate_says_what_stands_there(plant, key: str) -> None:
    book = plant.journal.catalogue().to_json()
    for gate in book["gates"].values():
        gate["by_default"] = True
    plant.publish(catalogue.from_json(book))
    unit = plant.unit(finish="solid")
    DOES.get(key, lambda *_: None)(plant, unit)

    assert ROWS[key][-1] in "; ".join(blocks(plant, unit, key))
