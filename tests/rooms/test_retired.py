"""A person who leaves is retired: the PIN stops at once on all tablets, with the server and without it."""

from __future__ import annotations

import re

import pytest
from desk import Desk
from playwright.sync_api import expect
from test_switching import TICKETS, choose, gone, sign_in
from walking import Tablet, eventually

PIN = "2580"


def retire(client_as, plant, key: str) -> None:
    """What a manager does in setup."""
    person = plant.people[key]
    answer = Desk(client_as("maud")).send(f"/setup/people/{person}/left", page=f"/setup/people/{person}")
    assert answer.status_code == 302


def test_the_pin_opens_no_tablet_known_or_new(app, plant, client_as):
    known = client_as("per")
    retire(client_as, plant, "per")
    new = app.test_client()
    new.environ_base["HTTP_X_LAMPWALK"] = "1"

    for client in (known, new):
        answer = client.post("/sign-in", json={"person": plant.people["per"], "pin": PIN})
        assert (answer.status_code, plant.people["per"] in answer.text) == (403, False)
    listed = new.get("/sign-in/names").json["people"]
    assert plant.people["per"] not in {one["person"] for one in listed}


def test_sessions_that_run_end_with_the_next_request_on_every_tablet(plant, client_as):
    tablets = [client_as("per"), client_as("per")]
    tokens = [tablet.get("/me").json["token"] for tablet in tablets]
    retire(client_as, plant, "per")

    for tablet, token in zip(tablets, tokens, strict=True):
        for ask in ("/me", "/changes?since=0"):
            assert tablet.get(ask).status_code == 401
        assert tablet.post("/sync", json={"events": [], "tickets": [token], "pending": 0}).status_code == 401
        assert tablet.post("/sign-in/again", json={"token": token}).status_code == 401


def test_the_feed_of_every_other_tablet_tells_that_they_left(plant, client_as):
    ines = client_as("ines")
    since = ines.get("/changes?since=0").json["n"]
    retire(client_as, plant, "per")

    people = ines.get(f"/changes?since={since}").json["rows"]["people"]

    assert [(row["id"], row["state"]) for row in people] == [(plant.people["per"], "left")]


def test_what_they_did_before_is_still_taken_under_their_name_and_history_keeps_it(plant, client_as):
    unit = plant.unit()
    walk = plant.lukasz.start_walk(unit)
    kept = plant.lukasz.event(unit, "walk_finished", {"walk": walk})
    retire(client_as, plant, "lukasz")
    # Their tablet is in another's hands now, who sends what waited on it.
    tokens = [plant.journal.tickets.write(plant.lukasz.ticket)]
    answer = plant.journal.sync([kept], tokens, tablet=plant.lukasz.tablet)[0]
    page = Desk(client_as("ines")).words(f"/units/{unit}/history")

    assert "Łukasz Brandt began the walk" in page
    assert answer.code not in ("forged_ticket", "unknown_person")
    assert re.search(r"Łukasz Brandt finished the walk", page)


@pytest.mark.browser
def test_at_the_next_contact_a_tablet_drops_what_let_them_go_on_without_the_server(plant, page_as, client_as):
    unit = plant.unit()
    page = page_as("ines", f"/walk/{unit}")
    for key in ("lukasz", "ines"):
        sign_in(page, plant, key)
        gone(page)
    Tablet(page).begin().sent()
    proofs = {one["name"]: bool(one["proof"]) for one in page.evaluate(TICKETS) if one["proof"]}
    assert proofs == {"Łukasz Brandt": True, "Ines Okafor": True}

    retire(client_as, plant, "lukasz")
    eventually(page, lambda: not any(one["proof"] for one in page.evaluate(TICKETS) if one["name"] == "Łukasz Brandt"))

    page.route("**/sign-in**", lambda route: route.abort())
    page.locator(".more > summary").tap()
    page.locator("[data-change-person]").tap()
    expect(page.locator("#sign-in-who option")).to_have_text(["Ines Okafor"])
    choose(page, plant, "ines")
    gone(page)
