"""Work that touches the neighbours of a part, on a van that has not all of them."""

from __future__ import annotations

import json

import pytest
from sqlite_utils import Database

from inspect_app.journal import coverage
from inspect_app.journal.schema import migrations
from inspect_app.journal.verify import verify

BOARD = "right.running_board"  # a neighbour of the sill


@pytest.fixture
def refinished(plant):
    """A van without its running board whose sill is refinished: the neighbours have to be looked at again."""
    unit = plant.unit()
    plant.ines.do(unit, "zones_absent", {"zones": [BOARD], "why": "not_fitted"})
    walk = plant.ines.start_walk(unit)
    marker = plant.ines.mark(unit, walk, "run", "right.sill", "B1", size=60)
    plant.ines.do(unit, "marker_amended", {"marker": marker, "method": "refinish"})
    plant.ines.finish_walk(unit, walk)
    for hands in (plant.thanh, plant.per):
        assert hands.work(unit, hands.jobs(unit)[0]).outcome == "applied"
    return unit


def left(plant, unit) -> set[str]:
    """Zones that the look again still lacks."""
    return {zone for zone, _ in coverage.voided(plant.journal.versions, plant.journal.read(), plant.row("units", unit))}


def test_a_zone_that_is_not_fitted_is_not_counted_as_undone(plant, refinished):
    assert BOARD in {row["zone"] for row in plant.rows("voidings", refinished)}
    assert BOARD not in left(plant, refinished)
    assert plant.row("units", refinished)["voided"] == len(left(plant, refinished)) > 3

    walk = plant.lukasz.start_walk(refinished, "again")
    plant.lukasz.look_everywhere(refinished, walk)

    assert plant.row("units", refinished)["voided"] == 0
    assert verify(plant.journal.folder.path).clean


def test_it_is_counted_again_once_it_is_noted_as_present(plant, refinished):
    before = plant.row("units", refinished)["voided"]

    plant.ines.do(refinished, "zones_absent", {"zones": [BOARD], "why": "present"})

    assert plant.row("units", refinished)["voided"] == before + 1


TEXTS = ("plant", "chassis", "last_six", "make", "model", "colour", "colour_hex", "finish", "outline")


def stuck(key: str, why: str) -> dict[str, object]:
    """A row of a unit as it stood: all is put right and looked at but one zone that work has undone."""
    texts = dict.fromkeys(TEXTS, "x")
    absent = json.dumps({BOARD: why} if why else {})
    held = {"state": "open", "stage": "to_look_again", "voided": 1, "absent": absent, "options": "[]"}
    return {"id": key, "build_number": key, **texts, **held, "arrived_at": 1, "n": 1}


def test_a_unit_that_stood_still_for_it_goes_on_after_the_update_and_no_other_does(tmp_path):
    db = Database(tmp_path / "a.db")
    migrations.apply(db, stop_before="not_fitted_is_not_undone")
    db["units"].insert_all([stuck("gone", "not_fitted"), stuck("off", "off"), stuck("there", "")])
    db["voidings"].insert_all(
        {"unit": unit, "zone": BOARD, "lap": "lamp", "at": 1, "n": 1} for unit in ("gone", "off", "there")
    )

    migrations.apply(db)

    assert {row["id"]: (row["stage"], row["voided"]) for row in db["units"].rows} == {
        "gone": ("to_sign", 0),
        "off": ("to_look_again", 1),
        "there": ("to_look_again", 1),
    }
