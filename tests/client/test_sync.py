"""Sending: nothing lost, nothing doubled, whatever the network does; and back by itself when it is over."""

from __future__ import annotations

import pytest
from playwright.sync_api import BrowserContext, Page, Route

from .conftest import Tablet
from .stub import Stub

pytestmark = pytest.mark.browser

ANSWERS_HEARD = "() => window.tell.filter(({ topic, detail }) => topic === 'status' && detail.message).length > 1"


def test_nothing_is_lost_or_doubled_while_the_server_misbehaves(tablet: Tablet, stub: Stub) -> None:
    sent: list[str] = []
    for mode in ("fault", "html", "to_login", "silent", "forgetful", "cut"):
        tags = [f"{mode} 1", f"{mode} 2"]
        tablet.run("(ms) => { window.settings.syncTimeout = ms }", 300 if mode == "silent" else 20_000)
        stub.mode = mode
        tablet.run("() => { window.tell.length = 0 }")
        tablet.mark(*tags)
        tablet.until(ANSWERS_HEARD)
        held = tablet.waiting()
        stub.mode = "well"
        tablet.until_sent()

        sent += tags
        assert held == tags
        assert stub.tags == sent


def test_what_is_kept_while_the_server_is_switched_off_goes_out_when_it_is_back(tablet: Tablet, stub: Stub) -> None:
    stub.stop()
    tablet.mark("B1", "B2")
    tablet.until_phase("away")
    held = tablet.waiting()
    stub.start(stub.port)
    tablet.until_sent()

    assert held == ["B1", "B2"]
    assert stub.tags == ["B1", "B2"]


def test_a_lost_answer_makes_no_double(tablet: Tablet, stub: Stub) -> None:
    stub.mode = "forgetful"
    tablet.mark("B1")
    tablet.until(ANSWERS_HEARD)
    stub.mode = "well"
    tablet.until_sent()
    sent = [event["id"] for asked in stub.requests for event in asked["events"]]

    assert len(sent) > 1
    assert len(set(sent)) == 1
    assert stub.tags == ["B1"]


def test_an_expired_sign_in_pauses_and_asks_once(tablet: Tablet, stub: Stub) -> None:
    stub.mode = "signed_out"
    tablet.mark("B1", "B2", "B3")
    tablet.until_phase("signin")
    tries = (
        "() => window.tell.filter(({ topic, detail }) => topic === 'status' && detail.phase === 'signin').length > 4"
    )
    tablet.until(tries)
    asked = tablet.run("() => window.tell.filter(({ topic }) => topic === 'signin-needed').length")

    assert asked == 1
    assert tablet.waiting() == ["B1", "B2", "B3"]
    assert stub.tags == []


def test_only_named_events_leave_the_outbox(tablet: Tablet, stub: Stub) -> None:
    stub.unanswered.add("zone_looked")
    tablet.run("() => window.outbox.keep({ type: 'zone_looked', stream: 'unit:u1', body: {} })")
    tablet.mark("B1")
    tablet.until("async () => (await window.outbox.waiting()).length === 1")

    assert tablet.waiting() == ["zone_looked"]


def test_a_batch_that_is_too_large_is_halved(tablet: Tablet, stub: Stub) -> None:
    stub.mode, stub.most = "fault", 3
    tags = [f"B{i}" for i in range(1, 12)]
    tablet.mark(*tags)
    stub.mode = "well"
    tablet.until_sent()

    assert stub.tags == tags
    assert max(len(asked["events"]) for asked in stub.requests) > 3


def test_an_event_the_server_cannot_read_stays_and_blocks_nobody(tablet: Tablet, stub: Stub) -> None:
    stub.mode = "fault"
    stub.unreadable.add("zone_looked")
    tablet.mark("B1")
    tablet.run("() => window.outbox.keep({ type: 'zone_looked', stream: 'unit:u1', body: {} })")
    tablet.mark("B2")
    stub.mode = "well"
    tablet.until("async () => (await window.outbox.waiting())[0]?.stuck")
    tablet.until("async () => (await window.outbox.waiting()).length === 1")
    stub.unreadable.clear()  # the server was updated
    tablet.until_sent()

    assert [event["type"] for event in stub.events] == ["marker_made", "marker_made", "zone_looked"]


def test_batches_hold_two_hundred_at_most(tablet: Tablet, stub: Stub) -> None:
    stub.mode = "fault"
    tags = [f"B{i}" for i in range(1, 402)]
    tablet.run("(tags) => Promise.all(tags.map((tag) => window.mark(tag)))", tags)
    stub.mode = "well"
    tablet.until_sent()

    assert stub.tags == tags
    assert max(len(asked["events"]) for asked in stub.requests) == 200
    assert stub.requests[-1]["pending"] == 0


def test_two_tabs_send_each_event_once(tablet: Tablet, stub: Stub) -> None:
    other = Tablet(tablet.page.context.new_page(), tablet.address).open()
    for i in range(1, 6):
        tablet.mark(f"B{i}")
        other.mark(f"B{i + 10}")
    tablet.until_sent()
    sent = [event["id"] for asked in stub.requests for event in asked["events"]]

    assert len(sent) == len(set(sent)) == 10


def test_a_tab_that_has_only_just_begun_is_not_taken_for_a_dead_one(tablet: Tablet) -> None:
    """The lock is had, the lease not yet written: another tab waits the time of a lease before it takes the lock away."""
    begun = """async () => {
      const { alone, LEASE_MS } = await import('/client/flush_lock.js');
      let done;
      void navigator.locks.request('lampwalk-flush', () => new Promise((end) => { done = end; }));
      await new Promise((soon) => { setTimeout(soon, 50); });
      const told = [await alone(async () => {}), await alone(async () => {})];
      const { now } = Date;
      Date.now = () => now() + LEASE_MS + 1;
      told.push(await alone(async () => {}));
      Date.now = now;
      done();
      return told;
    }"""

    assert tablet.run(begun) == [False, False, True]


def test_plain_http_has_none_of_the_conveniences_and_works(plain_tablet: Tablet, stub: Stub) -> None:
    lacking = plain_tablet.run(
        "() => [isSecureContext, 'locks' in navigator, 'randomUUID' in crypto, 'subtle' in crypto]"
    )
    other = Tablet(plain_tablet.page.context.new_page(), plain_tablet.address).open()
    for i in range(1, 6):
        plain_tablet.mark(f"B{i}")
        other.mark(f"B{i + 10}")
    plain_tablet.until_sent()
    sent = [event["id"] for asked in stub.requests for event in asked["events"]]

    assert lacking == [False, False, False, False]
    assert len(sent) == len(set(sent)) == 10


def asked_on_leaving(tablet: Tablet, stub: Stub) -> list[str]:
    """What the browser asks when a page is closed that has something unsent."""
    stub.mode = "fault"
    tablet.page.mouse.click(5, 5)  # browsers ask only when the page was touched
    tablet.mark("B1")
    tablet.until_phase("away")
    other = tablet.page.context.new_page()
    asked: list[str] = []
    closed: list[bool] = []
    tablet.page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.accept()))
    tablet.page.on("close", lambda _: closed.append(True))
    tablet.page.close(run_before_unload=True)
    for _ in range(250):
        if closed:
            break
        other.wait_for_timeout(20)
    assert closed
    return asked


def test_leaving_with_unsent_work_is_asked_about_on_plain_http(plain_tablet: Tablet, stub: Stub) -> None:
    assert asked_on_leaving(plain_tablet, stub) == ["beforeunload"]


def test_leaving_with_unsent_work_is_asked_about_over_https_as_well(tablet: Tablet, stub: Stub) -> None:
    assert asked_on_leaving(tablet, stub) == ["beforeunload"]


def test_a_page_that_a_service_worker_holds_is_left_without_a_question(tablet: Tablet, stub: Stub) -> None:
    holds = "Object.defineProperty(navigator, 'serviceWorker', { value: { controller: { state: 'activated' } } })"
    tablet.run(f"() => void {holds}")

    assert asked_on_leaving(tablet, stub) == []


def test_coming_back_online_amid_a_try_in_vain_is_not_forgotten(tablet: Tablet) -> None:
    tries: list[Route] = []
    tablet.page.route("**/sync", lambda route: tries.append(route) or (route.abort() if len(tries) != 15 else None))
    tablet.mark("B1")
    for _ in range(400):
        if len(tries) == 15:  # by now it would wait for minutes, if it were let
            break
        tablet.page.wait_for_timeout(20)
    tablet.run("() => { window.settings.retryCap = 3600000; dispatchEvent(new Event('online')); }")
    tries[14].abort()
    tablet.page.unroute("**/sync")

    tablet.until_sent()


def test_coming_back_online_sends_at_once(context: BrowserContext, tablet: Tablet, stub: Stub) -> None:
    context.set_offline(True)
    tablet.mark("B1")
    tablet.until_phase("away")
    tablet.run("() => Object.assign(window.settings, { retryBase: 3600000, retryCap: 3600000 })")
    tablet.run("() => window.sync.flush()")
    context.set_offline(False)
    tablet.until_sent()

    assert stub.tags == ["B1"]


def test_the_clock_is_estimated_and_written_on_events(tablet: Tablet, stub: Stub) -> None:
    stub.ahead_ms = 3_600_000
    tablet.run("async () => (await import('/client/identity.js')).refresh()")
    tablet.mark("B1")
    tablet.until_sent()
    event = stub.events[0]

    assert abs(event["at"] + event["offset"] - stub.now()) < 60_000
    assert abs(event["offset"] - 3_600_000) < 60_000


def test_a_better_sample_wins_and_a_set_clock_is_noticed(modules: Page) -> None:
    script = """async () => {
      const { better } = await import('/client/clock.js');
      const sample = (saidNow, askedAt, heardAt) => ({ saidNow, askedAt, heardAt });
      const first = better(null, sample(10_500, 0, 1000));
      const worse = better(first, sample(13_000, 2000, 4000));
      const sharper = better(first, sample(13_100, 2900, 3100));
      const moved = better(sharper, sample(13_200, 90_000, 90_900));
      return [first.offset, worse.offset, sharper.offset, moved.offset];
    }"""

    assert modules.evaluate(script) == [10_000, 10_000, 10_100, -77_250]


def test_waits_grow_are_jittered_and_end_at_the_cap(modules: Page) -> None:
    script = """async () => {
      const { pause } = await import('/client/backoff.js');
      const at = (failures, random) => pause(failures, { base: 1000, cap: 30000 }, () => random);
      return [at(1, 0), at(1, 0.5), at(3, 0.5), at(20, 0.999999)];
    }"""

    assert modules.evaluate(script) == [125, 625, 2125, 30125]
