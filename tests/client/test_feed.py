"""The changes feed: cached rows are brought up to date, and thrown away after a restore."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from .conftest import Tablet
from .stub import Stub

pytestmark = pytest.mark.browser

FOLLOW = "async () => { window.feed = await import('/client/feed.js'); window.following = window.feed.follow('u1') }"
ROWS = "() => window.feed.cachedRows('u1')"
STATES = "async () => ((await window.feed.cachedRows('u1')).markers ?? []).map((row) => row.id + ' ' + row.state)"


def marker(stub: Stub, key: str, state: str) -> None:
    """Change a row on the server, as an event of another tablet would."""
    stub.n += 1
    rows = [row for row in stub.rows["markers"] if row["id"] != key]
    stub.rows["markers"] = [*rows, {"id": key, "unit": "u1", "tag": key.upper(), "state": state, "n": stub.n}]


def until_states(tablet: Tablet, *states: str) -> None:
    tablet.until(f"async () => (await ({STATES})()).sort().join() === '{','.join(sorted(states))}'")


def test_changes_made_elsewhere_appear_by_themselves(tablet: Tablet, stub: Stub) -> None:
    marker(stub, "a1", "open")
    tablet.run(FOLLOW)
    until_states(tablet, "a1 open")
    marker(stub, "a2", "open")
    marker(stub, "a1", "reworked")

    until_states(tablet, "a1 reworked", "a2 open")


def test_only_what_changed_is_asked_for(tablet: Tablet, stub: Stub) -> None:
    marker(stub, "a1", "open")
    tablet.run(FOLLOW)
    until_states(tablet, "a1 open")
    for _ in range(100):
        if "changes 304" in stub.log:
            break
        tablet.page.wait_for_timeout(20)

    assert stub.log[:2] == ["changes 0", "changes 1"]
    assert "changes 304" in stub.log
    assert "changes 0" not in stub.log[1:]


def test_after_a_restore_cached_rows_go_and_the_outbox_stays(tablet: Tablet, stub: Stub) -> None:
    marker(stub, "a1", "cleared")
    tablet.run(FOLLOW)
    until_states(tablet, "a1 cleared")
    stub.unanswered.add("marker_made")
    tablet.mark("B1")
    stub.epoch, stub.n, stub.rows["markers"] = "e2", 0, []
    marker(stub, "a9", "open")
    until_states(tablet, "a9 open")

    assert tablet.waiting() == ["B1"]


def test_polling_stops_while_the_page_is_hidden(tablet: Tablet, stub: Stub) -> None:
    tablet.run(FOLLOW)
    hide = """(hidden) => {
      Object.defineProperty(document, 'hidden', { configurable: true, get: () => hidden });
      document.dispatchEvent(new Event('visibilitychange'));
    }"""
    tablet.run(hide, True)
    tablet.page.wait_for_timeout(150)  # what was on its way comes in
    before = len(stub.log)
    tablet.page.wait_for_timeout(400)
    hidden = len(stub.log)
    tablet.run(hide, False)
    marker(stub, "a1", "open")

    until_states(tablet, "a1 open")
    assert hidden == before


def test_the_view_keeps_an_answered_marker_until_the_feed_has_it(tablet: Tablet, stub: Stub) -> None:
    # The server answers, but its feed lags behind: the ring must not blink away.
    tablet.run(
        """async (table) => {
          const { watch } = await import('/client/view.js');
          window.seen = [];
          const tagOf = ({ tag, pending }) => tag + (pending ? '?' : '');
          watch('u1', { table }, ({ state }) => window.seen.push(state.markers.map(tagOf).sort()));
        }""",
        {"guards": {}, "rows": [MADE]},
    )
    stub.fed = 0
    tablet.mark("B1")
    tablet.until_sent()
    tablet.page.wait_for_timeout(200)
    stub.rows["markers"].append({"id": "m-B1", "unit": "u1", "tag": "B1", "state": "open", "n": stub.n})
    stub.fed = None
    tablet.until("() => window.seen.at(-1).join() === 'B1'")
    seen = tablet.run("() => window.seen")
    first = seen.index(["B1?"])

    assert all(any(tag.startswith("B1") for tag in tags) for tags in seen[first:])


MADE = {
    "entity": "marker",
    "event": "marker_made",
    "from": ["none"],
    "to": "open",
    "roles": ["inspector"],
    "guards": [],
    "late": "refuse",
    "late_sentence": "",
}


def test_while_the_server_is_away_and_nothing_waits_the_strip_says_so_and_all_sent_when_it_is_back(
    tablet: Tablet, stub: Stub
) -> None:
    said = tablet.page.locator("[data-sent]")
    tablet.run("async () => (await import('/client/status.js')).mountStatus()")
    expect(said).to_have_text("All sent")
    stub.stop()
    tablet.run(FOLLOW)
    expect(said).to_have_text("Server out of reach")
    tablet.run("() => import('/client/sync.js').then((sync) => sync.flush())")  # nothing to send: nothing found out

    assert (said.inner_text(), said.get_attribute("data-state")) == ("Server out of reach", "away")
    stub.start(stub.port)
    expect(said).to_have_text("All sent")


def test_the_panel_looks_for_the_server_where_nothing_waits(tablet: Tablet, stub: Stub) -> None:
    tablet.run("async () => (await import('/client/status.js')).mountStatus()")
    stub.stop()
    tablet.run("() => import('/client/sync.js').then((sync) => sync.lookForServer())")
    tablet.page.tap("[data-sent-button]")
    again = tablet.page.locator("#sent-list").get_by_role("button", name="Try the server again")
    expect(again).to_be_visible()
    stub.start(stub.port)
    again.tap()

    expect(tablet.page.locator("[data-sent]")).to_have_text("All sent")
    expect(tablet.page.locator("#sent-list")).to_contain_text("Try to send now")
