"""Concessions: asked by an inspector, agreed by others than asker and fixer, two names for an S2, never for an S1."""

from datetime import UTC, datetime

import pytest
from playwright.sync_api import expect
from signed_units import concession, put_right, walked
from walking import Tablet, eventually

from inspect_app.journal.verify import verify
from sample_units.hands import new_id


@pytest.fixture
def unit(plant):
    return plant.unit()


@pytest.fixture
def minor(plant, unit):
    return walked(plant, unit, ("scratch", "rear.door_left_upper", {"severity": "S4"}))[0]


def test_a_manager_agrees_and_the_marker_is_conceded_and_leaves_the_work(plant, client_as, unit, minor):
    key = concession(plant, unit, minor)

    answer = client_as("maud").post(f"/concessions/{key}/agree", json={})

    assert (answer.status_code, answer.json["state"]) == (200, "agreed")
    assert plant.row("markers", minor)["state"] == "conceded"
    assert plant.per.jobs(unit) == []


def test_a_day_is_written_as_on_every_other_list(plant, client_as):
    unit = plant.unit(due=round(datetime(2027, 3, 5, 12, tzinfo=UTC).timestamp() * 1000))
    marker = walked(plant, unit, ("scratch", "rear.door_left_upper", {"severity": "S4"}))[0]
    concession(plant, unit, marker)

    assert "due Fri 5 Mar" in client_as("maud").get("/concessions").text


def test_a_refusal_needs_its_reason_and_leaves_the_marker_in_the_work(plant, client_as, unit, minor):
    key = concession(plant, unit, minor)
    client = client_as("maud")

    assert client.post(f"/concessions/{key}/refuse", json={}).status_code == 422
    answer = client.post(f"/concessions/{key}/refuse", json={"reason": "Three minutes with the machine."})

    assert answer.json["state"] == "refused"
    assert plant.row("markers", minor)["state"] == "open"
    assert "Three minutes with the machine." in client.get("/concessions").text


def test_an_s1_is_never_conceded(plant, unit):
    marker = walked(plant, unit, ("sensor", "front.sensor_area", {}))[0]
    body = {"concession": new_id(), "marker": marker}
    private = {"reason": "It works.", "customer": "Mr Holm", "channel": "by telephone"}

    answer = plant.ines.do(unit, "concession_asked", body, private)

    assert (answer.outcome, answer.reason) == ("refused", "An S1 is never conceded; it has to be put right.")


def test_an_s2_takes_a_manager_first_and_one_more_name(plant, client_as, unit):
    marker = walked(plant, unit, ("clip", "left.moulding_sliding_door", {}))[0]
    key = concession(plant, unit, marker)
    second = client_as("lukasz")

    too_soon = second.post(f"/concessions/{key}/agree", json={})
    first = client_as("maud").post(f"/concessions/{key}/agree", json={})
    twice = client_as("maud").post(f"/concessions/{key}/agree", json={})
    last = second.post(f"/concessions/{key}/agree", json={})

    assert "A manager has to agree before anyone else." in too_soon.json["error"]["message"]
    assert first.json["state"] == "asked"
    assert "one more named person" in twice.json["error"]["message"]
    assert (last.json["state"], len(last.json["approvers"])) == ("agreed", 2)
    assert plant.row("markers", marker)["state"] == "conceded"


def test_what_became_an_s2_after_it_was_asked_for_takes_two_names_as_well(plant, client_as, unit, minor):
    key = concession(plant, unit, minor)
    plant.ines.do(unit, "marker_amended", {"marker": minor, "severity": "S2"})
    maud = client_as("maud")
    assert "An S2 needs a manager and one more name" in maud.get("/concessions").text

    first = maud.post(f"/concessions/{key}/agree", json={})
    assert (first.json["state"], first.json["needed"]) == ("asked", 2)
    assert plant.row("markers", minor)["state"] == "open"

    assert client_as("lukasz").post(f"/concessions/{key}/agree", json={}).json["state"] == "agreed"
    assert plant.row("markers", minor)["state"] == "conceded"
    assert verify(plant.journal.folder.path).clean


def test_what_became_an_s1_is_agreed_to_by_nobody(plant, client_as, unit, minor):
    key = concession(plant, unit, minor)
    plant.ines.do(unit, "marker_amended", {"marker": minor, "severity": "S1"})

    answer = client_as("maud").post(f"/concessions/{key}/agree", json={})

    assert answer.json["error"]["message"] == "An S1 is never conceded; it has to be put right."
    assert plant.row("concessions", key)["approvers"] == "[]"


def test_an_id_of_a_concession_is_used_once(plant, unit, minor):
    key = concession(plant, unit, minor)
    client_words = {"reason": "Only from below.", "customer": "Mr Holm"}
    plant.maud.online(unit, "concession_refused", {"concession": key, "reason": "Three minutes."})

    again = plant.ines.do(unit, "concession_asked", {"concession": key, "marker": minor}, client_words)

    assert (again.outcome, again.code) == ("refused", "concession_exists")


def test_whoever_asked_cannot_agree(plant, client_as, unit, minor):
    key = concession(plant, unit, minor, by="maud")

    answer = client_as("maud").post(f"/concessions/{key}/agree", json={})

    assert answer.status_code == 403
    assert answer.json["error"]["message"] == "Whoever asked for a concession cannot agree to it."
    assert "Whoever asked for a concession cannot agree to it." in client_as("maud").get("/concessions").text


def test_whoever_worked_on_the_marker_cannot_agree(plant, client_as, unit):
    walk = plant.ines.start_walk(unit)
    marker = plant.ines.mark(unit, walk, "residue", "front.bonnet", "B1")
    plant.maud.do(unit, "put_right_here", {"marker": marker, "how": "wipe"})
    key = concession(plant, unit, marker)

    answer = client_as("maud").post(f"/concessions/{key}/agree", json={})

    assert answer.status_code == 403
    assert "You logged work on this marker" in answer.json["error"]["message"]


def test_an_inspector_alone_cannot_refuse_and_a_technician_sees_nothing_of_it(plant, client_as, unit, minor):
    key = concession(plant, unit, minor)

    assert client_as("lukasz").post(f"/concessions/{key}/refuse", json={"reason": "No."}).status_code == 403
    assert client_as("per").get("/concessions").status_code == 403
    assert client_as("per").post(f"/concessions/{key}/agree", json={}).status_code == 403
    assert plant.row("concessions", key)["state"] == "asked"


def test_what_waits_stands_on_the_list_with_reason_customer_and_limit(plant, client_as, unit, minor):
    concession(plant, unit, minor)

    page = client_as("maud").get("/concessions").text

    for wanted in ("Only seen from below.", "Mr Holm", "by telephone", "scratch", "S4", "Ines Okafor"):
        assert wanted in page


def test_a_concession_without_reason_or_customer_is_refused(plant, unit, minor):
    body = {"concession": new_id(), "marker": minor}

    bare = plant.ines.do(unit, "concession_asked", body, {"customer": "Mr Holm"})
    nobody = plant.ines.do(unit, "concession_asked", {**body, "concession": new_id()}, {"reason": "Only from below."})

    assert (bare.outcome, nobody.outcome) == ("refused", "refused")
    assert "'customer' is missing" in nobody.reason


def test_a_decided_concession_is_decided(plant, client_as, unit, minor):
    key = concession(plant, unit, minor)
    client = client_as("maud")
    client.post(f"/concessions/{key}/agree", json={})

    assert client.post(f"/concessions/{key}/refuse", json={"reason": "After all not."}).status_code == 409
    assert client.post(f"/concessions/{new_id()}/agree", json={}).status_code == 404


def test_an_unanswered_concession_blocks_the_signing(plant, client_as, unit, minor):
    concession(plant, unit, minor)
    put_right(plant, unit)

    page = client_as("maud").get(f"/sign-off/{unit}").text

    assert "The concession for B1 is not answered" in page
    assert "data-agree" in page


@pytest.mark.browser
def test_an_inspector_asks_at_the_van_while_the_server_is_away(plant, page_as):
    unit = plant.unit()
    walk = plant.ines.start_walk(unit)
    marker = plant.ines.mark(unit, walk, "nib", "left.sliding_door_lower", "B1", size=15)
    page = page_as("ines", f"/walk/{unit}")
    tablet = Tablet(page).view("left")
    expect(page.locator("#van .marks .ring-tag")).to_have_count(1)
    page.context.set_offline(True)
    tablet.rest()
    ring = page.locator("#van .marks .ring-hit").first.bounding_box()
    page.touchscreen.tap(ring["x"] + ring["width"] / 2, ring["y"] + ring["height"] / 2)
    page.locator("#kept [data-key=more]").tap()
    page.locator("[data-key=concede]").tap()
    page.get_by_label("Why may it stay as it is?").fill("Only seen from below.")
    page.get_by_label("Who agreed for the customer?").fill("Mr Holm")
    page.get_by_role("button", name="Ask", exact=True).tap()
    assert plant.rows("concessions", unit) == []
    page.context.set_offline(False)

    expect(page.locator("[data-sent]").first).to_have_text("All sent", timeout=30_000)
    asked = [(marker, "asked")]
    eventually(page, lambda: [(one["marker"], one["state"]) for one in plant.rows("concessions", unit)] == asked)
