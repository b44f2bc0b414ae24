"""The pages of readings: a figure typed at the van, its verdict, and the marker it opens or closes by a person's press."""

from __future__ import annotations

import html
import re

import pytest

from inspect_app.trade import outline, outline_spot
from tests.rooms import signed_units as done
from tests.rooms.desk import Desk

DOOR, STRIP, JOINT = "cab_door_left", "moulding_cab_door_left", "left.joint.cab_door_to_b_pillar"
COLOUR = {
    "part_l_45": "50",
    "part_a_45": "2,68",
    "part_b_45": "-79.78",
    "beside_l_45": "50",
    "beside_a_45": "0",
    "beside_b_45": "-82.75",
}


@pytest.fixture
def desk(client_as):
    return lambda who: Desk(client_as(who))


def take(someone: Desk, unit: str, what: str, **told: str):
    return someone.send(f"/units/{unit}/readings/{what}", page=f"/units/{unit}/readings/{what}", **told)


def said(answer) -> str:
    return html.unescape(re.sub(r"<[^>]+>", " ", answer.text))


def newest(plant, unit: str) -> dict[str, object]:
    return plant.rows("readings", unit)[-1]


def test_a_film_typed_with_a_comma_is_judged_and_shown_with_its_number(plant, desk):
    unit, per = plant.unit(), desk("per")
    page = take(per, unit, "film", part=DOOR, where="body", method="magnetic", film="104,5").location

    words = per.words(page)
    assert "Passes" in words
    assert "Film of 104.5 µm (magnetic gauge): within 300 µm." in words
    assert "left cab door" in per.words(f"/units/{unit}/readings").lower()
    assert "Per Halvorsen read film build, left cab door: film of 104.5 µm" in per.words(
        f"/units/{unit}/history?show=readings"
    )


@pytest.mark.parametrize(
    ("what", "told", "sentence"),
    [
        ("film", {"part": DOOR, "method": "magnetic", "film": "0"}, "'Film' of 0 µm cannot be meant: it lies between 0.1 and 2000 µm; check the figure and its unit."),
        ("film", {"part": DOOR, "method": "magnetic", "film": "-80"}, "'Film' of -80 µm cannot be meant: it lies between 0.1 and 2000 µm; check the figure and its unit."),
        ("film", {"part": DOOR, "method": "magnetic", "film": "9000"}, "'Film' of 9000 µm cannot be meant: it lies between 0.1 and 2000 µm; check the figure and its unit."),
        ("film", {"part": DOOR, "method": "magnetic", "film": "thick"}, "'Film' must be a figure such as 12.5 (got 'thick')."),
        ("film", {"part": STRIP, "method": "eddy", "film": "90"}, "The eddy-current gauge does not read on this part; use an ultrasonic gauge, a witness tab, or none."),
        ("gap", {"gap_start": "4", "gap_middle": "5", "gap_end": "6"}, "A gap belongs to a joint; choose the joint that was read."),
        ("gap", {"joint": JOINT, "gap_start": "4", "gap_middle": "5"}, "'Gap at the end' is missing; a joint is read at three points."),
        ("gap", {"joint": JOINT}, "Nothing was read; write the gap or the step at all three points."),
        ("gap", {"joint": JOINT, "gap_start": "-4", "gap_middle": "5", "gap_end": "5"}, "'Gap at the start' of -4 mm cannot be meant: it lies between 0 and 100 mm; check the figure and its unit."),
        ("colour", {"part": STRIP, "beside": DOOR}, "Nothing was read; write L*, a* and b* at 45° at least."),
        ("colour", {"part": STRIP, "beside": DOOR, "part_l_45": "50"}, "At 45° 'a*' is missing; read all six."),
        ("colour", {"part": STRIP, **COLOUR}, "Choose what the part was compared with; colour is read as a pair."),
        ("adhesion", {"part": STRIP, "scale": "ISO 2409", "grade": ""}, "'Grade' is missing; choose what the tape left."),
        ("dew", {"air": "20", "surface": "15", "humidity": "0"}, "'Relative humidity' of 0 % cannot be meant: it lies between 1 and 100 %; check the figure and its unit."),
        ("dew", {"air": "20", "humidity": "60"}, "'Surface' is missing; read it on the part itself."),
    ],
)  # fmt: skip
def test_what_cannot_be_meant_is_told_in_one_sentence_and_nothing_is_stored(plant, desk, what, told, sentence):
    unit, per = plant.unit(), desk("per")
    answer = take(per, unit, what, **told)

    assert answer.status_code in (409, 422)
    assert sentence in said(answer)
    assert plant.rows("readings", unit) == []


def test_a_colour_that_does_not_pass_offers_a_marker_and_opens_it_only_when_pressed(plant, desk):
    unit, ines = plant.unit(), desk("ines")
    plant.ines.online(unit, "unit_corrected", {"finish": "solid"})
    page = take(ines, unit, "colour", part=STRIP, beside=DOOR, **COLOUR).location

    assert "ΔE00 2.04 at 45° on class A: over the limit of 1." in ines.words(page)
    assert plant.rows("markers", unit) == []
    opened = ines.send(f"{page}/marker", page=page, kind="shade", zone="left.moulding_cab_door")
    assert opened.location == page
    (marker,) = plant.rows("markers", unit)
    assert (marker["kind"], marker["size"], marker["zone"], marker["state"]) == (
        "shade",
        21,
        "left.moulding_cab_door",
        "open",
    )
    assert f"{marker['tag']} was opened after this reading." in ines.words(page)
    again = ines.send(f"{page}/marker", page=f"/units/{unit}/readings/dew", kind="shade", zone="left.moulding_cab_door")
    assert again.status_code == 409
    assert len(plant.rows("markers", unit)) == 1


def test_a_gap_that_runs_out_opens_its_marker_on_the_joint(plant, desk):
    unit, ines = plant.unit(), desk("ines")
    page = take(ines, unit, "gap", joint=JOINT, gap_start="4,5", gap_middle="5", gap_end="6.4").location
    ines.send(f"{page}/marker", page=page, kind="gap")

    (marker,) = plant.rows("markers", unit)
    assert (marker["joint"], marker["gap"], marker["verdict"]) == (JOINT, 64, "over")


def test_a_reading_that_passes_clears_a_reworked_marker_by_another_persons_press(plant, desk):
    unit, lukasz = plant.unit(), desk("lukasz")
    (marker,) = done.walked(
        plant, unit, ("gap", "left.cab_door_lower", {"gap": 70, **outline_spot.of_joint(outline.builtin(), JOINT)})
    )
    row = plant.row("markers", marker)
    assert row["joint"] == JOINT
    done.put_right(plant, unit)
    page = take(
        lukasz, unit, "gap", joint=JOINT, gap_start="5", gap_middle="5", gap_end="5", for_marker=marker
    ).location

    assert f"Clear {row['tag']}" in lukasz.words(page)
    assert plant.row("markers", marker)["state"] == "reworked"
    lukasz.send(f"{page}/close", page=page, marker=marker)
    assert plant.row("markers", marker)["state"] == "cleared"
    assert f"Łukasz Brandt cleared {row['tag']} after a reading." in lukasz.words(f"/units/{unit}/history")


def test_a_technician_reads_and_neither_opens_nor_closes(plant, desk):
    unit, per = plant.unit(), desk("per")
    page = take(per, unit, "dew", air="20", surface="14,9", humidity="60").location

    assert "2.9 °C above the dew point of 12.0 °C: under 3 °C, do not paint." in per.words(page)
    assert "Catalogue version 1 of 20" in per.words(page)
    assert per.send(f"{page}/marker", page=f"/units/{unit}/readings/dew", kind="run").status_code == 403


def test_a_signed_van_shows_its_readings_and_takes_none(plant, desk):
    unit, per = done.ready(plant), desk("per")
    take(per, unit, "dew", air="20", surface="19", humidity="60")
    plant.ines.sign(unit)

    assert "The unit is signed; reopen it first." in per.words(f"/units/{unit}/readings")
    assert "dew point" in per.words(f"/units/{unit}/readings").lower()
    assert per.get(f"/units/{unit}/readings/whatever").status_code == 404
    assert per.get("/readings/00000000-0000-7000-8000-000000000001").status_code == 404


def test_a_film_reading_says_what_the_budget_makes_of_its_spots_and_counts_once(plant, desk):
    """Each polish of a nib takes 4 µm (catalogue); 12 may go on class A of the maker's paint, and 30 of 40 must stay."""
    unit = plant.unit()
    walk = plant.ines.start_walk(unit)
    marker = plant.ines.mark(unit, walk, "nib", "left.cab_door_lower", "A1", size=8)
    plant.ines.look_everywhere(unit, walk)
    plant.ines.finish_walk(unit, walk)
    per = desk("per")
    page = f"/units/{unit}/readings"
    alone = take(per, unit, "film", part=DOOR, where="body", method="magnetic", film="104,5").location
    assert "2 more of about 4 µm each are within the budget." in per.words(alone)  # on the reading's own page, too
    assert (
        "B1: no film was taken off here. 0 of 12 µm are off this spot; 40 µm of clear are left (assumed, not read)."
        in (per.words(page))
    )
    assert "2 more of about 4 µm each are within the budget." in per.words(page)

    # What was seen of the spot, and a second reading, take nothing off: the newer reading counts, once.
    plant.per.do(unit, "spot_examined", {"marker": marker, "depth": "clear"})
    take(per, unit, "film", part=DOOR, where="body", method="magnetic", film="98")
    assert per.words(page).count("0 of 12 µm are off this spot") == 1
    assert per.words(page).count("A later reading counts there.") == 1

    plant.per.work(unit, plant.per.jobs(unit)[0])
    assert "B1: film was taken off here once. 4 of 12 µm are off this spot; 36 µm of clear are left" in per.words(page)
    assert "One more of about 4 µm is within the budget." in per.words(page)
    take(per, unit, "film", part=STRIP, where="body", method="none", film="")
    take(per, unit, "film", part="bonnet", where="body", method="magnetic", film="110")
    assert "No film was taken off this part. 0 of 12 µm are off this spot; 40 µm of clear are left" in per.words(page)
    assert "One more of about 10 µm is within the budget." in per.words(page)  # flatting takes the most
    take(per, unit, "film", part="bonnet", where="body", method="magnetic", film="65")
    assert "The whole film is 65 µm (magnetic gauge); below 70 µm nothing is cut." in per.words(page)

    plant.lukasz.start_walk(unit, "second")
    assert "µm are off this spot" not in desk("lukasz").words(alone)
    assert "B1" not in desk("lukasz").words(page)
    assert "µm are off this spot" not in desk("lukasz").words(page)


def test_the_next_polish_is_that_of_the_step_to_come_as_on_the_bench(plant, desk):
    """Flatting takes 10 µm and the cut of a nib 4 (catalogue): what a step put before the nib's takes is reckoned first."""
    unit = plant.unit()
    walk = plant.ines.start_walk(unit)
    plant.ines.mark(unit, walk, "nib", "left.cab_door_lower", "A1", size=8)
    plant.ines.look_everywhere(unit, walk)
    plant.ines.finish_walk(unit, walk)
    job = plant.per.jobs(unit)[0]
    step = {"job": job["id"], "department": "polish", "method": "flat_polish", "reason": "Deeper than it looked"}
    assert plant.per.do(unit, "step_inserted", step).outcome == "applied"

    page = take(desk("per"), unit, "film", part=DOOR, where="body", method="magnetic", film="104").location
    assert "One more of about 10 µm is within the budget." in desk("per").words(page)


def test_a_film_too_thin_to_be_cut_says_so_and_the_film_beside_a_tape_pull_is_shown(plant, desk):
    unit, per = plant.unit(), desk("per")
    page = take(per, unit, "film", part=DOOR, where="body", method="magnetic", film="65").location
    assert "Film of 65 µm (magnetic gauge): under 70 µm, nothing is cut here." in per.words(page)
    assert "cut with care" not in per.words(page)

    page = take(per, unit, "adhesion", part=STRIP, scale="ISO 2409", grade="1", film="62,5").location
    assert "ISO 2409 1, 62.5 µm" in per.words(page)
