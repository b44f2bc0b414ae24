"""Pages at a desk, which read no feed: the strip says what is so, whatever page it is."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect
from walking import eventually

pytestmark = pytest.mark.browser


def test_a_page_at_a_desk_notices_that_the_server_is_gone_is_back_and_knows_nobody(page_as):
    page = page_as("maud", "/questions")
    said = page.locator("[data-sent]")
    expect(said).to_have_text("All sent")

    page.context.set_offline(True)
    expect(said).to_have_text("Server out of reach")
    page.context.set_offline(False)
    expect(said).to_have_text("All sent")

    page.context.clear_cookies(name="lampwalk")
    page.evaluate("() => dispatchEvent(new Event('online'))")
    expect(page.locator("dialog #sign-in-pin")).to_be_visible()
    expect(said).to_have_text("Not signed in")


def test_it_looks_by_itself_now_and_then(page_as):
    page = page_as("maud", "about:blank")
    page.clock.install()
    page.goto("/questions")
    said = page.locator("[data-sent]")
    expect(said).to_have_text("All sent")
    page.route("**/me", lambda route: route.abort())
    for _ in range(3):  # the first may come before the page has begun to look
        page.clock.fast_forward(21_000)
        page.wait_for_timeout(300)
    expect(said).to_have_text("Server out of reach")
    page.unroute("**/me")
    page.clock.fast_forward(21_000)
    expect(said).to_have_text("All sent")


def test_a_form_stays_with_what_was_typed_while_the_server_is_away_or_knows_nobody(page_as):
    page = page_as("maud", "/units/new")
    page.fill("#make", "Ottervale")
    page.context.set_offline(True)
    page.locator("main form .btn-main").tap()
    line = page.locator("main form .says[role=alert]")
    expect(line).to_contain_text("The server does not answer, and nothing was sent.")
    expect(page.locator("#make")).to_have_value("Ottervale")
    page.context.set_offline(False)
    expect(line).to_contain_text("The server answers again")

    page.context.clear_cookies(name="lampwalk")
    page.evaluate("() => dispatchEvent(new Event('online'))")
    page.locator("dialog #sign-in-pin").wait_for()
    page.locator("dialog").get_by_role("button", name="Later").tap()
    page.locator("main form .btn-main").tap()
    expect(line).to_contain_text("sign in and press once more")


def test_who_is_asked_whether_to_leave_and_stays_can_press_again(page_as, plant):
    page = page_as("maud", f"/setup/people/{plant.people['per']}")
    forms = page.locator("main form[method=post]")
    page.context.set_offline(True)
    forms.nth(0).locator(".btn-main").tap()
    expect(forms.nth(0).locator(".says[role=alert]")).to_contain_text("nothing was sent")
    page.context.set_offline(False)
    expect(forms.nth(0).locator(".says[role=alert]")).to_contain_text("The server answers again")

    for stays in (True, False):
        with page.expect_event("dialog") as asked:
            page.once("dialog", lambda dialog, stays=stays: dialog.dismiss() if stays else dialog.accept())
            forms.nth(1).locator("button").first.dispatch_event("click")
        assert asked.value.type == "beforeunload"
    eventually(page, lambda: plant.row("people", plant.people["per"])["state"] == "left")
