"""Where marks are: by station, booth, sprayer and part, each divided by what the marks could have been found on."""

from __future__ import annotations

import csv
import html
import io
import re

import pytest
from desk import Desk

from inspect_app.journal.queries import rates as query

DOOR, PART = "left.sliding_door_lower", "sliding_door_left"
CAB = "left.cab_door_lower"


@pytest.fixture
def maud(client_as):
    return Desk(client_as("maud"))


@pytest.fixture
def made(plant):
    """Six vans at the floor station with a nib on the door, painted in two booths, and one van that passed no station."""
    now = plant.journal.clock()
    for number in range(7):
        unit = plant.unit(f"{600_000 + number}")
        if number < 6:
            plant.per.online(unit, "station_passed", {"station": "paint"})
            told = {
                "part": PART,
                "booth": "Booth 1" if number else "Booth 2",
                "at": now,
                "sprayer": plant.people["thanh"],
            }
            plant.per.online(
                unit, "part_painted", {**told, "booth": "Booth 9", "at": now - 5_000}
            )  # painted over since
            plant.per.online(unit, "part_painted", told)
        walk = plant.ines.start_walk(unit)
        plant.ines.mark(unit, walk, "nib", DOOR, "B1", size=15)
        if number == 1:
            plant.ines.mark(unit, walk, "nib", DOOR, "B2", size=15)
            plant.ines.mark(unit, walk, "swirl", CAB, "B3", size=300)
            plant.ines.mark(unit, walk, "nib", DOOR, "B4", size=15, severity="S5")  # a note is no flaw
        plant.ines.finish_walk(unit, walk)


def tables(desk, query="") -> dict[str, dict[str, list[str]]]:
    """Each small table by its caption: cells of each line by its head."""
    page = desk.get(f"/rates{query}").text
    found = {}
    for caption, body in re.findall(r"<caption>(.*?)</caption>.*?<tbody>(.*?)</tbody>", page, re.S):
        rows = re.findall(r"<tr>(.*?)</tr>", body, re.S)
        cells = [
            [html.unescape(re.sub(r"<[^>]+>", "", cell)) for cell in re.findall(r"<t[hd].*?</t[hd]>", row)]
            for row in rows
        ]
        found[caption] = {head: rest for head, *rest in cells}
    return found


def test_marks_are_divided_by_vans_at_the_station_and_by_parts_of_the_booth(plant, maud, made):
    found = tables(maud)

    # nine marks on seven vans; Garwood's exact interval of 8 events is 3.45 to 15.76 (Garwood 1936, from memory of the table), a sixth of it
    assert found["By the station they were found at"] == {"Floor and windows": ["8", "6", "1.3", "0.58 to 2.6"]}
    assert found["By booth, for each painted part"] == {
        "Booth 1": ["6", "5", "1.2", "0.44 to 2.6"],  # of 6 events 2.20 to 13.06, a fifth
        "Booth 2": ["1", "1", "too few: a rate needs 5"],
    }
    assert found["By sprayer, for each painted part"] == {"Nguyễn Thanh": ["7", "6", "1.2", "0.47 to 2.4"]}
    assert {head: cells[:2] for head, cells in found["By part"].items()} == {
        "left sliding door": ["8", "7"],
        "left cab door": ["1", "7"],
    }
    page = maud.words("/rates")
    assert "1 van had passed no station." in page
    assert "2 marks are on parts of which this was not noted." in page


def test_what_the_page_is_narrowed_to_holds_here_too(plant, maud, made):
    found = tables(maud, "?kind=swirl")

    assert found["By part"] == {"left cab door": ["1", "7", "0.14", "0.0036 to 0.80"]}
    assert found["By booth, for each painted part"]["Booth 1"][:2] == ["0", "5"]


def test_a_plant_that_notes_nothing_of_the_line_has_no_empty_tables(plant, maud):
    for number in range(5):
        unit = plant.unit(f"{600_000 + number}")
        walk = plant.ines.start_walk(unit)
        plant.ines.mark(unit, walk, "nib", DOOR, "B1", size=15)
        plant.ines.finish_walk(unit, walk)

    assert list(tables(maud)) == ["By part"]


def test_the_csv_has_the_places_too_and_says_what_their_marks_are_divided_by(made, client_as):
    answer = client_as("maud").get("/rates.csv")

    rows = list(csv.DictReader(io.StringIO(answer.data.decode("utf-8-sig"))))
    told = {(row["by"], row["label"]): (row["marks"], row["n"], row["of"]) for row in rows}
    # Five parts were painted in Booth 1, and the second van's door has two nibs; Booth 2 has one part with one.
    assert told["booth", "Booth 1"] == ("6", "5", "parts")
    assert told["booth", "Booth 2"] == ("1", "1", "parts")
    assert told["sprayer", "Nguyễn Thanh"] == ("7", "6", "parts")
    assert told["part", "left sliding door"] == ("8", "7", "vans")
    assert ("station", "Floor and windows") in told


def test_makes_days_and_inspectors_are_told_apart_by_their_vans(plant, maud):
    wednesday = 1_795_000_000_000 // 604_800_000 * 604_800_000 + 6 * 86_400_000 + 43_200_000  # 1970 began on a Thursday
    for number, hand in enumerate((plant.ines, plant.ines, plant.lukasz)):
        then = wednesday + (86_400_000 if number == 2 else 0)
        plant.journal.clock = lambda then=then: then
        for one in (plant.ines, plant.lukasz, plant.maud, plant.per):
            one.sign_in()
        unit = plant.unit(f"{700_000 + number}", make="Orlune" if number == 2 else "Brennach")
        walk = hand.start_walk(unit)
        for mark in range(number + 1):
            hand.mark(unit, walk, "nib", DOOR, f"B{mark + 1}", size=15)
        hand.mark(unit, walk, "swirl", CAB, "B9", size=300)
        hand.finish_walk(unit, walk)

    when = "?from=2026-11-01&to=2026-12-31&kind=nib"
    found = tables(maud, when)
    assert {head: cells[:2] for head, cells in found["By make"].items()} == {
        "Orlune": ["3", "1"],
        "Brennach": ["3", "2"],
    }
    assert {head: cells[:2] for head, cells in found["By inspector of the first walk"].items()} == {
        "Łukasz Brandt": ["3", "1"],
        "Ines Okafor": ["3", "2"],
    }
    days = {head: cells[:2] for head, cells in found["By the day the first walk ended"].items()}
    assert days == {"Thu": ["3", "1"], "Wed": ["3", "2"]}
    assert [cells[0] for cells in tables(maud, when.replace("nib", "swirl"))["By make"].values()] == ["2", "1"]


def test_a_gap_that_drifts_is_named_drawn_and_told(made, maud, monkeypatch):
    """Ten gaps of one make, each week 0.2 mm wider, and five of another: too few to be told."""
    week, joint = 7 * 24 * 3_600_000, "left.joint.sliding_door_to_rear_panel"
    wide = [{"make": "Brennach", "joint": joint, "gap": 60 + 2 * at, "made_at": at * week} for at in range(10)]
    few = [{"make": "Orlune", "joint": joint, "gap": 60, "made_at": at * week} for at in range(5)]
    gone = [{**row, "make": "Kestvald", "joint": "left.joint.of_another_outline", "gap": 40} for row in wide]
    monkeypatch.setattr(query, "gaps", lambda *_of: [*wide, *few, *gone])

    page = maud.get("/rates").text
    said = " ".join(html.unescape(re.sub(r"<[^>]+>", " ", page)).split())

    assert "Brennach: the gap sliding door to rear panel, left side grows by 0.20 mm a week (10 gaps)." in said
    assert page.count('class="rate-reading"') == 10
    assert "Brennach sliding door to rear panel, left side 10 6.9 +0.20 +0.20 to +0.20" in said
    assert "Kestvald left.joint.of_another_outline 10 4.0 0.00 0.00 to 0.00" in said
    assert "Orlune sliding" not in said
