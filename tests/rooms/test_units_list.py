"""The list of units: searched by any part of what a unit is called, narrowed, page by page; and notes found by words."""

from __future__ import annotations

import re

import pytest
from desk import Desk, said

from inspect_app.journal.queries import units_list as query
from inspect_app.rooms.units import listing
from sample_units.hands import new_id

DOOR = "left.sliding_door_lower"
DAY = 86_400_000


@pytest.fixture
def desk(client_as):
    return lambda name: Desk(client_as(name))


def shown(desk, address: str) -> list[str]:
    """The units of a page, top to bottom."""
    page = desk.get(address)
    assert page.status_code == 200, page.status_code
    return re.findall(r'class="line unit-line" href="/units/([0-9a-f-]+)"', page.text)


@pytest.fixture
def three(plant):
    return {
        "grey": plant.unit("047312", build_number="HB-4711"),
        "white": plant.unit("118940", colour="Chalk white", make="Corvane", model="Longer 7", plant="Other yard"),
        "red": plant.unit("203377", colour="ÖRTLI red", due=None),
    }


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("4731", {"grey"}), ("zzbrt6", {"grey", "white", "red"}), ("hb-4711", {"grey"}), ("corv", {"white"}), ("LONGER", {"white"}),
        ("chalk", {"white"}), ("örtli", {"red"}), ("tourer 2033", {"red"}), ("tourer chalk", set()), ("%", set()), ("_", set()),
    ],
)  # fmt: skip
def test_a_unit_is_found_by_any_part_of_number_build_number_make_or_colour(three, desk, typed, found):
    hits = shown(desk("per"), f"/units?q={typed.replace('%', '%25')}")

    assert set(hits) == {three[name] for name in found}


def test_a_search_finds_signed_units_as_well(three, plant, desk):
    plant.journal.read()
    from tests.rooms import signed_units as done

    signed = done.ready(plant, "047999")
    plant.ines.sign(signed)
    assert plant.row("units", signed)["state"] == "signed"

    assert set(shown(desk("per"), "/units?q=047")) == {three["grey"], signed}
    assert shown(desk("per"), "/units?q=047&show=signed") == [signed]


def test_the_list_is_narrowed_by_make_plant_and_due_date(three, plant, desk):
    per = desk("per")
    far = plant.unit("555555", due=plant.journal.clock() + 30 * DAY)

    assert shown(per, "/units?make=Corvane") == [three["white"]]
    assert shown(per, "/units?plant=Other+yard") == [three["white"]]
    assert shown(per, "/units?due=none") == [three["red"]]
    assert set(shown(per, "/units?due=week")) == {three["grey"], three["white"]}
    assert far in shown(per, "/units")
    assert far not in shown(per, "/units?due=week")
    assert "No unit fits." in per.words("/units?make=Corvane&due=none")


def test_pages_and_lists_keep_what_was_asked_for(three, plant, desk, monkeypatch):
    monkeypatch.setattr(listing, "PAGE", 2)
    per = desk("per")

    first, second = (shown(per, f"/units?q=ZZBRT&page={number}") for number in (1, 2))

    assert (len(first), len(second)) == (2, 1)
    assert {*first, *second} == set(three.values())
    assert shown(per, "/units?q=ZZBRT&page=9") == second  # a page there is no longer: the last one
    page = per.get("/units?q=ZZBRT&make=Brennach").text
    assert "/units?show=signed&amp;q=ZZBRT&amp;make=Brennach" in page


def test_a_list_there_is_not_is_a_sentence_and_404(desk, plant):
    for address in ("/units?show=nothing", "/units?due=nothing"):
        answer = desk("per").get(address)
        assert (answer.status_code, "There is no list 'nothing'" in said(answer)) == (404, True)


@pytest.mark.parametrize("typed", ["'", '"', "%00", "<b>", "a" * 500, "%F0%9F%9A%90", "%ff", "\\", "* *"])
def test_whatever_is_typed_is_only_looked_for(three, desk, typed):
    answer = desk("per").get(f"/units?q={typed}")

    assert answer.status_code == 200
    assert "<b>" not in answer.text.split('id="q"')[1].split(">")[0]


# ------------------------------------------------------------------ notes


def noted(plant, unit: str, note: str, walk: str | None = None) -> str:
    """A mark with a note."""
    marker = new_id()
    body = {"marker": marker, "walk": walk, "lap": "lamp", "kind": "nib", "tag": "B1", **plant.ines.spot(unit, DOOR)}
    assert plant.ines.do(unit, "marker_made", body, {"note": note}).outcome == "applied"
    return marker


def test_a_note_is_found_by_its_words_with_its_unit_and_its_mark(plant, desk):
    unit, other = plant.unit("047312"), plant.unit("118940")
    noted(plant, unit, "Beside the Größe plate, under the handle")
    noted(plant, other, "on the sill")

    page = desk("per").words("/units?q=gRÖSSE+handle")

    assert "In notes 1 mark" in page
    assert "“Beside the Größe plate, under the handle”" in page
    assert f'href="/units/{unit}#markers-head"' in desk("per").get("/units?q=handle").text
    assert "In notes" not in desk("per").words("/units?q=Fjord")


def test_notes_of_a_unit_under_a_second_walk_are_not_told_to_who_walks_it(plant, desk):
    unit = plant.unit("047312")
    noted(plant, unit, "beside the handle")
    plant.lukasz.start_walk(unit, "second")

    assert "In notes" not in desk("lukasz").words("/units?q=handle")
    assert "In notes" in desk("ines").words("/units?q=handle")


def test_lists_that_hold_every_van_there_was_are_read_through_an_index_and_notes_touch_no_other_mark(plant):
    unit = plant.unit()
    noted(plant, unit, "beside the handle")
    asked: list[str] = []
    db = plant.journal.read()
    db.set_trace_callback(asked.append)
    for show in ("all", "signed"):
        query.page(db, query.Wanted(show=show), now=0, limit=5, offset=0)
    query.noted(db, ["ha"], "nobody", 5)  # too short for the index of words: tests/journal/test_sought.py
    db.set_trace_callback(None)
    plans = [
        " | ".join(row["detail"] for row in db.execute(f"EXPLAIN QUERY PLAN {sql}"))
        for sql in asked
        if "count(*)" not in sql
    ]

    assert len(plans) == 3
    assert [
        index in plan for index, plan in zip(("units_arrived", "units_signed", "markers_notes"), plans, strict=True)
    ] == [True] * 3
    assert not any("TEMP B-TREE" in plan for plan in plans)


def test_a_signed_unit_says_when_it_was_signed_and_no_place_that_nobody_noted(plant, desk):
    from tests.rooms import signed_units as done

    signed = done.ready(plant, "047999")
    plant.ines.sign(signed)

    page = desk("per").words("/units?show=signed")

    assert re.search(r"047 999 .* signed \d\d:\d\d ", page)
    assert "place not known" not in page


def test_a_late_van_is_said_to_be_late_on_every_list_that_holds_it(plant, desk):
    from tests.rooms import reworked_units as done

    late = plant.unit("047999", due=plant.journal.clock() - 3 * DAY)
    done.walked(plant, ("swirl", DOOR, {}), unit=late)

    for page in ("/", "/units", "/sign-off"):
        assert re.search(r"047 999 .*?late, \w{3} \d", desk("maud").words(page)), page


def test_the_card_names_what_is_not_fitted_under_one_word(plant, desk):
    unit = plant.unit()
    plant.ines.do(unit, "zones_absent", {"zones": ["left.running_board", "right.running_board"], "why": "not_fitted"})

    card = desk("per").words(f"/units/{unit}")

    assert "Not fitted left running board, right running board" in card
    assert card.count("Not fitted") == 1
