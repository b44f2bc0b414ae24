"""Forms that come late or strangely: pages grown old are shown again as they were typed, names no keyboard writes refused."""

from __future__ import annotations

import re

import pytest
from accessible import faults_everywhere
from desk import Desk, fault_beside, said

from inspect_app.rooms import doors
from tests.lent import EMPTY

NEW = {"name": "Noor Haddad", "roles": ["technician"], "departments": ["trim", "glass"], "pin": "7351"}


@pytest.fixture
def maud(client_as):
    return Desk(client_as("maud"))


def plant_events(plant, event_type) -> int:
    sql = "SELECT count(*) FROM events WHERE stream = 'plant' AND type = ?"
    return plant.journal.read().execute(sql, (event_type,)).fetchone()[0]


def person(plant, name):
    return plant.journal.read().execute("SELECT 1 FROM people WHERE name = ?", (name,)).fetchone()


# A bell (C0 of ISO/IEC 6429), a next-line of C1, and from UAX #9 the override that turns about what follows it.
UNWRITTEN = ["Jo\x07rid", "Jorid\x9f", "Jo\u202edir"]


@pytest.mark.parametrize("name", UNWRITTEN)
def test_a_name_that_cannot_be_written_by_hand_is_refused_for_people_and_tablets(plant, maud, name):
    before = plant_events(plant, "person_added"), plant_events(plant, "tablet_named")
    answers = [
        maud.send("/setup/people/new", **{**NEW, "name": name}),
        maud.send(f"/setup/people/{plant.people['per']}", name=name, roles=["inspector"]),
        maud.send(f"/setup/tablets/{plant.ines.tablet}", name=name),
        maud.send("/setup/tablets/new", name=name),
    ]

    for answer in answers:
        assert answer.status_code == 422
        assert "'Name' holds a character that cannot be written or printed" in fault_beside(answer, "name")
    assert (plant_events(plant, "person_added"), plant_events(plant, "tablet_named")) == before


def test_names_of_every_script_and_with_joiners_are_taken(plant, maud):
    names = ["Дмитро Ґ.", "نازنین\u200cزهرا", "Siobhán O’Dea", "李 小龍"]  # ZWNJ belongs to Persian spelling
    for name in names:
        assert maud.send("/setup/people/new", **{**NEW, "name": name}).status_code == 302
        assert person(plant, name)


OLD_FORMS = {
    "units.new": ("/units/new", {"make": "Kept word", "chassis": "ZZBRT6L10KA047312"}),
    "units.correct": (
        "/units/{unit}/correct",
        {"make": "Kept word", "model": "T", "colour": "grey", "finish": "solid"},
    ),
    "units.place": ("/units/{unit}/place", {"place": "Kept word"}),
    "people.mine": ("/my-settings", {"language": "en"}),
    "setup.add": ("/setup/people/new", {**NEW, "name": "Kept word"}),
    "setup.change": ("/setup/people/{per}", {"name": "Kept word", "roles": "inspector"}),
    "setup.pin": ("/setup/people/{per}/pin", {"pin": "8642", "again": "8642"}),
    "setup.tablet": ("/setup/tablets/{tablet}", {"name": "Kept word"}),
    "setup.admit_tablet": ("/setup/tablets/new", {"name": "Kept word"}),
    "setup.settings": ("/setup/settings", {"plant": "Kept word", "timezone": "UTC", "paper": "a4"}),
    "setup.outbox": ("/setup/outbox", {}),
    "setup.import_": ("/setup/units/import", {}),
    "setup.new_row": ("/setup/catalogue/methods/new", {"label": "Kept word"}),
    "setup.change_row": ("/setup/catalogue/kinds/nib", {"label": "Kept word"}),
    "setup.change_rules": ("/setup/catalogue/rules/budgets", {"budgets_budgets_0_most": "Kept word", "keep": "y"}),
    "setup.limits": ("/setup/catalogue/limits/nib", {"a_any-max_size": "Kept word", "keep": "y"}),
}


def test_every_form_that_is_shown_again_is_tried_here():
    assert OLD_FORMS.keys() == doors.SHOWN_AGAIN


@pytest.mark.parametrize("form", OLD_FORMS)
def test_a_page_grown_old_writes_nothing_and_is_shown_again_as_it_was_typed(plant, maud, form):
    path, typed = OLD_FORMS[form]
    path = path.format(unit=plant.unit(), per=plant.people["per"], tablet=plant.ines.tablet)
    count = "SELECT count(*) FROM events"
    before = plant.journal.read().execute(count).fetchone()[0]

    answer = maud.client.post(path, data={**typed, "csrf_token": "of yesterday"})

    assert plant.journal.read().execute(count).fetchone()[0] == before
    assert answer.status_code in (200, 422)
    assert "This page had grown old, so nothing was sent." in said(answer)
    assert ("Kept word" in typed.values()) == ("Kept word" in answer.text)
    fresh = re.search(r'name="csrf_token"[^>]* value="([^"]+)"', answer.text)
    assert fresh
    assert fresh[1] != "of yesterday"
    assert "had grown old" not in maud.client.post(path, data={**typed, "csrf_token": fresh[1]}).text


def test_what_is_no_form_of_ours_is_not_taken_with_an_old_token(app, plant, maud):
    answer = maud.client.post(f"/setup/tablets/{plant.ines.tablet}/out", data={"csrf_token": "of yesterday"})

    assert (answer.status_code, plant.row("tablets", plant.ines.tablet)["state"]) == (403, "admitted")
    stranger = app.test_client().post(
        "/setup/people/new", data={**NEW, "csrf_token": "x"}, headers={"Accept": "text/html"}
    )
    assert stranger.status_code == 403


@pytest.mark.browser
def test_the_pages_that_managers_and_newcomers_seldom_see_are_clean_to_axe(page_as):
    page = page_as("maud", EMPTY)
    for path in (
        "/my-settings",
        "/admit",
        "/sign-out",
        "/setup",
        "/setup/tablets",
        "/setup/tablets/new",
        "/setup/outbox",
    ):
        page.goto(path)
        assert [f"{path} {fault}" for fault in faults_everywhere(page)] == []
