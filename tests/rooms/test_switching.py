"""Changing who works on a tablet while the server is away: by PIN, among those who signed in on it this shift."""

from __future__ import annotations

from contextlib import ExitStack
from types import SimpleNamespace

import pytest
from accessible import faults
from playwright.sync_api import expect
from walking import Tablet, eventually

from inspect_app.serving import running

PIN = "2580"
OURS = {"X-Lampwalk": "1"}
DOOR = "left.sliding_door_lower"
TICKETS = """async () => {
  const db = await new Promise((done) => { const r = indexedDB.open('lampwalk'); r.onsuccess = () => done(r.result); });
  const all = db.transaction('tickets').objectStore('tickets').getAll();
  const found = await new Promise((done) => { all.onsuccess = () => done(all.result); });
  db.close();
  return found.map(({ name, proof, tried }) => ({ name, tried, proof: proof && { rounds: proof.rounds,
    salt: Array.from(new Uint8Array(proof.salt)), hash: Array.from(new Uint8Array(proof.hash)) } }));
}"""


ME = """async () => {
  const db = await new Promise((done) => { const r = indexedDB.open('lampwalk'); r.onsuccess = () => done(r.result); });
  const asked = db.transaction('meta').objectStore('meta').get('me');
  const found = await new Promise((done) => { asked.onsuccess = () => done(asked.result); });
  db.close();
  return found.value.name;
}"""


# ---------------------------------------------------------------------------------------------- what the server says


def again(client, token):
    return client.post("/sign-in/again", json={"token": token})


@pytest.fixture
def shared(client_as, plant):
    """A tablet on which Ines and then Łukasz signed in; their answers."""
    client = client_as("ines")
    first = client.get("/me").json
    second = client.post("/sign-in", json={"person": plant.people["lukasz"], "pin": PIN}).json
    return SimpleNamespace(client=client, ines=first, lukasz=second)


def test_a_ticket_of_this_tablet_gives_the_session_back_without_a_new_ticket(plant, shared):
    count = "SELECT count(*) FROM tickets"
    before = plant.journal.read().execute(count).fetchone()[0]

    assert again(shared.client, shared.ines["token"]).json["name"] == "Ines Okafor"
    assert shared.client.get("/me").json["ticket"] == shared.ines["ticket"]
    assert plant.journal.read().execute(count).fetchone()[0] == before


def test_a_ticket_is_good_on_its_own_tablet_alone(app, shared, client_as):
    bare = app.test_client()
    bare.environ_base["HTTP_X_LAMPWALK"] = "1"

    assert again(client_as("per"), shared.ines["token"]).status_code == 401
    assert again(bare, shared.ines["token"]).status_code == 401


@pytest.mark.parametrize(("token", "status"), [("x.y", 401), ("", 422), (None, 422), (7, 422), (["x"], 422)])
def test_what_is_no_ticket_is_refused_and_the_session_stays(shared, token, status):
    assert again(shared.client, token).status_code == status
    assert shared.client.get("/me").json["name"] == "Łukasz Brandt"


def test_a_ticket_ends_with_its_shift_and_with_its_person(plant, shared, monkeypatch):
    row = plant.row("people", plant.people["ines"])
    left = {"person": plant.people["ines"], "roles": ["inspector"], "departments": [], "state": "left"}
    plant.journal.record_server(
        "plant", "person_changed", left, private={"name": row["name"], "pin_hash": row["pin_hash"]}
    )
    assert again(shared.client, shared.ines["token"]).status_code == 401

    later = shared.lukasz["until"] + 1
    monkeypatch.setattr(plant.journal, "clock", lambda: later)
    assert again(shared.client, shared.lukasz["token"]).status_code == 401


def test_when_their_ticket_has_ended_the_session_does_not_fall_back_to_the_one_before(plant, shared):
    row = plant.row("people", plant.people["ines"])
    less = {"person": plant.people["ines"], "roles": ["technician"], "departments": ["paint"], "state": "active"}
    plant.journal.record_server(
        "plant", "person_changed", less, private={"name": row["name"], "pin_hash": row["pin_hash"]}
    )
    assert again(shared.client, shared.ines["token"]).status_code == 401

    assert shared.client.get("/me").status_code == 401


def test_no_ticket_opens_a_tablet_that_was_shut_out(plant, shared):
    plant.journal.record(plant.maud.ticket, "plant", "tablet_shut_out", {"tablet": shared.ines["tablet"]})

    assert again(shared.client, shared.ines["token"]).json["error"]["code"] == "shut_out"


# ---------------------------------------------------------------------------------------------- on the tablet


@pytest.fixture
def server(app, plant):
    """A real server that a test can stop, and start again at the same address."""
    with ExitStack() as stack:
        house = app.extensions["lampwalk"]
        opened = [stack.enter_context(ExitStack())]
        address = opened[0].enter_context(running(app.wsgi_app, data_dir=house.journal.folder.path))
        yield SimpleNamespace(address=address, stop=opened[0].close)


@pytest.fixture
def served(request):
    """That server where a test stops it, else the one of the run."""
    return (
        request.getfixturevalue("server").address
        if "server" in request.fixturenames
        else request.getfixturevalue("served")
    )


def sign_in(page, plant, key, pin=PIN):
    """Give the tablet to somebody by the menu."""
    page.locator(".more > summary").tap()
    page.locator("[data-change-person]").tap()
    choose(page, plant, key, pin)


def choose(page, plant, key, pin=PIN):
    page.locator("#sign-in-who").select_option(plant.people[key])
    page.locator("#sign-in-pin").fill(pin)
    page.get_by_role("button", name="Sign in", exact=True).tap()


def gone(page):
    expect(page.locator("#sign-in-pin")).to_have_count(0)


def who(page):
    """Who works on the tablet, as its own store says."""
    return page.evaluate(ME)


@pytest.fixture
def shift(plant, page_as):
    """A walk under way on a tablet on which Łukasz, who reads German dates, then Ines signed in this shift by PIN."""
    body = {"person": plant.people["lukasz"], "language": "", "formats": "de_DE"}
    plant.journal.record(plant.lukasz.ticket, "plant", "person_preferred", body)
    unit = plant.unit()
    plant.ines.start_walk(unit)
    page = page_as("ines", f"/walk/{unit}")
    tablet = Tablet(page)
    for key in ("lukasz", "ines"):
        with page.expect_navigation():  # the page is made anew for them; a touch before that would be lost with it
            sign_in(page, plant, key)
    tablet.view("left")
    tablet.sent()
    return SimpleNamespace(unit=unit, page=page, tablet=tablet)


@pytest.mark.browser
def test_no_pin_is_kept_work_stays_with_its_author_pages_are_for_whoever_goes_on_and_who_has_signed_out_is_not_let_in(
    plant, shift
):
    import hashlib

    page, tablet = shift.page, shift.tablet
    kept = [one for one in page.evaluate(TICKETS) if one["proof"]]
    assert {one["name"] for one in kept} == {"Ines Okafor", "Łukasz Brandt"}
    assert PIN not in str(kept)
    for proof in (one["proof"] for one in kept):
        # Python's own PBKDF2 (RFC 8018), an independent implementation.
        assert bytes(proof["hash"]) == hashlib.pbkdf2_hmac(
            "sha256", PIN.encode(), bytes(proof["salt"]), proof["rounds"]
        )

    chosen = "() => /formats=([^;]*)/.exec(document.cookie)?.[1] ?? ''"
    assert page.evaluate(chosen) == ""
    page.route("**/*", lambda route: route.abort() if away else route.continue_())
    away = True
    hers = tablet.mark(DOOR, fx=0.3)
    sign_in(page, plant, "lukasz")
    gone(page)
    assert page.evaluate(chosen) == "de_DE"
    his = tablet.mark(DOOR, fx=0.7)
    assert who(page) == "Łukasz Brandt"

    away = False
    page.evaluate("() => dispatchEvent(new Event('online'))")
    tablet.sent()
    made = {row["tag"]: row["made_by"] for row in plant.rows("markers", shift.unit)}
    assert made == {hers: plant.people["ines"], his: plant.people["lukasz"]}
    # The server's pages are for the new person too.
    eventually(page, lambda: page.evaluate("async () => (await (await fetch('/me')).json()).name") == "Łukasz Brandt")
    page.goto("/units")
    assert page.evaluate("document.documentElement.dataset.formats") == "de-DE"

    page.goto("/sign-out")
    page.locator("#sign-out button").tap()
    page.wait_for_url("**/sign-in*")
    assert [one["name"] for one in page.evaluate(TICKETS) if one["proof"]] == ["Ines Okafor"]


@pytest.mark.browser
def test_five_wrong_pins_lock_a_ticket_until_its_owner_has_signed_in_and_with_the_server_stopped_only_who_did_is_offered(
    plant, shift, server
):
    page = shift.page
    page.route("**/sign-in**", lambda route: route.abort())
    page.locator(".more > summary").tap()
    page.locator("[data-change-person]").tap()
    for left in ("4 more tries", "3 more tries", "2 more tries", "1 more try", "for the fifth time"):
        choose(page, plant, "lukasz", "9999")
        expect(page.locator("#sign-in-fault")).to_contain_text(left)
    choose(page, plant, "lukasz")  # now the right one
    expect(page.locator("#sign-in-fault")).to_contain_text("Łukasz Brandt has to wait until the server is back")
    assert who(page) == "Ines Okafor"

    page.unroute("**/sign-in**")
    with page.expect_navigation():
        choose(page, plant, "lukasz")
    page.route("**/sign-in**", lambda route: route.abort())
    sign_in(page, plant, "ines")
    gone(page)
    sign_in(page, plant, "lukasz")
    gone(page)
    assert who(page) == "Łukasz Brandt"

    page.unroute("**/sign-in**")
    server.stop()
    page.locator(".more > summary").tap()
    page.locator("[data-change-person]").tap()
    expect(page.locator("dialog")).to_contain_text("Whoever signed in on this tablet this shift")
    expect(page.locator("#sign-in-who option")).to_have_text(["Ines Okafor", "Łukasz Brandt"])
    assert faults(page) == []
    choose(page, plant, "ines")
    gone(page)
    assert who(page) == "Ines Okafor"
