"""A person who leaves is retired: the PIN stops at once on all tablets, with the server and without it."""

from __future__ import annotations

import io
import json
import re
import shutil

import pytest
from desk import Desk
from playwright.sync_api import expect
from test_switching import TICKETS, choose, gone, sign_in
from walking import Tablet, eventually, markers, state, under_way

from inspect_app.journal import Journal
from sample_units.hands import new_id

PIN = "2580"
KEEP = """async () => (await import('/client/outbox.js')).keep({ stream: 'unit:x', type: 'zone_looked', body: {} })
  .then(() => 'kept', (fault) => fault.message)"""


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


def late_walk(plant, client_as, monkeypatch):
    """A walk that somebody began on a tablet out of reach after they had left, and their tokens."""
    event = plant.lukasz.event(plant.unit(), "walk_started", {"walk": new_id(), "purpose": "first"})
    before = plant.lukasz.event(plant.unit(), "walk_started", {"walk": new_id(), "purpose": "first"})
    retire(client_as, plant, "lukasz")
    now = plant.journal.clock() + 6_000
    monkeypatch.setattr(plant.journal, "clock", lambda: now)
    event["at"] = now
    return event, before, [plant.journal.tickets.write(plant.lukasz.ticket)]


def test_what_was_done_after_they_left_is_not_taken_but_on_a_managers_word(plant, client_as, monkeypatch):
    event, before, tokens = late_walk(plant, client_as, monkeypatch)

    after, earlier = plant.journal.sync([event, before], tokens, tablet=plant.lukasz.tablet)

    assert (after.outcome, after.code) == ("refused", "has_left")
    assert after.reason == "This was done after its author had left; save it as a file, and a manager can bring it in."
    assert earlier.outcome == "applied"
    maud = Desk(client_as("maud"))
    file = {"format": "lampwalk-outbox", "version": 1, "tablet": plant.lukasz.tablet, "tickets": tokens, "photos": []}
    content = json.dumps({**file, "saved_at": plant.journal.clock(), "events": [event]}).encode()
    page = maud.send("/setup/outbox", file=(io.BytesIO(content), "lampwalk-outbox-C-2026-11-29.json")).location
    assert "It was done after its author had left." in maud.words(page)
    assert plant.rows("walks", event["stream"].removeprefix("unit:")) == []
    maud.send(page, reason="the last day ended at noon")
    # The tablet reaches the server after all, and the file is brought again: neither is told to do it once more.
    assert plant.journal.sync([event], tokens, tablet=plant.lukasz.tablet)[0].outcome == "applied"
    page = maud.send("/setup/outbox", file=(io.BytesIO(content), "lampwalk-outbox-C-2026-11-29.json")).location
    assert "1 here already" in maud.words(page)
    other = {**event, "body": {**event["body"], "purpose": "again"}}
    assert plant.journal.sync([other], tokens, tablet=plant.lukasz.tablet)[0].code == "has_left"
    assert plant.rows("walks", event["stream"].removeprefix("unit:"))[0]["person"] == plant.people["lukasz"]


def test_what_was_taken_while_they_were_here_is_answered_so_again_though_its_clock_ran_ahead(plant, client_as):
    event = plant.lukasz.event(plant.unit(), "walk_started", {"walk": new_id(), "purpose": "first"})
    event["at"] += 180_000
    tokens = [plant.journal.tickets.write(plant.lukasz.ticket)]
    first = plant.journal.sync([event], tokens, tablet=plant.lukasz.tablet)
    retire(client_as, plant, "lukasz")

    assert first[0].outcome == "applied"
    assert plant.journal.sync([event], tokens, tablet=plant.lukasz.tablet) == first


def test_whoever_comes_back_is_taken_from_again_and_so_it_is_after_a_restart(plant, client_as, monkeypatch):
    event, _, tokens = late_walk(plant, client_as, monkeypatch)
    folder = plant.journal.folder.path
    shutil.copytree(folder, folder.with_name("restarted"), ignore=shutil.ignore_patterns("lock"))
    with Journal(folder.with_name("restarted"), clock=plant.journal.clock) as restarted:
        assert restarted.sync([event], tokens, tablet=plant.lukasz.tablet)[0].code == "has_left"
    person = plant.people["lukasz"]
    answer = Desk(client_as("maud")).send(f"/setup/people/{person}/back", page=f"/setup/people/{person}", pin="1357")
    assert answer.status_code == 302

    assert plant.journal.sync([event], tokens, tablet=plant.lukasz.tablet)[0].outcome == "applied"


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


LEFT = (
    "Whoever was signed in is no longer at work here: nothing more is kept under their name until somebody signs in, "
    "and what was kept before stays and is sent then."
)


def codes(client) -> set[str]:
    """Why a tablet is not let in, whatever it asks."""
    told = [client.get("/me"), client.get("/changes?since=0"), client.post("/sync", json={"events": [], "tickets": []})]
    assert {answer.status_code for answer in told} == {401}
    return {answer.json["error"]["code"] for answer in told}


def test_a_tablet_in_hand_is_told_that_they_left_until_somebody_signs_in_and_a_stranger_is_not(
    app, plant, client_as, monkeypatch
):
    per, ines = client_as("per"), client_as("ines")
    token = per.get("/me").json["token"]
    retire(client_as, plant, "per")
    stranger = app.test_client()
    stranger.environ_base["HTTP_X_LAMPWALK"] = "1"

    for _ in range(2):  # the first answer has taken the session
        assert codes(per) == {"has_left"}
    assert per.get("/me").json["error"]["message"] == LEFT
    assert "Per" not in per.get("/me").text
    assert codes(stranger) == {"sign_in"}
    assert stranger.post("/sign-in/again", json={"token": token}).json["error"]["code"] == "sign_in"
    assert per.post("/sign-in", json={"person": plant.people["ines"], "pin": PIN}).status_code == 200
    assert per.get("/me").status_code == 200

    now = plant.journal.clock() + 15 * 3_600_000
    monkeypatch.setattr(plant.journal, "clock", lambda: now)
    assert codes(ines) == {"sign_in"}  # run out, and at work all the same


def test_whoever_went_on_without_the_server_is_told_that_they_left(plant, client_as):
    client = client_as("per")
    token = client.get("/me").json["token"]
    client.post("/sign-in", json={"person": plant.people["ines"], "pin": PIN})
    retire(client_as, plant, "per")

    assert client.post("/sign-in/again", json={"token": token}).json["error"] == {
        "code": "has_left",
        "message": LEFT,
        "field": None,
    }
    assert codes(client) == {"has_left"}


@pytest.mark.browser
def test_a_tablet_of_somebody_who_left_keeps_nothing_more_and_sends_what_it_kept_for_whoever_signs_in(
    plant, page_as, client_as
):
    unit = plant.unit()
    tablet = under_way(page_as, plant, unit)
    page = tablet.page
    tablet.sent()
    page.route("**/sync", lambda route: route.abort())
    tag = tablet.mark("left.sliding_door_lower")
    retire(client_as, plant, "ines")
    panel = page.locator("dialog", has=page.locator("#sign-in-pin"))

    expect(panel).to_contain_text(LEFT, timeout=20_000)
    expect(panel.get_by_role("button", name="Later")).to_have_count(0)
    assert page.evaluate(KEEP) == "Nobody is signed in on this tablet, so this was not kept; sign in and do it again."
    page.keyboard.press("Escape")
    tablet.tap("#kept [data-key='size-5']")  # asked again, and for the same reason
    expect(panel).to_contain_text(LEFT)
    expect(panel.get_by_role("button", name="Later")).to_have_count(0)

    page.unroute("**/sync")
    page.locator("#sign-in-who").select_option(plant.people["lukasz"])
    page.locator("#sign-in-pin").fill(PIN)
    page.get_by_role("button", name="Sign in", exact=True).tap()
    expect(panel).to_have_count(0)
    eventually(page, lambda: state(plant, unit, tag) == "open")
    assert markers(plant, unit)[tag]["made_by"] == plant.people["ines"]
