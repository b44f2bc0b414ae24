"""The card of a unit shows the line and takes what is noted of it: stations passed, parts painted."""

from __future__ import annotations

from datetime import datetime

import pytest
from desk import Desk, fault_beside, said
from signed_units import looked_again, put_right, walked

from inspect_app.rooms.shown import booth_words
from inspect_app.rooms.signoff.apart import tell
from inspect_app.sheet.make import make_sheet

DOOR = "left.sliding_door_lower"


@pytest.fixture
def desk(client_as):
    return lambda name: Desk(client_as(name))


def pass_on(desk, unit: str, station: str, **more):
    return desk.send(f"/units/{unit}/stations", page=f"/units/{unit}", station=station, **more)


def paint(desk, unit: str, **more):
    told = {"part": "sliding_door_left", "booth": "Booth 2", "sprayer": "", "mix": "", "flame_at": "", **more}
    return desk.send(f"/units/{unit}/painted", page=f"/units/{unit}", **told)


def test_a_station_is_passed_with_the_walk_done_there_and_the_card_says_where_the_van_stands(plant, desk):
    unit = plant.unit()
    walk = plant.ines.start_walk(unit)
    plant.ines.finish_walk(unit, walk)
    per = desk("per")

    answer = pass_on(per, unit, "paint", walk=walk)

    assert (answer.status_code, answer.location) == (302, f"/units/{unit}#line")
    page = per.words(f"/units/{unit}")
    assert "Paint passed walked there: first walk" in page
    assert "Floor and windows stands here" in page
    assert "Per Halvorsen noted that the van has passed paint" in per.words(f"/units/{unit}/history?show=unit")


def test_a_station_that_is_passed_is_offered_no_more_and_sent_again_it_is_told_beside_the_field(plant, desk):
    unit, per = plant.unit(), desk("per")
    pass_on(per, unit, "paint", walk="")

    again = pass_on(per, unit, "paint", walk="")

    assert again.status_code == 422
    assert '<option value="paint">' not in per.get(f"/units/{unit}").text
    assert len(plant.rows("stations_passed", unit)) == 1


def test_a_mark_says_on_the_card_where_it_was_found(plant, desk):
    unit = plant.unit()
    pass_on(desk("per"), unit, "paint", walk="")
    plant.ines.mark(unit, plant.ines.start_walk(unit), "nib", DOOR, "B1", size=15)

    assert "found at Floor and windows" in desk("per").words(f"/units/{unit}")
    assert "B1: dirt nib, S4" in desk("per").words(f"/units/{unit}/history")
    assert ", found at floor and windows." in desk("per").words(f"/units/{unit}/history")


def test_a_mark_found_before_its_maker_was_at_the_van_is_asked_about_on_card_floor_and_inbox(plant, desk):
    unit = plant.unit()
    pass_on(desk("per"), unit, "paint", walk="")
    plant.ines.mark(unit, plant.ines.start_walk(unit), "clip", "left.moulding_cab_door", "B1")

    asked = "Found at floor and windows, before Trim has been at the van at exterior; judge who made it"
    ines = desk("ines")
    for page in (f"/units/{unit}", "/", "/questions"):
        assert asked in ines.words(page), page


def test_the_sheet_says_shortly_where_a_mark_was_found(plant, desk):
    unit = plant.unit()
    pass_on(desk("per"), unit, "exterior", walk="")
    walked(plant, unit, ("swirl", DOOR, {"size": 300}))
    put_right(plant, unit)
    looked_again(plant, unit)
    plant.ines.confirm(unit)
    assert plant.ines.sign(unit).outcome == "applied"

    data = tell(plant.journal.folder.path, unit, "A")

    assert [marker.found_at for marker in data.markers] == ["Finish"]
    assert b"%PDF" in make_sheet(data)[:8]


def test_a_painted_part_is_kept_as_entered_by_the_plants_clock(plant, desk, journal):
    journal.record(plant.maud.ticket, "plant", "setting_changed", {"name": "timezone", "value": "Asia/Tokyo"})
    unit, per = plant.unit(), desk("per")

    answer = paint(per, unit, sprayer=plant.people["thanh"], mix="FG-0412", flame_at="2026-03-14T09:30", painted_at="2026-03-14T10:15")  # fmt: skip

    assert answer.status_code == 302, said(answer)
    (row,) = plant.rows("painted", unit)
    told = [datetime.fromisoformat(f"2026-03-14T{clock}+09:00").timestamp() * 1000 for clock in ("09:30", "10:15")]
    assert [row["flame_at"], row["at"]] == told
    page = per.words(f"/units/{unit}")
    assert " Booth 2, sprayed by Nguyễn Thanh mix FG-0412 flame-treated 2026-03-14 09:30 2026-03-14 10:15" in page


@pytest.mark.parametrize(("name", "words"), [("Booth 2", "Booth 2"), ("north", "north"), ("2", "booth 2")])
def test_a_booth_is_called_booth_once(app, name, words):
    with app.test_request_context("/"):
        assert booth_words(name) == words


def test_on_a_phone_the_state_of_a_unit_comes_before_its_marks(plant, desk):
    page = desk("maud").words(f"/units/{plant.unit()}")
    assert page.index("Place and keys") < page.index("Markers")


@pytest.mark.parametrize(
    ("more", "field", "why"),
    [
        ({"booth": " "}, "booth", "'Booth' is missing"),
        ({"painted_at": ""}, "painted_at", "'Painted' is missing"),
        ({"painted_at": "tomorrow"}, "painted_at", "'Painted' is not a date with a time"),
        ({"painted_at": "2090-01-01T10:00"}, "painted_at", "lies in the future"),
        ({"flame_at": "2026-03-14T10:16"}, "flame_at", "the flame comes first"),
    ],
)
def test_what_cannot_be_is_said_beside_its_field_and_the_rest_stays(plant, desk, more, field, why):
    unit, per = plant.unit(), desk("per")

    answer = paint(per, unit, **{"painted_at": "2026-03-14T10:15", "mix": "FG-0412", **more})

    assert answer.status_code == 422
    assert why in fault_beside(answer, field)
    assert 'value="FG-0412"' in answer.text
    assert plant.rows("painted", unit) == []


def test_a_unit_there_is_not_is_a_sentence_and_404(plant, desk):
    unit, per = plant.unit(), desk("per")

    for path in ("stations", "painted"):
        answer = per.send(f"/units/nowhere/{path}", page=f"/units/{unit}")
        assert (answer.status_code, "There is no such unit" in said(answer)) == (404, True)
