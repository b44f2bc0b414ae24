"""What arrives after the walk or the signing: nothing of it is lost, and nobody is asked the same thing twice."""

import io

import pytest
from PIL import Image

from inspect_app.journal.events import Refusal
from inspect_app.journal.verify import verify
from sample_units.hands import new_id

SPOT = {"view": "front", "x": 9000, "y": 14000, "spread": 50}
ZONES = ("left.sliding_door_lower", "left.cab_door_lower", "right.cab_door_lower")


@pytest.fixture
def unit(plant):
    return plant.unit()


def walked_by_two(plant, unit):
    """A walk that Ines finishes while Lukasz, out of reach, was on the same one: the looks he has kept."""
    mine, his = plant.ines.start_walk(unit), plant.lukasz.start_walk(unit)
    assert plant.ines.finish_walk(unit, mine).outcome == "applied"
    return [plant.lukasz.event(unit, "zone_looked", {"walk": his, "zone": zone, "lap": "lamp"}) for zone in ZONES]


@pytest.fixture
def signed(plant, unit):
    """A signed unit without markers."""
    assert plant.ines.finish_walk(unit, plant.ines.start_walk(unit)).outcome == "applied"
    assert plant.ines.sign(unit).outcome == "applied"
    return unit


def questions(plant, unit):
    return [row["text"] for row in plant.rows("questions", unit) if row["state"] == "open"]


def test_looks_that_come_after_another_tablet_finished_the_walk_are_taken(plant, unit):
    looks = walked_by_two(plant, unit)

    assert [answer.outcome for answer in plant.lukasz.send(*looks)] == ["applied"] * 3
    assert questions(plant, unit) == []
    assert plant.row("units", unit)["stage"] == "to_sign"


def test_looks_that_come_after_the_signing_ask_once(plant, unit):
    looks = walked_by_two(plant, unit)
    plant.ines.sign(unit)

    assert [answer.outcome for answer in plant.lukasz.send(*looks)] == ["flagged"] * 3
    assert questions(plant, unit) == ["This arrived after the unit was signed."]
    asked = plant.rows("questions", unit)[0]["id"]
    plant.ines.do(unit, "question_answered", {"question": asked, "answer": "They were looked at before."})
    assert plant.lukasz.send(plant.lukasz.event(unit, "zone_looked", looks[0]["body"]))[0].outcome == "flagged"
    assert len(questions(plant, unit)) == 1  # what comes after the answer is asked about again
    assert verify(plant.journal.folder.path).clean


def escape(plant, unit):
    """A marker as a tablet sends it after the signing: made, then its size, its words, its origin and its picture."""
    marker, photo = new_id(), new_id()
    sent = [
        plant.lukasz.event(unit, "marker_made", {"marker": marker, "tag": "C1", "kind": "chip", **SPOT}),
        plant.lukasz.event(unit, "marker_amended", {"marker": marker, "size": 12}, {"note": "under the wiper"}),
        plant.lukasz.event(unit, "origin_revised", {"marker": marker, "origin": "handling"}),
        plant.lukasz.event(unit, "photo_added", {"photo": photo, "marker": marker, "role": "found"}),
    ]
    assert [answer.outcome for answer in plant.lukasz.send(*sent)] == ["flagged"] * 4
    return marker, photo


def test_what_is_said_of_an_escape_is_kept_with_it_and_asked_about_once(plant, signed):
    marker, _ = escape(plant, signed)
    row = plant.row("markers", marker)

    assert (row["state"], row["escape"], row["size"], row["note"]) == ("open", 1, 12, "under the wiper")
    assert (row["origin"], row["origin_basis"], row["verdict"]) == ("handling", "judged", "over")
    assert len(questions(plant, signed)) == 1
    assert "kept as an escape" in questions(plant, signed)[0]
    assert plant.rows("jobs", signed) == []
    assert verify(plant.journal.folder.path).clean


def test_the_picture_of_an_escape_is_taken(plant, signed, client_as):
    _, photo = escape(plant, signed)
    picture = io.BytesIO()
    Image.new("RGB", (80, 60)).save(picture, "JPEG")

    assert client_as("lukasz").put(f"/photos/{photo}", data=picture.getvalue()).status_code == 200
    assert plant.row("photos", photo)["state"] == "stored"
    assert verify(plant.journal.folder.path).clean


def test_a_picture_without_an_escape_is_kept_and_asked_about(plant, signed):
    for photo in (new_id(), new_id()):
        answer = plant.lukasz.do(signed, "photo_added", {"photo": photo, "role": "context"})
        assert (answer.outcome, plant.row("photos", photo)["state"]) == ("flagged", "awaited")

    assert len(questions(plant, signed)) == 1


def test_an_escape_that_was_dust_is_withdrawn_and_makes_no_work_when_the_unit_is_reopened(plant, signed):
    marker, _ = escape(plant, signed)
    plant.lukasz.do(signed, "marker_withdrawn", {"marker": marker, "reason": "dust"})
    assert plant.row("markers", marker)["state"] == "withdrawn"

    plant.maud.online(signed, "unit_reopened", {"reason": "A look at the wiper."})
    assert plant.rows("jobs", signed) == []


def test_what_was_there_at_the_signing_stays_as_it_was_signed(plant, unit):
    walk = plant.ines.start_walk(unit)
    marker = plant.ines.mark(unit, walk, "nib", ZONES[0], "B1", size=3)
    plant.ines.do(unit, "marker_accepted", {"marker": marker})
    plant.ines.finish_walk(unit, walk)
    assert plant.ines.sign(unit).outcome == "applied"

    before = plant.row("markers", marker)

    for body in ({"size": 15}, {"size": 15}, {"severity": "S2"}):
        assert plant.lukasz.do(unit, "marker_amended", {"marker": marker, **body}).outcome == "flagged"
    plant.lukasz.do(unit, "marker_withdrawn", {"marker": marker, "reason": "dust"})

    assert plant.row("markers", marker) == before
    assert len(questions(plant, unit)) == 2  # one for what it should be, one for whether it should be there


def test_an_escape_of_an_earlier_signing_is_part_of_what_the_next_one_signs(plant, signed):
    marker, _ = escape(plant, signed)
    plant.maud.online(signed, "unit_reopened", {"reason": "A chip."})
    for row in plant.rows("questions", signed):
        plant.ines.do(signed, "question_answered", {"question": row["id"], "answer": "It is an observation."})
    plant.ines.do(signed, "marker_amended", {"marker": marker, "severity": "S5"})
    assert plant.ines.sign(signed).outcome == "applied"

    plant.lukasz.do(signed, "marker_amended", {"marker": marker, "size": 40})

    assert plant.row("markers", marker)["size"] == 12
    assert questions(plant, signed) == ["This arrived after the unit was signed."]


def test_whoever_decides_on_a_page_what_is_decided_is_told_and_leaves_no_question(plant, unit):
    marker = plant.ines.mark(unit, None, "swirl", ZONES[0], "B1", size=300)
    plant.per.do(unit, "no_flaw_proposed", {"marker": marker, "reason": "a reflection"})
    plant.ines.online(unit, "no_flaw_decided", {"marker": marker, "agreed": True})

    with pytest.raises(Refusal, match="Nobody proposes any longer") as refused:
        plant.maud.online(unit, "no_flaw_decided", {"marker": marker, "agreed": True})

    assert refused.value.status == 409
    assert questions(plant, unit) == []
