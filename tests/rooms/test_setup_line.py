"""The stations of the line, and the timers of cautions, are the plant's own: changed on pages, in versions, as all of the catalogue."""

from __future__ import annotations

import pytest
from desk import Desk, fault_beside, said
from test_setup_catalogue import published, send

from inspect_app.trade import catalogue_toml
from inspect_app.trade.catalogue_diff import changes
from inspect_app.trade.stations import furthest, not_yet, stands_at
from sample_units.hands import new_id

STATIONS = "/setup/catalogue/stations"


@pytest.fixture
def maud(client_as):
    return Desk(client_as("maud"))


def line_of(plant) -> list[str]:
    return list(plant.journal.catalogue().stations)


def test_a_station_is_added_between_two_with_its_departments(plant, maud):
    fields = {"label": "Water test", "after": "exterior", "departments": ["trim", "glass"], "why": "a bay of its own"}
    assert send(maud, f"{STATIONS}/new", **fields).status_code == 302

    assert line_of(plant) == ["paint", "floor", "exterior", "water_test", "finish", "final"]
    assert "Water test" in maud.words(STATIONS)
    _, card = maud.words(f"/units/{plant.unit()}").split("On the line")
    assert card.index("Exterior") < card.index("Water test") < card.index("Finish")


def test_a_station_is_moved_and_renamed_and_the_versions_say_so(plant, maud):
    old = plant.journal.catalogue()
    moved = send(maud, f"{STATIONS}/finish", label="Polish and clean up", after="floor")
    assert moved.status_code == 302

    assert line_of(plant) == ["paint", "floor", "finish", "exterior", "final"]
    told = [
        (one.field, one.was, one.now)
        for one in changes(old, plant.journal.catalogue())
        if one.field != "where it comes from"
    ]
    assert told == [
        ("name", "Finish", "Polish and clean up"),
        (
            "order",
            "Paint, Floor and windows, Exterior, Polish and clean up, Final inspection",
            "Paint, Floor and windows, Polish and clean up, Exterior, Final inspection",
        ),
    ]


def test_a_form_that_is_kept_as_it_was_makes_no_version(plant, maud):
    for path in (f"{STATIONS}/paint", f"{STATIONS}/finish", "/setup/catalogue/cautions/flame"):
        assert send(maud, path).status_code == 302

    assert published(plant) == 1


def test_a_retired_station_is_offered_nowhere_and_vans_that_passed_it_stand_behind_it(plant, maud):
    unit = plant.unit()
    plant.per.online(unit, "station_passed", {"station": "exterior"})
    maud.send(f"{STATIONS}/exterior/retired", page=f"{STATIONS}/exterior", made_from=plant.journal.catalogue().hash)

    found = plant.journal.catalogue()
    assert found.stations["exterior"].retired
    assert [stands_at(found, key) for key in ("floor", "exterior", "final")] == ["finish", "finish", "final"]
    assert furthest(found, "floor", "exterior") == "exterior"
    assert not_yet(found, "trim", "floor") is None  # its station is gone: it may have been at the van
    fresh = maud.get(f"/units/{plant.unit()}").text
    assert 'value="exterior"' not in fresh
    assert "Exterior" in maud.words(f"/units/{unit}")
    late = maud.send(f"/units/{plant.unit()}/stations", page=f"/units/{unit}", station="exterior", walk="")
    assert "is not a station of this plant" in said(late)


def test_a_station_that_a_file_leaves_out_is_retired_and_comes_back_with_it(plant):
    found = plant.journal.catalogue()
    text = catalogue_toml.write(found)
    start = text.index("[stations.finish]")
    without = catalogue_toml.read(text[:start] + text[text.index("\n[", start) :], found)

    assert without.faults == ()
    assert without.catalogue.stations["finish"].retired
    again = catalogue_toml.read(text, without.catalogue)
    assert again.catalogue == found


def test_the_minutes_of_a_timer_are_the_plants_own_from_now_on(plant, maud):
    assert send(maud, "/setup/catalogue/cautions/flame", timer_minutes="90", timer_least="60").status_code == 302
    assert "Timer: Fire watch, 90 min, at least 60" in maud.words("/setup/catalogue/cautions")

    body = {"timer": new_id(), "caution": "flame", "place": "flame station", "minutes": 45}
    assert plant.per.do(plant.unit(), "timer_started", body).code == "minutes"


def test_any_caution_gets_a_timer_or_loses_it(plant, maud):
    dust = "/setup/catalogue/cautions/dust"
    assert send(maud, dust, timer="Dust settles", timer_minutes="10").status_code == 302
    assert send(maud, "/setup/catalogue/cautions/glass", timer="", timer_minutes="", timer_least="").status_code == 302

    found = plant.journal.catalogue().cautions
    assert (found["dust"].timer, found["dust"].timer_minutes, found["glass"].timer) == ("Dust settles", 10, "")


def test_a_timer_without_minutes_is_said_beside_them(plant, maud):
    faulty = send(maud, "/setup/catalogue/cautions/flame", timer_minutes="20")

    assert faulty.status_code == 422
    assert "proposes fewer minutes than it takes" in fault_beside(faulty, "timer_least")
    assert published(plant) == 1


CAUTIONS = "/setup/catalogue/cautions"
FORKLIFT = {"label": "Forklift", "danger": "It crosses the bay.", "wear": "A vest.", "wait": "Until it has passed."}


def test_a_caution_of_the_plants_own_is_added_and_stands_on_the_job_that_asks_for_it(plant, maud):
    fields = {**FORKLIFT, "pictogram": "caution-moves", "timer": "Way clear", "timer_minutes": "5"}
    assert send(maud, f"{CAUTIONS}/new", **fields).status_code == 302
    method = "/setup/catalogue/methods/denib_polish"
    names = [*plant.journal.catalogue().methods["denib_polish"].cautions, "forklift"]
    assert send(maud, method, cautions=names).status_code == 302

    found = plant.journal.catalogue().cautions_of("denib_polish")[-1]
    assert (found.label, found.pictogram, found.timer_minutes) == ("Forklift", "caution-moves", 5)
    assert "It crosses the bay." in maud.words(CAUTIONS)


def test_a_new_caution_has_the_plain_sign_until_one_is_chosen_and_says_what_is_missing(plant, maud):
    faulty = send(maud, f"{CAUTIONS}/new", **{**FORKLIFT, "wear": ""})
    assert "'Wear' is missing" in fault_beside(faulty, "wear")
    assert published(plant) == 1

    assert send(maud, f"{CAUTIONS}/new", **FORKLIFT).status_code == 302
    assert plant.journal.catalogue().cautions["forklift"].pictogram == "ui-warn"


def test_a_caution_is_retired_only_when_no_method_asks_for_it(plant, maud):
    page = f"{CAUTIONS}/flame"
    refused = maud.send(f"{page}/retired", page=page, made_from=plant.journal.catalogue().hash)
    assert refused.status_code == 422
    assert "names the caution 'flame', which is retired" in said(refused)

    send(maud, f"{CAUTIONS}/new", **FORKLIFT)
    page = f"{CAUTIONS}/forklift"
    assert maud.send(f"{page}/retired", page=page, made_from=plant.journal.catalogue().hash).status_code == 302
    assert plant.journal.catalogue().cautions["forklift"].retired
    assert "Forklift" not in maud.words("/setup/catalogue/methods/denib_polish")
