"""Two people, out of each other's sight, at the same thing: the rules of docs/conflicts.md, each tried in the journal."""

import re
from pathlib import Path

import pytest

from inspect_app.journal.verify import verify
from sample_units.hands import new_id

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "conflicts.md"


@pytest.fixture
def unit(plant):
    return plant.unit()


@pytest.fixture
def reworked(plant, unit):
    """A swirl on a walked unit, polished away by Per, so that it waits for its second look."""
    walk = plant.ines.start_walk(unit)
    marker = plant.ines.mark(unit, walk, "swirl", "left.cab_door_lower", "B1", size=300)
    plant.ines.finish_walk(unit, walk)
    plant.per.work(unit, plant.per.jobs(unit)[0])
    return marker


def open_questions(plant, unit):
    return [row["text"] for row in plant.rows("questions", unit) if row["state"] == "open"]


def test_a_photo_for_a_marker_that_was_withdrawn_meanwhile_is_kept_with_it(plant, unit):
    walk = plant.ines.start_walk(unit)
    marker = plant.ines.mark(unit, walk, "nib", "left.cab_door_lower", "B1")
    late = plant.lukasz.event(unit, "photo_added", {"photo": new_id(), "marker": marker, "role": "found"})
    plant.ines.do(unit, "marker_withdrawn", {"marker": marker, "reason": "a drop of water"})

    assert plant.lukasz.send(late)[0].outcome == "applied"
    assert plant.row("photos", late["body"]["photo"])["marker"] == marker
    assert plant.row("markers", marker)["state"] == "withdrawn"
    assert open_questions(plant, unit) == []


def test_of_two_amendments_the_later_to_arrive_stands_field_by_field(plant, unit):
    walk = plant.ines.start_walk(unit)
    marker = plant.ines.mark(unit, walk, "nib", "left.cab_door_lower", "B1")
    his = plant.lukasz.event(unit, "marker_amended", {"marker": marker, "count": 3})
    hers = plant.ines.event(unit, "marker_amended", {"marker": marker, "size": 8})

    assert [plant.ines.send(hers)[0].outcome, plant.lukasz.send(his)[0].outcome] == ["applied", "applied"]
    row = plant.row("markers", marker)
    assert (row["size"], row["count"]) == (8, 3)


def test_of_clearing_and_sending_back_the_first_to_arrive_decides_and_the_other_asks(plant, unit, reworked):
    back = plant.lukasz.event(unit, "marker_sent_back", {"marker": reworked, "reason": "still there"})
    plant.ines.do(unit, "marker_cleared", {"marker": reworked})

    answer = plant.lukasz.send(back)[0]
    assert answer.outcome == "flagged"
    assert plant.row("markers", reworked)["state"] == "cleared"
    assert open_questions(plant, unit) == [answer.reason]


def test_a_withdrawal_that_comes_after_the_work_asks_and_the_work_stays(plant, unit):
    walk = plant.ines.start_walk(unit)
    marker = plant.ines.mark(unit, walk, "swirl", "left.cab_door_lower", "B1", size=300)
    gone = plant.lukasz.event(unit, "marker_withdrawn", {"marker": marker, "reason": "the lamp's own mirror image"})
    plant.ines.finish_walk(unit, walk)
    plant.per.work(unit, plant.per.jobs(unit)[0])

    assert plant.lukasz.send(gone)[0].outcome == "flagged"
    assert plant.row("markers", marker)["state"] == "reworked"
    assert open_questions(plant, unit) == ["This withdrawal arrived after work had begun on the marker."]


def test_work_on_a_marker_that_was_withdrawn_meanwhile_is_kept_and_asked_about(plant, unit):
    walk = plant.ines.start_walk(unit)
    marker = plant.ines.mark(unit, walk, "swirl", "left.cab_door_lower", "B1", size=300)
    plant.ines.finish_walk(unit, walk)
    job = plant.per.jobs(unit)[0]
    plant.ines.do(unit, "marker_withdrawn", {"marker": marker, "reason": "a reflection"})

    answer = plant.per.take(unit, job)
    assert answer.outcome == "flagged"
    assert plant.row("markers", marker)["state"] == "withdrawn"
    assert open_questions(plant, unit) == [answer.reason]


def test_two_walks_begun_at_once_are_one_walk_with_the_marks_of_both(plant, unit):
    hers, his = plant.ines.start_walk(unit), plant.lukasz.start_walk(unit)
    plant.ines.mark(unit, hers, "nib", "left.cab_door_lower", "B1")
    plant.lukasz.mark(unit, his, "nib", "left.cab_door_lower", "C1")

    assert [row["tag"] for row in plant.rows("markers", unit)] == ["B1", "C1"]
    assert plant.ines.finish_walk(unit, hers).outcome == "applied"


def test_a_mark_on_a_zone_that_was_said_to_be_off_the_van_is_kept(plant, unit):
    walk = plant.ines.start_walk(unit)
    mark = plant.lukasz.event(unit, "zones_absent", {"zones": ["left.cab_door_lower"], "why": "off"})
    marker = plant.ines.mark(unit, walk, "nib", "left.cab_door_lower", "B1")

    assert plant.lukasz.send(mark)[0].outcome == "applied"
    assert plant.row("markers", marker)["state"] == "open"


def test_nothing_of_a_conflict_is_lost_or_judged_anew_when_the_tables_are_rebuilt(plant, unit, reworked):
    plant.ines.do(unit, "marker_cleared", {"marker": reworked})
    plant.lukasz.do(unit, "marker_sent_back", {"marker": reworked, "reason": "still there"})
    plant.ines.do(unit, "marker_amended", {"marker": reworked, "size": 200})

    assert verify(plant.journal.folder.path).clean


def test_every_rule_of_the_page_names_a_test_that_is_there():
    named = re.findall(r"`(tests/[\w/]+\.py)::(\w+)`", PAGE.read_text("utf-8"))
    rules = [line for line in PAGE.read_text("utf-8").splitlines() if line.startswith("| ") and "::" in line]

    assert len(named) == len(rules) > 10
    assert [(file, name) for file, name in named if f"def {name}(" not in (ROOT / file).read_text("utf-8")] == []
