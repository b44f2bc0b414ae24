"""The walk's page as the server gives it, and the note of a tablet that leaves."""

from __future__ import annotations


def test_the_page_is_a_shell_that_names_neither_the_person_nor_the_unit(client_as, plant):
    page = client_as("ines").get(f"/walk/{plant.unit('118940')}", headers={"Accept": "text/html"})
    assert page.status_code == 200
    for told in ("Ines", "118940", "118 940", "Fjord"):
        assert told not in page.text


def test_a_technician_is_told_that_walking_needs_an_inspector(client_as, plant):
    answer = client_as("per").get(f"/walk/{plant.unit()}")
    assert answer.status_code == 403
    assert "inspector" in answer.json["error"]["message"]


def test_a_unit_nobody_knows_is_not_walked(client_as, plant):
    assert client_as("ines").get("/walk/00000000-0000-7000-8000-000000000000").status_code == 404


def held(plant, unit):
    row = plant.journal.read().execute("SELECT held FROM seen_by WHERE unit = ?", (unit,)).fetchone()
    return row and bool(row["held"])


def test_a_tablet_that_leaves_with_nothing_unsent_no_longer_holds_the_unit(client_as, plant):
    unit, ines = plant.unit(), client_as("ines")
    ines.get(f"/changes?unit={unit}&pending=0")
    assert held(plant, unit)
    assert ines.post("/presence/left", json={"unit": unit, "pending": 0}).json == {"noted": True}
    assert not held(plant, unit)


def test_a_tablet_that_leaves_with_work_unsent_still_holds_the_unit(client_as, plant):
    unit, ines = plant.unit(), client_as("ines")
    ines.get(f"/changes?unit={unit}&pending=2")
    ines.post("/presence/left", json={"unit": unit, "pending": 2})
    assert held(plant, unit)


def test_a_note_of_leaving_that_says_nothing_is_refused_in_a_sentence(client_as):
    answer = client_as("ines").post("/presence/left", json={"unit": 7})
    assert answer.status_code == 422
    assert "'pending'" in answer.json["error"]["message"]
