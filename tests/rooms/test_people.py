"""Signing in: by name and PIN, on a tablet that gets its letters, slowed and locked after wrong tries."""

import logging

import pytest

PIN = "2580"


@pytest.fixture
def client(app, plant):
    made = app.test_client()
    made.environ_base["HTTP_X_LAMPWALK"] = "1"
    return made


def sign_in(client, person, pin=PIN):
    return client.post("/sign-in", json={"person": person, "pin": pin})


def test_an_empty_folder_greets_the_first_visitor_with_the_first_manager(app):
    client = app.test_client()

    assert client.get("/").location == "/sign-in?next=/"
    assert client.get("/sign-in").location == "/first"
    assert "Make the first manager" in client.get("/first").text


def test_the_first_manager_is_made_once_and_can_sign_in(app):
    client = app.test_client()
    client.environ_base["HTTP_X_LAMPWALK"] = "1"
    form = {"name": "Maud  Esterházy", "pin": "2580", "again": "2580", "inspects": "y"}
    page = client.get("/first").text
    form["csrf_token"] = page.split('name="csrf_token" type="hidden" value="')[1].split('"')[0]
    assert client.post("/first", data=form).location == "/sign-in"

    people = client.get("/sign-in/names").json["people"]
    assert [person["name"] for person in people] == ["Maud Esterházy"]
    assert sign_in(client, people[0]["person"]).json["roles"] == ["manager", "inspector"]
    assert client.get("/first").location == "/sign-in"


@pytest.mark.parametrize(
    ("pin", "again", "said"),
    [
        ("12", "12", "4 to 8 digits"),
        ("abcd", "abcd", "4 to 8 digits"),
        ("1111", "1111", "guessed"),
        ("2580", "2581", "differ"),
    ],
)
def test_a_poor_pin_is_told_beside_its_field(app, pin, again, said):
    client = app.test_client()
    page = client.get("/first").text
    token = page.split('name="csrf_token" type="hidden" value="')[1].split('"')[0]
    answer = client.post("/first", data={"name": "Maud", "pin": pin, "again": again, "csrf_token": token})

    assert answer.status_code == 422
    assert said in answer.text


def test_signing_in_makes_a_ticket_for_this_tablet(client, plant):
    me = sign_in(client, plant.people["ines"]).json
    ticket = plant.journal.tickets.read(me["token"])

    assert (ticket.person, ticket.tablet) == (plant.people["ines"], me["tablet"])
    assert me["roles"] == ["inspector"]


def test_a_tablet_keeps_its_letters_whoever_signs_in(client, plant):
    first = sign_in(client, plant.people["ines"]).json
    second = sign_in(client, plant.people["per"]).json

    assert (first["tablet"], first["letters"]) == (second["tablet"], second["letters"])


def test_another_tablet_gets_other_letters(app, client, plant):
    other = app.test_client()
    other.environ_base["HTTP_X_LAMPWALK"] = "1"

    assert sign_in(client, plant.people["ines"]).json["letters"] != sign_in(other, plant.people["ines"]).json["letters"]


def test_wrong_pins_lock_the_person_and_say_how_long(client, plant):
    for _ in range(3):
        assert sign_in(client, plant.people["ines"], "9999").json["error"]["code"] == "wrong_pin"

    locked = sign_in(client, plant.people["ines"])

    assert (locked.status_code, locked.json["error"]["code"]) == (403, "locked")
    assert "wait 5 seconds" in locked.json["error"]["message"]


def test_the_lock_opens_after_its_time_and_a_right_pin_forgets_the_wrong_ones(client, plant, monkeypatch):
    for _ in range(3):
        sign_in(client, plant.people["ines"], "9999")
    later = plant.journal.clock() + 6_000
    monkeypatch.setattr(plant.journal, "clock", lambda: later)

    assert sign_in(client, plant.people["ines"]).status_code == 200
    assert sign_in(client, plant.people["ines"], "9999").json["error"]["code"] == "wrong_pin"


def test_many_wrong_pins_from_one_address_lock_it_for_every_name(client, plant):
    for key in ("ines", "lukasz", "per", "thanh"):
        for _ in range(3):
            sign_in(client, plant.people[key], "9999")

    assert sign_in(client, plant.people["zaneta"]).json["error"]["code"] == "locked"


def test_a_name_that_is_nobodys_is_a_wrong_pin_and_no_more(client, plant):
    assert sign_in(client, "nobody").json["error"]["code"] == "wrong_pin"


def test_sign_ins_and_wrong_pins_are_logged_without_the_pin(client, plant, caplog):
    with caplog.at_level(logging.INFO, "lampwalk"):
        sign_in(client, plant.people["ines"], "97531")
        sign_in(client, plant.people["ines"])

    assert "a wrong PIN for" in caplog.text
    assert "signed in on tablet" in caplog.text
    assert "97531" not in caplog.text


@pytest.mark.parametrize("target", ["https://elsewhere.test/", "//elsewhere.test", "/\\elsewhere.test", "javascript:1"])
def test_signing_in_never_leads_off_this_server(app, plant, target):
    client = app.test_client()
    page = client.get("/sign-in", query_string={"next": target}).text

    assert 'name="next" value="/"' in page


def test_a_sign_in_ends_with_its_shift(client, plant, monkeypatch):
    sign_in(client, plant.people["ines"])
    later = plant.journal.clock() + 15 * 3_600_000
    monkeypatch.setattr(plant.journal, "clock", lambda: later)

    assert client.get("/me").status_code == 401


def test_signing_out_ends_the_session(client, plant):
    sign_in(client, plant.people["ines"])
    assert client.post("/sign-out").location == "/sign-in"

    assert client.get("/me").status_code == 401


@pytest.mark.browser
def test_a_name_and_four_taps_open_the_floor(served, chromium, plant):
    page = chromium.new_context(base_url=served, has_touch=True, viewport={"width": 1180, "height": 820}).new_page()
    page.goto("/")
    page.get_by_role("button", name="Ines Okafor").tap()
    for digit in PIN:
        page.locator(f"[data-key='{digit}']").tap()
    page.get_by_role("button", name="Sign in").tap()
    page.wait_for_url(f"{served}/")

    assert page.evaluate("async () => (await (await fetch('/me')).json()).name") == "Ines Okafor"
    page.context.close()


@pytest.mark.browser
def test_a_wrong_pin_is_said_on_the_page_and_the_name_stays_picked(served, chromium, plant):
    page = chromium.new_context(base_url=served, has_touch=True, viewport={"width": 390, "height": 844}).new_page()
    page.goto("/sign-in")
    page.get_by_role("button", name="Ines Okafor").tap()
    page.locator("#pin").fill("9999")
    page.get_by_role("button", name="Sign in").tap()

    assert "not the PIN" in page.get_by_role("alert").inner_text()
    assert page.get_by_role("button", name="Ines Okafor").get_attribute("aria-pressed") == "true"
    page.context.close()
