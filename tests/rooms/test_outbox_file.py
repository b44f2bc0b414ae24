"""Outbox files: saved on a tablet that cannot send, brought in by a manager, entry by entry and under their authors."""

from __future__ import annotations

import base64
import io
import json

import pytest
from desk import Desk, fault_beside, said
from playwright.sync_api import expect
from reworked_units import in_reach
from test_shut_out import entry, kept, turn
from walking import Tablet

from inspect_app.journal.tickets import LATE_MS
from inspect_app.journal.verify import verify
from inspect_app.rooms.setup import outbox_file


@pytest.fixture
def maud(client_as):
    return Desk(client_as("maud"))


@pytest.fixture
def ines(client_as):
    return client_as("ines")


@pytest.fixture
def me(ines):
    return ines.get("/me").json


def whole(me, *events, **more):
    """A file as a tablet writes it."""
    file = {
        "format": "lampwalk-outbox",
        "version": 1,
        "tablet": me["tablet"],
        "saved_at": me["now"],
        "tickets": [me["token"]],
    }
    return {**file, "events": list(events), "photos": [], **more}


def bring(maud, content):
    """Send a file by the form; the answer of the form."""
    data = content if isinstance(content, bytes) else json.dumps(content).encode()
    return maud.send("/setup/outbox", file=(io.BytesIO(data), "lampwalk-outbox-B-2026-11-25.json"))


def report(maud, content) -> str:
    answer = bring(maud, content)
    assert answer.status_code == 302, answer.text
    return answer.location


def walks(plant, unit):
    return [(row["person"], row["state"]) for row in plant.rows("walks", unit)]


def brought(plant):
    return [dict(row) for row in plant.journal.read().execute("SELECT * FROM brought ORDER BY n")]


def at(plant, monkeypatch, later):
    now = plant.journal.clock() + later
    monkeypatch.setattr(plant.journal, "clock", lambda: now)


def test_each_entry_is_applied_under_its_author_and_told_in_words(plant, maud, me):
    unit = plant.unit("047312")
    page = report(maud, whole(me, entry(me, unit)))

    assert "1 applied." in maud.words(page)
    assert "047 312 Walk begun: first Ines Okafor" in maud.words(page)
    assert walks(plant, unit) == [(plant.people["ines"], "walking")]
    assert [(row["person"], row["entries"], row["late"]) for row in brought(plant)] == [(plant.people["maud"], 1, 0)]
    assert "1 entry Maud Esterházy" in maud.words(f"/setup/tablets/{me['tablet']}")
    assert verify(plant.journal.folder.path).clean


def test_a_file_brought_twice_or_sent_after_all_changes_nothing(plant, maud, me, ines):
    unit = plant.unit()
    file = whole(me, entry(me, unit))
    report(maud, file)
    again = report(maud, file)
    sent = ines.post("/sync", json={"events": file["events"], "tickets": file["tickets"]}).json["answers"][0]

    assert " 1 here already." in maud.words(again)
    assert sent["outcome"] == "applied"
    assert (len(walks(plant, unit)), len(brought(plant))) == (1, 1)


def test_entries_go_in_the_tablets_order_however_the_file_has_them(plant, maud, me):
    unit = plant.unit()
    begun = entry(me, unit, 1)
    looked = entry(
        me, unit, 2, type="zone_looked", body={**walk_of(begun), "zone": "left.cab_door_lower", "lap": "lamp"}
    )
    page = report(maud, whole(me, looked, begun))

    assert "2 applied" in maud.words(page)
    assert len(plant.rows("looks", unit)) == 1


def walk_of(begun):
    return {"walk": begun["body"]["walk"]}


def test_a_forged_ticket_is_refused_with_its_reason(plant, maud, me):
    unit = plant.unit()
    page = report(maud, whole(me, entry(me, unit), tickets=[me["token"][:-3] + "xyz"]))

    assert "missing or forged" in maud.words(page)
    assert "nobody this server can name" in maud.words(page)
    assert (walks(plant, unit), brought(plant)) == ([], [])


def test_an_entry_too_late_waits_for_a_managers_word_with_a_reason(plant, maud, me, client_as, monkeypatch):
    unit = plant.unit()
    at(plant, monkeypatch, LATE_MS + 20 * 3_600_000)
    maud = Desk(client_as("maud"))
    page = report(maud, whole(me, entry(me, unit)))
    assert "1 waits for your word. " in maud.words(page)
    assert walks(plant, unit) == []

    empty = maud.send(page, reason="  ")
    assert (empty.status_code, "'Reason' is missing" in fault_beside(empty, "reason")) == (422, True)
    assert walks(plant, unit) == []
    maud.send(page, reason="it lay in a drawer")

    assert walks(plant, unit) == [(plant.people["ines"], "walking")]
    assert [(row["person"], row["late"], row["reason"]) for row in brought(plant)] == [
        (plant.people["maud"], 1, "it lay in a drawer")
    ]
    assert "1 on Maud Esterházy's word: it lay in a drawer" in maud.words(f"/setup/tablets/{me['tablet']}")
    assert verify(plant.journal.folder.path).clean


def test_a_word_given_twice_is_one_word(plant, maud, me):
    unit = plant.unit()
    turn(maud, me["tablet"])
    page = report(maud, whole(me, entry(me, unit)))
    maud.send(page, reason="I took it from the van myself")
    again = maud.send(page, page="/setup/outbox", reason="I took it from the van myself")

    assert (again.status_code, len(brought(plant)), len(walks(plant, unit))) == (404, 1, 1)


def test_a_word_does_not_stretch_the_shift_of_a_ticket(plant, maud, me):
    unit = plant.unit()
    turn(maud, me["tablet"])
    outside = entry(me, unit, at=me["until"] + 3_600_000 - 2 * 14 * 3_600_000)
    page = report(maud, whole(me, entry(me, unit, 2), outside))
    maud.send(page, reason="looked through")

    assert "outside the shift" in maud.words(page)
    assert len(walks(plant, unit)) == 1


def test_a_photo_comes_in_with_its_entry(plant, maud, me):
    unit, photo = plant.unit(), "00000000-0000-7000-8000-00000000beef"
    announced = entry(me, unit, type="photo_added", body={"photo": photo, "role": "context"})
    data = base64.b64encode(picture()).decode()
    page = report(
        maud,
        whole(me, announced, photos=[{"photo": photo, "event": announced["id"], "type": "image/jpeg", "data": data}]),
    )

    assert plant.rows("photos", unit)[0]["state"] == "stored", maud.words(page)
    assert "Photos 1" in maud.words(page)


def picture() -> bytes:
    from PIL import Image

    made = io.BytesIO()
    Image.new("RGB", (64, 48), "#5d7183").save(made, "JPEG")
    return made.getvalue()


HOSTILE = {
    b"": "This file is empty",
    b"{": "broken or cut off",
    b"\xff\xd8\xff\xe0 no json": "broken or cut off",
    b"[" * 200_000: "broken or cut off",
    b'{"format": "lampwalk-outbox", "n": NaN}': "broken or cut off",
    b'{"format": "lampwalk-outbox", "events": ' + b"[" * 300 + b"]" * 300 + b"}": "nests deeper",
    b"7": "This is not an outbox file",
    b"null": "This is not an outbox file",
    b'{"format": "lampwalk-outbox", "version": 2}': "saved by a newer Lampwalk",
    b'{"format": "lampwalk-outbox", "version": 1}': "'tablet' in this file is not as a tablet writes it",
    b'{"format": "lampwalk-outbox", "version": 1, "tablet": "x", "tickets": [7], "events": []}': "'tickets.0' in this file",
    b'{"format": "lampwalk-outbox", "version": 1, "tablet": "x", "tickets": [], "events": []}': "nothing waited",
    b'{"format": "lampwalk-outbox", "version": 1, "tablet": "x", "tickets": [], "events": {}}': "'events' in this file",
}  # fmt: skip


@pytest.mark.parametrize("content", HOSTILE, ids=lambda content: content[:30].decode("latin-1") + str(len(content)))
def test_a_file_that_is_none_is_one_sentence_beside_its_field(plant, maud, content):
    answer = bring(maud, content)

    assert answer.status_code == 422
    assert HOSTILE[content] in fault_beside(answer, "file")


def test_more_entries_than_a_shift_can_hold_are_not_taken(maud, me):
    answer = bring(maud, whole(me, *[{}] * (outbox_file.MOST_EVENTS + 1)))

    assert "at most 5000 are taken at a time" in fault_beside(answer, "file")


NONSENSE = [7, "x", None, [], {}, {"id": 5}, {"id": "x", "type": "unit_signed", "seq": "one"},
            {"body": {"tag": {"a": 1}}, "seq": 10**30, "stream": "unit:\ud800"}]  # fmt: skip


def test_entries_of_nonsense_are_each_refused_and_the_good_one_comes_in(plant, maud, me):
    unit = plant.unit()
    page = report(maud, whole(me, *NONSENSE, entry(me, unit)))

    assert f"1 applied, {len(NONSENSE)} refused." in maud.words(page)
    assert len(kept(plant, me["tablet"])) == len(NONSENSE)
    assert verify(plant.journal.folder.path).clean


@pytest.mark.parametrize("data", ["%%%", "", "AAAA"])
def test_a_photo_that_is_none_is_refused_in_words(plant, maud, me, data):
    photo = "00000000-0000-7000-8000-00000000beef"
    announced = entry(me, plant.unit(), type="photo_added", body={"photo": photo, "role": "context"})
    page = report(maud, whole(me, announced, photos=[{"photo": photo, "data": data}]))

    assert maud.get(page).status_code == 200
    assert "Photo Refused :" in maud.words(page)


def test_what_only_the_server_does_is_not_taken_from_a_file(plant, maud, me):
    signed = entry(me, plant.unit(), type="unit_signed", body={})
    page = report(maud, whole(me, signed))

    assert "can only be done while the server is in reach" in maud.words(page)


def test_files_are_brought_in_by_managers_only(plant, client_as, me):
    ines = Desk(client_as("ines"))
    answer = ines.send("/setup/outbox", page="/sign-out", file=(io.BytesIO(json.dumps(whole(me)).encode()), "x.json"))

    assert (answer.status_code, brought(plant)) == (403, [])
    assert "This needs the role manager" in said(answer)


def test_a_report_that_is_gone_is_a_sentence(maud):
    assert "bring the file in again, nothing comes in twice" in maud.words("/setup/outbox/none")


@pytest.mark.browser
def test_what_a_tablet_cannot_send_is_saved_with_its_photo_and_brought_in(app, plant, page_as, tmp_path, maud):
    unit = plant.unit()
    tablet = Tablet(page_as("ines", f"/walk/{unit}")).begin().view("left")
    tablet.sent()
    page = tablet.page
    page.route("**/sync", lambda route: route.abort())
    tag = tablet.mark("left.sliding_door_lower")
    page.evaluate(
        """async ([unit, tag]) => {
      const { addPhoto } = await import(document.querySelector("script[src*='client/theme.js']").src.replace('theme.js', 'photo.js'));
      const canvas = Object.assign(document.createElement('canvas'), { width: 80, height: 60 });
      await new Promise((done) => canvas.toBlob(async (blob) => { await addPhoto(blob, { unit, role: 'context' }); done(); }, 'image/jpeg'));
    }""",
        [unit, tag],
    )
    tablet.tap("[data-sent-button]")
    with page.expect_download() as download:
        page.get_by_role("button", name="Save as a file").tap()
    letters = tag.rstrip("0123456789")
    assert download.value.suggested_filename.startswith(f"lampwalk-outbox-{letters}-20")
    saved = tmp_path / "file.json"
    download.value.save_as(saved)

    words = maud.words(report(maud, saved.read_bytes()))
    assert f"Marker: {tag}, dirt nib" in words
    assert [row["tag"] for row in plant.rows("markers", unit)] == [tag]
    assert [row["state"] for row in plant.rows("photos", unit)] == ["stored"]
    in_reach(page)
    page.get_by_role("button", name="Try to send now").tap()
    tablet.sent()  # sent after all: known by its ids
    assert len(plant.rows("markers", unit)) == 1


@pytest.mark.browser
def test_work_whose_ticket_is_refused_stays_on_the_tablet_until_it_was_saved(plant, page_as):
    unit = plant.unit()
    tablet = Tablet(page_as("ines", f"/walk/{unit}")).begin().view("left")
    tablet.sent()
    page = tablet.page
    page.route("**/sync", without_proof)
    tag = tablet.mark("left.sliding_door_lower")
    expect(page.locator("[data-sent]")).to_contain_text("1 to look at")
    tablet.tap("[data-sent-button]")
    panel = page.locator("#sent-list")
    expect(panel).to_contain_text(f"Marker {tag}. The sign-in this was done under is missing or forged")
    expect(panel.get_by_role("button", name="I have seen it")).to_have_count(0)

    with page.expect_download():
        panel.get_by_role("button", name="Save as a file").tap()
    panel.get_by_role("button", name="I have seen it").tap()
    expect(page.locator("[data-sent]")).to_have_text("All sent")


def without_proof(route):
    body = {**json.loads(route.request.post_data), "tickets": []}
    route.continue_(post_data=json.dumps(body))
