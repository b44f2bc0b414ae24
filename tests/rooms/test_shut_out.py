"""A lost tablet is shut out: its sign-ins end at once, what it sends is kept aside, in words; and it can be let in again."""

from __future__ import annotations

import pytest
from desk import Desk, said
from playwright.sync_api import expect
from walking import Tablet, eventually

from inspect_app.journal import aside
from inspect_app.journal.verify import verify

PIN = "2580"
OURS = {"X-Lampwalk": "1"}


@pytest.fixture
def maud(client_as):
    return Desk(client_as("maud"))


@pytest.fixture
def ines(client_as):
    """Ines signed in on a tablet of her own, as JSON."""
    return client_as("ines")


def turn(maud, tablet, way="out"):
    return maud.send(f"/setup/tablets/{tablet}/{way}", page="/setup/tablets/new")


def entry(me, unit, number=1, **more):
    """One walk begun, as a tablet keeps it."""
    walk = f"00000000-0000-7000-8000-{number:012d}"
    return {
        "id": f"00000000-0000-7000-9000-{number:012d}", "stream": f"unit:{unit}", "type": "walk_started", "tablet": me["tablet"],
        "seq": number, "ticket": me["ticket"], "at": me["now"], "body": {"walk": walk, "purpose": "first"}, **more,
    }  # fmt: skip


def send(client, me, *events):
    return client.post("/sync", json={"events": list(events), "tickets": [me["token"]], "pending": 0})


def kept(plant, tablet):
    sql = "SELECT * FROM refused WHERE tablet = ? ORDER BY id"
    return [dict(row) for row in plant.journal.read().execute(sql, (tablet,))]


def test_every_address_refuses_a_shut_out_tablet_at_once_with_one_sentence(plant, maud, ines):
    me = ines.get("/me").json
    turn(maud, me["tablet"])

    for answer in (ines.get("/me"), ines.get("/changes"), send(ines, me), ines.put("/photos/x", data=b"x")):
        assert (answer.status_code, answer.json["error"]["code"]) == (403, "shut_out")
        assert "This tablet was shut out" in answer.json["error"]["message"]


def test_nobody_signs_in_on_it_and_no_name_is_told(plant, maud, ines):
    turn(maud, ines.get("/me").json["tablet"])
    answer = ines.post("/sign-in", json={"person": plant.people["per"], "pin": PIN})

    assert (answer.status_code, answer.json["error"]["code"]) == (403, "shut_out")
    assert "Okafor" not in ines.get("/sign-in/names").text + ines.get("/sign-in").text


def test_what_it_sends_is_kept_aside_and_nothing_changes(plant, maud, ines):
    me, unit = ines.get("/me").json, plant.unit()
    turn(maud, me["tablet"])
    for _ in range(2):  # a tablet sends again and again
        assert send(ines, me, entry(me, unit)).status_code == 403

    assert plant.rows("walks", unit) == []
    assert [(row["code"], row["type"], row["person"]) for row in kept(plant, me["tablet"])] == [
        ("shut_out", "walk_started", plant.people["ines"])
    ]
    assert verify(plant.journal.folder.path).clean


def test_a_manager_reads_in_words_what_it_sent(plant, maud, ines):
    me, unit = ines.get("/me").json, plant.unit("047312")
    spot = {
        "marker": f"00000000-0000-7000-8000-{9:012d}",
        "tag": "H1",
        "kind": "nib",
        "view": "left",
        "zone": "left.cab_door_lower",
    }
    outline = str(plant.row("units", unit)["outline"])
    turn(maud, me["tablet"])
    send(ines, me, entry(me, unit, type="marker_made", body=spot, outline=outline, private={"note": "near the handle"}))

    words = maud.words(f"/setup/tablets/{me['tablet']}")
    assert "047 312 Marker: H1, dirt nib, left cab door, lower, near the handle Ines Okafor" in words


def test_without_a_ticket_of_ours_no_author_is_named(plant, maud, ines):
    me, unit = ines.get("/me").json, plant.unit()
    turn(maud, me["tablet"])
    send(ines, {**me, "token": me["token"][:-3] + "xyz"}, entry(me, unit))

    assert kept(plant, me["tablet"])[0]["person"] is None
    assert "by nobody this server can name" in maud.words(f"/setup/tablets/{me['tablet']}")


HOSTILE = ["x", 7, None, [], {}, {"id": 5, "type": [], "at": "soon", "body": 7}, {"type": "x" * 50_000},
           {"body": {"tag": {"a": 1}, "size": "big"}, "stream": "unit:\ud800", "at": 10**30}]  # fmt: skip


def test_nonsense_is_kept_cut_and_told_without_a_fault(plant, maud, ines):
    me = ines.get("/me").json
    turn(maud, me["tablet"])
    assert send(ines, me, *HOSTILE).status_code == 403

    assert len(kept(plant, me["tablet"])) == len(HOSTILE)
    assert max(len(row["body"]) for row in kept(plant, me["tablet"])) <= aside.LONGEST
    page = maud.get(f"/setup/tablets/{me['tablet']}")
    assert (page.status_code, "Something that cannot be read" in said(page)) == (200, True)


def test_one_tablet_cannot_fill_the_disk(plant, maud, ines, monkeypatch):
    monkeypatch.setattr(aside, "MOST", 3)
    me, unit = ines.get("/me").json, plant.unit()
    turn(maud, me["tablet"])
    send(ines, me, *(entry(me, unit, number) for number in range(10)))

    assert len(kept(plant, me["tablet"])) == 3


def test_its_ticket_is_refused_also_when_another_tablet_brings_it(plant, maud, ines, client_as):
    me, unit, other = ines.get("/me").json, plant.unit(), client_as("per")
    turn(maud, me["tablet"])
    answer = send(other, me, entry(me, unit)).json["answers"][0]

    assert (answer["outcome"], answer["code"]) == ("refused", "shut_out")
    assert plant.rows("walks", unit) == []


def test_let_in_again_it_goes_on_and_what_it_kept_is_taken(plant, maud, ines):
    me, unit = ines.get("/me").json, plant.unit()
    turn(maud, me["tablet"])
    send(ines, me, entry(me, unit))
    turn(maud, me["tablet"], "in")

    assert send(ines, me, entry(me, unit)).json["answers"][0]["outcome"] == "applied"
    assert "Taken since." in maud.words(f"/setup/tablets/{me['tablet']}")


def test_shutting_out_twice_is_one_event_and_said(plant, maud, ines):
    tablet = ines.get("/me").json["tablet"]
    for _ in range(2):
        assert turn(maud, tablet).status_code == 302
    assert "is shut out already" in maud.words("/setup/tablets")

    sql = "SELECT count(*) FROM events WHERE type = 'tablet_shut_out'"
    assert plant.journal.read().execute(sql).fetchone()[0] == 1


def test_nobody_shuts_out_the_tablet_in_hand_or_one_there_is_not(plant, maud):
    mine = maud.client.get("/me").json["tablet"]

    assert (turn(maud, mine).status_code, turn(maud, "none").status_code) == (409, 404)
    assert plant.row("tablets", mine)["state"] == "admitted"


def test_only_managers_shut_out(plant, client_as):
    answer = Desk(client_as("per")).send(f"/setup/tablets/{plant.ines.tablet}/out", page="/sign-out")

    assert answer.status_code == 403
    assert plant.row("tablets", plant.ines.tablet)["state"] == "admitted"


@pytest.mark.browser
def test_a_shut_out_tablet_says_so_and_keeps_its_work_until_it_is_let_in(plant, page_as, maud):
    unit = plant.unit()
    tablet = Tablet(page_as("ines", f"/walk/{unit}")).begin().view("left")
    tablet.sent()
    me = tablet.page.evaluate("async () => (await (await fetch('/me')).json()).tablet")
    turn(maud, me)
    tag = tablet.mark("left.sliding_door_lower")
    expect(tablet.page.locator("[data-sent]")).to_have_text("Shut out · 1 kept here")
    tablet.tap("[data-sent-button]")
    expect(tablet.page.locator("dialog")).to_contain_text("ask a manager to let it in again", ignore_case=True)
    assert "Marker: " + tag in maud.words(f"/setup/tablets/{me}")

    turn(maud, me, "in")
    tablet.page.get_by_role("button", name="Try to send now").tap()
    tablet.sent()
    eventually(tablet.page, lambda: [row["tag"] for row in plant.rows("markers", unit)] == [tag])
