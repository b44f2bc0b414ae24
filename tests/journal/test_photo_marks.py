"""Arrows and rings on a photo: data beside the picture, taken back by saying what is left."""

import json

import pytest

from inspect_app.journal.verify import verify
from inspect_app.rooms.signoff.photo_strokes import strokes
from sample_units.hands import new_id

RING = {"form": "ring", "x": 100, "y": 200, "x2": 300, "y2": 600}
ARROW = {"form": "arrow", "x": 0, "y": 0, "x2": 300, "y2": 400}


@pytest.fixture
def unit(plant):
    return plant.unit()


@pytest.fixture
def photo(plant, unit):
    photo = new_id()
    assert plant.per.do(unit, "photo_added", {"photo": photo, "role": "context"}).outcome == "applied"
    return photo


def drawn(plant, photo):
    return json.loads(plant.row("photos", photo)["marks"])


def test_what_is_drawn_on_a_photo_is_kept_and_taken_back(plant, unit, photo):
    assert drawn(plant, photo) == []
    plant.per.do(unit, "photo_marked", {"photo": photo, "marks": [RING, ARROW]})
    assert drawn(plant, photo) == [RING, ARROW]
    plant.per.do(unit, "photo_marked", {"photo": photo, "marks": [RING]})
    assert drawn(plant, photo) == [RING]
    assert verify(plant.journal.folder.path).clean


def test_only_who_took_a_photo_or_an_inspector_draws_on_it(plant, unit, photo):
    told = plant.thanh.do(unit, "photo_marked", {"photo": photo, "marks": [RING]})
    assert told.outcome == "refused"
    assert "taken by someone else" in told.reason
    assert plant.ines.do(unit, "photo_marked", {"photo": photo, "marks": [RING]}).outcome == "applied"


def test_nothing_is_drawn_on_a_photo_that_is_out_of_the_record(plant, unit, photo):
    plant.per.do(unit, "photo_removed", {"photo": photo, "reason": "the wrong van"})
    told = plant.per.do(unit, "photo_marked", {"photo": photo, "marks": [RING]})
    assert told.outcome == "refused"
    assert "out of the record" in told.reason


@pytest.mark.parametrize("bad", [{"x": 1001}, {"y": -1}, {"x2": 0.5}, {"form": "star"}, {"colour": "red"}])
def test_a_mark_beside_the_picture_or_of_another_form_is_refused(plant, unit, photo, bad):
    assert plant.per.do(unit, "photo_marked", {"photo": photo, "marks": [{**RING, **bad}]}).outcome == "refused"
    assert drawn(plant, photo) == []


def test_the_sheet_draws_a_ring_through_the_middles_of_its_box_and_an_arrow_to_its_tip():
    ring, shaft, head = strokes([RING, ARROW])
    xs, ys = zip(*ring, strict=True)
    assert (min(xs), max(xs), min(ys), max(ys)) == pytest.approx((100, 300, 200, 600))
    assert shaft == ((0, 0), (300, 400))
    assert head[1] == (300, 400)
    assert all(x < 300 and y < 400 for x, y in (head[0], head[2]))
