"""What was kept is not lost, whatever the page or the server does."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from tests.lent import LentPage

from .conftest import ON_A_SHOPS_NETWORK, Tablet, kill_browser
from .stub import BORIS, Stub

pytestmark = pytest.mark.browser

BURST = """async (tags) => {
  const events = await Promise.all(tags.map((tag) => window.mark(tag)));
  return events.map((event) => event.seq);
}"""


def test_a_kept_marker_survives_a_reload(tablet: Tablet, stub: Stub) -> None:
    stub.mode = "fault"
    tablet.mark("B1")

    tablet.open(start=False)

    assert tablet.waiting() == ["B1"]


def test_a_kept_marker_survives_the_browser_being_killed_at_once(browser: Browser, stub: Stub, tmp_path: Path) -> None:
    # The whole browser: the one without windows, once killed, does not open its store again (UnknownError).
    address, binary = f"http://127.0.0.1:{stub.port}/", shutil.which("chromium")
    first = browser.browser_type.launch_persistent_context(tmp_path, executable_path=binary, args=ON_A_SHOPS_NETWORK)
    tablet = Tablet(first.pages[0], address).open()
    stub.mode = "fault"
    tablet.mark("B1")
    kill_browser(tmp_path)
    stub.mode = "well"

    second = browser.browser_type.launch_persistent_context(tmp_path, executable_path=binary, args=ON_A_SHOPS_NETWORK)
    Tablet(second.pages[0], address).open().until_sent()
    second.close()

    assert stub.tags == ["B1"]


def test_sixty_markers_in_a_burst_all_arrive_in_order(tablet: Tablet, stub: Stub) -> None:
    tags = [f"B{i}" for i in range(1, 61)]

    seqs = tablet.run(BURST, tags)
    tablet.until_sent()

    assert seqs == list(range(1, 61))
    assert stub.tags == tags


def test_the_disk_has_a_marker_in_hand_before_it_is_kept_and_the_page_is_told(tablet: Tablet) -> None:
    told = tablet.run("""async () => {
      const { keep } = await import('/client/outbox.js');
      const told = [];
      const draft = { type: 'marker_made', stream: 'unit:u1', body: { tag: 'B1' } };
      await keep(draft, null, () => told.push('in hand')).then(() => told.push('kept'));
      return told;
    }""")

    assert told == ["in hand", "kept"]


def test_what_could_not_be_written_is_not_said_to_be_kept(tablet: Tablet, stub: Stub) -> None:
    fault = tablet.run("""async () => {
      const { keep } = await import('/client/outbox.js');
      const { run, got } = await import('/client/store.js');
      // Somebody else's entry already has the next number, so writing this one fails after it was handed over.
      const next = await run(['meta'], 'readonly', (tx) => got(tx.objectStore('meta').get('seq')));
      await run(['outbox'], 'readwrite', (tx) => got(tx.objectStore('outbox').add({ seq: (next?.value ?? 0) + 1, id: 'x', event: {}, retryAt: Infinity })));
      return keep({ type: 'marker_made', stream: 'unit:u1', body: { tag: 'B1' } }).then(() => 'kept', (fault) => fault.message);
    }""")

    assert fault.startswith("This tablet's storage failed (ConstraintError)")


def test_ids_are_version_7_and_sort_as_they_were_made(modules: Page) -> None:
    # RFC 9562, section 5.7: ms since 1970 in the first 48 bits, then version 7; variant 10 in byte 8.
    far = 4_000_000_000_000
    ids = modules.evaluate(
        """async (far) => {
          const { uuid7 } = await import('/client/ids.js');
          return Array.from({ length: 9000 }, () => uuid7(far));
        }""",
        far,
    )

    assert ids == sorted(set(ids))
    assert all(re.fullmatch(r"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}", i) for i in ids)
    assert int(ids[0][:13].replace("-", ""), 16) == far


def test_an_event_carries_what_proves_and_places_it(tablet: Tablet, stub: Stub) -> None:
    tablet.run("() => window.outbox.madeWith({ catalogue: 'c1', outline: 'o1' })")
    draft = {"type": "marker_made", "stream": "unit:u1", "body": {"tag": "B1"}, "private": {"note": "by the handle"}}
    tablet.run("(draft) => window.outbox.keep(draft)", draft)
    tablet.until_sent()
    event = stub.events[0]

    assert (event["tablet"], event["ticket"], event["catalogue"], event["outline"]) == ("tab-1", "t-p-anna", "c1", "o1")
    assert event["private"] == {"note": "by the handle"}
    assert stub.requests[-1]["tickets"] == ["signed:t-p-anna"]


def test_an_item_keeps_its_first_author_when_someone_else_signs_in(tablet: Tablet, stub: Stub) -> None:
    stub.mode = "signed_out"
    tablet.mark("B1")
    stub.person, stub.mode = BORIS, "well"
    tablet.run("async () => (await import('/client/identity.js')).refresh()")
    tablet.mark("B2")
    tablet.until_sent()

    assert [event["ticket"] for event in stub.events] == ["t-p-anna", "t-p-boris"]
    assert {token for asked in stub.requests for token in asked["tickets"]} >= {"signed:t-p-anna", "signed:t-p-boris"}


def test_a_refused_event_stays_in_sight_until_it_is_dismissed(tablet: Tablet, stub: Stub) -> None:
    reason = "You logged work on this marker, so someone else has to look at it again."
    stub.refuse["marker_cleared"] = ("refused", reason)
    kept = tablet.run("() => window.outbox.keep({ type: 'marker_cleared', stream: 'unit:u1', body: { marker: 'm1' } })")
    tablet.until_sent()
    tablet.open()

    held = tablet.run("() => window.outbox.answers()")
    tablet.run("(id) => window.outbox.dismiss(id)", kept["id"])

    assert [(a["outcome"], a["reason"], a["event"]["body"]) for a in held] == [("refused", reason, {"marker": "m1"})]
    assert tablet.run("() => window.outbox.answers()") == []


def test_a_lost_connection_to_the_store_is_opened_again(tablet: Tablet, stub: Stub) -> None:
    tablet.mark("B1")
    tablet.run("async () => (await import('/client/store.js')).disconnect()")
    tablet.mark("B2")
    tablet.until_sent()

    assert stub.tags == ["B1", "B2"]


def test_a_full_tablet_says_so_and_does_not_say_kept(lent: LentPage, stub: Stub) -> None:
    # Chromium lets a test set the quota of an origin, before its page is open.
    tablet = Tablet(lent.page, f"http://127.0.0.1:{stub.port}/")
    quota = {"origin": tablet.address.rstrip("/"), "quotaSize": 1_000_000}
    lent.context.new_cdp_session(tablet.page).send("Storage.overrideQuotaForOrigin", quota)
    tablet.open()

    said = tablet.run(
        """() => {
          const data = new Uint8Array(3_000_000); // random, so that packing does not help
          for (let i = 0; i < data.length; i += 60_000) crypto.getRandomValues(data.subarray(i, i + 60_000));
          const draft = { type: 'photo_added', stream: 'unit:u1', body: { photo: 'p1' } };
          return window.outbox.keep(draft, { photo: 'p1', data: data.buffer, type: 'image/jpeg' })
            .then(() => 'kept', (fault) => fault.message);
        }"""
    )

    assert "storage is full" in said
    assert tablet.waiting() == []


def test_two_tabs_give_one_running_number(tablet: Tablet, stub: Stub) -> None:
    other = Tablet(tablet.page.context.new_page(), tablet.address).open()

    seqs = tablet.run(BURST, ["B1", "B2", "B3"]) + other.run(BURST, ["B4", "B5", "B6"])
    tablet.until_sent()

    assert sorted(seqs) == [1, 2, 3, 4, 5, 6]
    assert sorted(stub.tags) == ["B1", "B2", "B3", "B4", "B5", "B6"]


def test_with_a_sign_in_that_has_run_out_or_none_nothing_is_kept_and_it_says_so(tablet: Tablet, stub: Stub) -> None:
    tablet.run("async (me) => (await import('/client/identity.js')).remember({ ...me, until: 1000 })", stub.me())
    said = tablet.run("() => window.mark('B1').then(() => 'kept', (fault) => fault.message)")

    assert said == "Your sign-in has run out, so this was not kept; sign in and do it again."
    assert tablet.waiting() == []

    tablet.run("async () => { await (await import('/client/identity.js')).forgetMe(); window.tell.length = 0; }")
    said = tablet.run("() => window.mark('B1').then(() => 'kept', (fault) => fault.message)")

    assert said == "Nobody is signed in on this tablet, so this was not kept; sign in and do it again."
    assert tablet.waiting() == []
    assert "signin-needed" in tablet.run("() => window.tell.map(({ topic }) => topic)")


def test_a_page_that_says_whom_it_was_made_for_is_believed(lent: LentPage, stub: Stub) -> None:
    tablet = Tablet(lent.page, f"http://127.0.0.1:{stub.port}/").open()
    stub.mode, stub.person = "silent", BORIS
    tablet.open(start=False)
    tablet.run("async (me) => { await (await import('/client/start.js')).start({ me }) }", stub.me())
    stub.mode = "well"
    tablet.mark("B1")
    tablet.until_sent()

    assert [event["ticket"] for event in stub.events] == ["t-p-boris"]
