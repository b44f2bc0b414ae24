"""Readings taken at a van: judged with the number, kept as judged, and pointed at by the marker they open or close."""

from __future__ import annotations

import json

import pytest

from inspect_app.journal.events import Refusal
from inspect_app.journal.verify import verify
from sample_units.hands import new_id
from tests.rooms import signed_units as done

DOOR, STRIP = "cab_door_left", "moulding_cab_door_left"
JOINT = "left.joint.cab_door_to_b_pillar"  # 5 ± 1 mm on the outline that ships


@pytest.fixture
def read(plant):
    unit = plant.unit()

    def take(what: str, hands=None, **told: object) -> dict[str, object]:
        key = new_id()
        (hands or plant.per).online(unit, "reading_taken", {"reading": key, "what": what, **told})
        return plant.row("readings", key)

    take.unit = unit
    return take


def test_a_film_reading_is_judged_with_its_number_and_the_catalogue_it_was_judged_by(plant, read):
    row = read("film", part=DOOR, method="magnetic", film=1040)

    assert (row["outcome"], row["text"]) == ("within", "film of 104 µm (magnetic gauge): within 300 µm")
    assert (row["label"], row["class"]) == ("left cab door", "A")
    assert row["catalogue"] == plant.journal.catalogue().hash
    assert json.loads(str(row["judged"]))[0]["figure"] == 10400


def test_not_read_is_a_valid_film_reading(plant, read):
    assert read("film", part=STRIP, method="none")["outcome"] == "unmeasured"


@pytest.mark.parametrize(
    ("told", "sentence"),
    [
        ({"part": STRIP, "method": "magnetic", "film": 900}, "The magnetic gauge does not read on this part; use an ultrasonic gauge, a witness tab, or none."),
        ({"part": DOOR, "method": "magnetic"}, "'Film' is missing; write what the gauge showed, or choose 'not read'."),
        ({"part": DOOR, "method": "none", "film": 900}, "'Not read' has no figure; choose the gauge, or leave the film empty."),
        ({"part": "spoiler", "method": "none"}, "The outline of this unit has no part 'spoiler'; reload the page."),
        ({"method": "none"}, "Choose the part that was read."),
    ],
)  # fmt: skip
def test_a_film_reading_that_cannot_be_is_refused_in_a_sentence_and_not_kept(plant, read, told, sentence):
    with pytest.raises(Refusal) as refused:
        read("film", **told)

    assert refused.value.reason == sentence
    assert plant.rows("readings", read.unit) == []


@pytest.mark.parametrize("film", [0, -5, 20_001])
def test_a_film_of_nothing_or_of_more_than_two_millimetres_is_refused(plant, read, film):
    with pytest.raises(Refusal):
        read("film", part=DOOR, method="magnetic", film=film)

    assert plant.rows("readings", read.unit) == []


def test_colour_is_read_as_a_pair_and_judged_by_the_formula_of_2000(plant, read):
    # Sharma, Wu, Dalal 2005, pair 1: ΔE00 = 2.0425
    pair = {"angle": 45, "part": [5000, 268, -7978], "beside": [5000, 0, -8275]}
    plant.ines.online(read.unit, "unit_corrected", {"finish": "solid"})
    row = read("colour", part=STRIP, beside=DOOR, colour=[pair])

    assert row["text"] == "ΔE00 2.04 at 45° on class A: over the limit of 1"
    assert row["label"] == "left moulding cab door beside left cab door"


def test_a_metallic_colour_wants_three_angles(plant, read):
    plant.ines.online(read.unit, "unit_corrected", {"finish": "metallic"})
    pair = {"angle": 45, "part": [5000, 0, 0], "beside": [5000, 0, 0]}

    assert read("colour", part=STRIP, beside=DOOR, colour=[pair])["text"] == "read it at 15°, 110°, too"


def test_a_gap_is_held_against_its_joint_and_against_the_other_side(plant, read):
    read("gap", joint=JOINT.replace("left", "right"), gap=[75, 75, 75])
    row = read("gap", joint=JOINT, gap=[45, 50, 60], flush=[5, 0, -11])

    assert [told["text"] for told in json.loads(str(row["judged"]))] == [
        "gap of 6 mm: within the limit of 5 ± 1 mm",
        "runs out by 1.5 mm: over 1 mm",
        "left and right differ by 3 mm: over 2 mm",
        "lies 1.1 mm low on class A: over 1 mm",
    ]
    assert row["outcome"] == "over"


@pytest.mark.parametrize("told", [{"gap": [45, 50, 60]}, {"gap": [45, 50, 60], "joint": "left.joint.nowhere"}])
def test_a_gap_with_no_joint_is_refused_in_a_sentence(plant, read, told):
    with pytest.raises(Refusal) as refused:
        read("gap", **told)

    assert "joint" in refused.value.reason
    assert plant.rows("readings", read.unit) == []


def test_the_dew_point_needs_no_part_and_the_tape_pull_keeps_its_scale(plant, read):
    dew = read("dew", air=200, surface=149, humidity=600)
    pull = read("adhesion", part=STRIP, scale="ASTM D3359", grade=3)

    assert dew["text"] == "2.9 °C above the dew point of 12.0 °C: under 3 °C, do not paint"
    assert pull["text"] == "ASTM D3359 3B on class A: worse than 4B; it goes back to what holds"


def test_a_marker_opened_and_one_closed_point_at_their_readings_and_the_store_still_verifies(plant, read):
    unit = read.unit
    (marker,) = done.walked(plant, unit, ("dent", "left.cab_door_lower", {"size": 120}))
    done.put_right(plant, unit)
    failed, passed = (
        read("film", part=DOOR, method="magnetic", film=3100),
        read("film", part=DOOR, method="magnetic", film=1000),
    )
    opened = new_id()
    spot = {"view": "left", "x": 19_000, "y": 14_000, "spread": 50}
    plant.ines.online(
        unit, "marker_made", {"marker": opened, "tag": "B9", "kind": "run", "size": 40, "reading": failed["id"], **spot}
    )
    plant.lukasz.online(unit, "marker_cleared", {"marker": marker, "reading": passed["id"]})

    assert [(plant.row("readings", str(row["id"]))["marker"], plant.row("readings", str(row["id"]))["led_to"]) for row in (failed, passed)] == [
        (opened, "opened"), (marker, "cleared"),
    ]  # fmt: skip
    told = verify(plant.journal.folder.path)
    assert told.clean, told.sentence


def test_a_reading_of_another_van_opens_no_marker_here(plant, read):
    row, other = read("dew", air=200, surface=190, humidity=600), plant.unit("118940")
    with pytest.raises(Refusal) as refused:
        plant.ines.online(
            other,
            "marker_made",
            {
                "marker": new_id(),
                "tag": "B1",
                "kind": "run",
                "view": "left",
                "x": 19_000,
                "y": 14_000,
                "reading": row["id"],
            },
        )

    assert refused.value.code == "no_reading"


def test_a_signed_van_takes_no_readings(plant, read):
    unit = done.ready(plant, "047313")
    plant.ines.sign(unit)
    with pytest.raises(Refusal) as refused:
        plant.per.online(
            unit, "reading_taken", {"reading": new_id(), "what": "dew", "air": 200, "surface": 190, "humidity": 600}
        )

    assert refused.value.reason == "The unit is signed; reopen it first."
