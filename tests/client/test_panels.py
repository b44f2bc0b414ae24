"""What is sent and what is not, in words; and signing in over the work."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from tests.lent import LentPage

from .conftest import Tablet
from .stub import Stub

pytestmark = pytest.mark.browser

MOUNT = """async () => {
  (await import('/client/status.js')).mountStatus();
  (await import('/client/signin_panel.js')).mountSignIn();
}"""


@pytest.fixture
def page(tablet: Tablet) -> Page:
    tablet.run(MOUNT)
    return tablet.page


def faults(page: Page) -> list[str]:
    """What axe finds wrong with the page."""
    return [f"{found['id']}: {found['help']}" for found in Axe().run(page).response["violations"]]


def test_the_indicator_counts_what_is_not_sent(tablet: Tablet, page: Page, stub: Stub) -> None:
    expect(page.locator("[data-sent]")).to_have_text("All sent")
    stub.mode = "fault"
    tablet.mark("B1", "B2")
    tablet.until_phase("away")

    expect(page.locator("[data-sent]")).to_have_text("2 not sent yet")
    expect(page.locator("[data-sent]")).to_have_attribute("data-state", "away")
    stub.mode = "well"
    expect(page.locator("[data-sent]")).to_have_text("All sent")


def test_a_refusal_is_read_and_dismissed(tablet: Tablet, page: Page, stub: Stub) -> None:
    reason = "This clearance arrived when the marker was not waiting for a second look."
    stub.refuse["marker_cleared"] = ("flagged", reason)
    tablet.run("() => window.outbox.keep({ type: 'marker_cleared', stream: 'unit:u1', body: { marker: 'm1' } })")
    expect(page.locator("[data-sent]")).to_have_text("1 to look at")
    page.locator("[data-sent-button]").click()
    expect(page.get_by_role("dialog")).to_contain_text(reason)
    found = faults(page)
    page.get_by_role("button", name="I have seen it").click()

    expect(page.locator("[data-sent]")).to_have_text("All sent")
    assert found == []


@pytest.mark.parametrize(
    ("status", "held", "said"),
    [
        ({"phase": "idle", "events": 0, "photos": 0}, 0, ("sent", "All sent")),
        ({"phase": "sending", "events": 2, "photos": 1}, 0, ("waiting", "3 not sent yet")),
        ({"phase": "away", "events": 0, "photos": 0}, 0, ("away", "Server out of reach")),
        ({"phase": "signin", "events": 2, "photos": 0}, 0, ("away", "Sign in to send 2")),
        ({"phase": "signin", "events": 0, "photos": 0}, 0, ("away", "Not signed in")),
        ({"phase": "away", "events": 2, "photos": 0}, 1, ("refused", "1 to look at · 2 not sent yet")),
    ],
)
def test_the_words_of_the_indicator(modules: Page, status: dict[str, object], held: int, said: tuple[str, str]) -> None:
    script = "async ([status, held]) => (await import('/client/status.js')).sentWords(status, held)"
    found = modules.evaluate(script, [status, held])

    assert (found["state"], found["words"]) == said


def test_signing_in_over_the_work_sends_what_was_kept_under_its_author(tablet: Tablet, page: Page, stub: Stub) -> None:
    stub.mode = "signed_out"
    tablet.mark("B1")
    dialog = page.get_by_role("dialog")
    expect(dialog).to_contain_text("1 entry is kept on this tablet and keeps its author")
    dialog.get_by_label("Name").select_option("Boris Beispiel")
    dialog.get_by_label("PIN").fill("2468")
    found = faults(page)
    dialog.get_by_role("button", name="Sign in").click()
    expect(dialog).to_have_count(0)
    tablet.until_sent()

    assert [event["ticket"] for event in stub.events] == ["t-p-anna"]
    assert tablet.run("async () => (await (await import('/client/identity.js')).whoAmI()).name") == "Boris Beispiel"
    assert found == []


def test_the_sign_in_opens_when_the_feed_is_refused_and_nothing_waits(tablet: Tablet, page: Page, stub: Stub) -> None:
    tablet.run("async () => { window.following = (await import('/client/feed.js')).follow('u1') }")
    stub.mode = "signed_out"
    dialog = page.get_by_role("dialog")
    expect(dialog.get_by_role("heading", name="Sign in", exact=True)).to_be_visible()
    found = faults(page)
    dialog.get_by_role("button", name="Later").click()
    expect(page.locator("[data-sent]")).to_have_text("Not signed in")
    page.wait_for_timeout(400)  # several rounds of the feed, refused each time
    assert page.get_by_role("dialog").count() == 0
    stub.mode = "well"

    expect(page.locator("[data-sent]")).to_have_text("All sent")
    assert found == []


def test_the_sign_in_opens_when_the_page_asks_who_is_here_and_nobody_is(lent: LentPage, stub: Stub) -> None:
    tablet = Tablet(lent.page, f"http://127.0.0.1:{stub.port}/").open(start=False)
    tablet.run(MOUNT)
    stub.mode = "signed_out"
    tablet.start()

    expect(tablet.page.get_by_role("heading", name="Sign in", exact=True)).to_be_visible()


def test_signing_in_in_another_tab_takes_the_panel_away_here(tablet: Tablet, page: Page, stub: Stub) -> None:
    stub.mode = "signed_out"
    tablet.mark("B1")
    expect(page.get_by_role("dialog")).to_be_visible()
    other = Tablet(page.context.new_page(), tablet.address).open(start=False)
    stub.mode = "well"
    other.start()

    expect(page.get_by_role("dialog")).to_have_count(0)
    tablet.until_sent()


def test_a_wrong_pin_is_told_and_nothing_is_lost(tablet: Tablet, page: Page, stub: Stub) -> None:
    stub.mode = "signed_out"
    tablet.mark("B1")
    dialog = page.get_by_role("dialog")
    dialog.get_by_label("PIN").fill("12")
    dialog.get_by_role("button", name="Sign in").click()
    expect(dialog.get_by_role("alert")).to_have_text("The PIN has 4 to 8 digits.")
    dialog.get_by_label("PIN").fill("1111")
    dialog.get_by_role("button", name="Sign in").click()
    expect(dialog.get_by_role("alert")).to_have_text("That is not the PIN of this name; try again.")

    assert tablet.waiting() == ["B1"]


def test_a_panel_put_off_can_be_called_back(tablet: Tablet, page: Page, stub: Stub) -> None:
    stub.mode = "signed_out"
    tablet.mark("B1")
    page.get_by_role("button", name="Later").click()
    expect(page.locator("[data-sent]")).to_have_text("Sign in to send 1")
    page.locator("[data-sent-button]").click()
    page.get_by_role("dialog").get_by_role("button", name="Sign in").click()

    expect(page.get_by_role("heading", name="Sign in to send")).to_be_visible()
