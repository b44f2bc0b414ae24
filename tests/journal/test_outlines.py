"""Outlines of a plant's own: which new units are drawn on which, what can be changed, and what a late tablet brings."""

from __future__ import annotations

from dataclasses import replace

import pytest

from inspect_app.journal.events import Refusal
from inspect_app.journal.journal import PLANT
from inspect_app.journal.queries import outlines
from inspect_app.journal.verify import verify
from inspect_app.trade import outline
from inspect_app.trade.outline_numbers import OURS, make
from sample_units.hands import new_id

VAN = outline.builtin()


@pytest.fixture(scope="module")
def one_door() -> outline.Outline:
    return make(replace(OURS, sliding_door="left"), "One door")


@pytest.fixture
def other(plant, one_door) -> str:
    body = {"hash": one_door.hash, "content": one_door.to_svg(), "own": True}
    plant.journal.record(plant.maud.ticket, PLANT, "outline_published", body)
    return one_door.hash


def assign(plant, key, make="Brennach", model="Tourer 6"):
    body = {"make": make, "model": model, "outline": key}
    return plant.journal.record(plant.maud.ticket, PLANT, "outline_assigned", body)


def retire(plant, key, retired=True):
    return plant.journal.record(plant.maud.ticket, PLANT, "outline_retired", {"outline": key, "retired": retired})


def set_on(plant, unit, key):
    return plant.journal.record(plant.maud.ticket, f"unit:{unit}", "outline_set", {"outline": key})


def drawn_on(plant, unit):
    return plant.row("units", unit)["outline"]


def walk_on(hands, unit, key):
    """Begin the first walk as a tablet does that has the unit drawn on `key`."""
    walk = new_id()
    answer = hands.send(hands.event(unit, "walk_started", {"walk": walk, "purpose": "first"}, outline=key))[0]
    assert answer.outcome == "applied", answer.reason
    return walk


def nib(walk, tag="A1"):
    return {
        "marker": new_id(),
        "tag": tag,
        "walk": walk,
        "kind": "nib",
        "view": "left",
        "x": 20000,
        "y": 20000,
        "spread": 40,
    }


def test_an_own_outline_is_drawn_on_by_nothing_until_it_is_chosen(plant, other):
    assert drawn_on(plant, plant.unit()) == VAN.hash


def test_new_units_of_a_make_and_model_are_drawn_on_its_outline_however_it_is_written(plant, other):
    before = plant.unit("000001")
    assign(plant, other, "BRENNACH", " tourer  6 ")

    assert drawn_on(plant, plant.unit("000002")) == other
    assert drawn_on(plant, plant.unit("000003", model="Tourer 7")) == VAN.hash
    assert drawn_on(plant, before) == VAN.hash


def test_a_model_can_go_back_to_the_usual_outline(plant, other):
    assign(plant, other)
    assign(plant, None)

    assert drawn_on(plant, plant.unit()) == VAN.hash
    assert outlines.assigned(plant.journal.read()) == []


def test_a_retired_outline_is_offered_for_nothing_and_what_is_drawn_on_it_stays(plant, other):
    assign(plant, other)
    old = plant.unit("000001")
    retire(plant, other)

    assert drawn_on(plant, plant.unit("000002")) == VAN.hash
    assert drawn_on(plant, old) == other
    for attempt in (lambda: assign(plant, other), lambda: set_on(plant, old, other)):
        with pytest.raises(Refusal) as caught:
            attempt()
        assert caught.value.code == "retired"

    retire(plant, other, False)
    assign(plant, other)
    assert drawn_on(plant, plant.unit("000003")) == other


def test_the_current_outline_cannot_be_retired_and_an_unknown_one_not_chosen(plant):
    with pytest.raises(Refusal) as current:
        retire(plant, VAN.hash)
    with pytest.raises(Refusal) as unknown:
        assign(plant, "0" * 64)

    assert (current.value.code, unknown.value.code) == ("current", "no_outline")


def test_a_unit_without_markers_and_walks_is_set_to_another_outline_and_keeps_what_is_not_fitted(plant, other):
    unit = plant.unit()
    absent = {"zones": ["left.running_board", "right.running_board"], "why": "not_fitted"}
    plant.ines.do(unit, "zones_absent", absent)

    set_on(plant, unit, other)

    assert drawn_on(plant, unit) == other
    # The right side of the other van has no running board at all.
    assert plant.row("units", unit)["absent"] == '{"left.running_board": "not_fitted"}'


def test_a_unit_with_a_marker_or_a_walk_keeps_its_outline(plant, other):
    marked, walked = plant.unit("000001"), plant.unit("000002")
    plant.ines.do(marked, "marker_made", nib(None))
    plant.ines.do(walked, "walk_started", {"walk": new_id(), "purpose": "first"})

    for unit, code in ((marked, "marked"), (walked, "walked")):
        with pytest.raises(Refusal) as caught:
            set_on(plant, unit, other)
        assert caught.value.code == code
        assert drawn_on(plant, unit) == VAN.hash


def test_only_units_that_may_change_are_offered(plant, other):
    free, walked = plant.unit("000001"), plant.unit("000002")
    plant.ines.do(walked, "walk_started", {"walk": new_id(), "purpose": "first"})

    assert [row["id"] for row in outlines.changeable(plant.journal.read(), 50)] == [free]


def test_a_tablet_that_was_away_while_the_outline_changed_takes_it_back_with_its_first_walk(plant, other):
    unit = plant.unit()
    set_on(plant, unit, other)

    walk = walk_on(plant.ines, unit, VAN.hash)
    answer = plant.ines.send(plant.ines.event(unit, "marker_made", nib(walk), outline=VAN.hash))[0]

    assert answer.outcome == "applied"
    assert drawn_on(plant, unit) == VAN.hash
    marker = plant.rows("markers", unit)[0]
    assert marker["words"] == VAN.describe(marker["zone"], 20000, 20000, 40)


def test_a_second_walk_on_another_drawing_changes_nothing_and_its_markers_are_asked_about(plant, other):
    unit = plant.unit()
    set_on(plant, unit, other)
    walk_on(plant.lukasz, unit, other)

    walk = walk_on(plant.ines, unit, VAN.hash)
    answer = plant.ines.send(plant.ines.event(unit, "marker_made", nib(walk), outline=VAN.hash))[0]

    assert drawn_on(plant, unit) == other
    assert (answer.outcome, "another drawing" in str(answer.reason)) == ("flagged", True)
    assert plant.rows("markers", unit) == []
    assert len(plant.rows("questions", unit)) == 1


def test_an_outline_nobody_knows_named_by_a_tablet_changes_nothing(plant):
    unit = plant.unit()

    walk_on(plant.ines, unit, "0" * 64)

    assert drawn_on(plant, unit) == VAN.hash


def test_versions_say_who_made_them_and_how_many_units_are_drawn_on_each(plant, other):
    assign(plant, other)
    for six in ("000001", "000002"):
        plant.unit(six)

    told = {version.hash: version for version in outlines.versions(plant.journal.read())}

    assert [(told[key].own, told[key].units) for key in (other, VAN.hash)] == [(True, 2), (False, 0)]
    assert told[other].person == plant.people["maud"]
    assert told[VAN.hash].current


def test_the_tables_follow_from_the_events_again(plant, other):
    assign(plant, other)
    unit = plant.unit("000001")
    set_on(plant, unit, VAN.hash)
    walk_on(plant.ines, unit, other)
    retire(plant, other)

    told = verify(plant.journal.folder.path)

    assert told.clean, told.sentence


def test_outlines_published_before_there_were_own_ones_stay_the_current(tmp_path):
    from sqlite_utils import Database

    from inspect_app.journal.schema import migrations

    db = Database(tmp_path / "a.db")
    migrations.apply(db, stop_before="outlines_of_the_plant")
    db["outlines"].insert({"hash": "h", "content": "<svg/>", "current": 1, "n": 1})

    migrations.apply(db)

    assert [(row["own"], row["retired"], row["current"]) for row in db["outlines"].rows] == [(0, 0, 1)]
