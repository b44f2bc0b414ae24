"""When the server no longer knows who is here, and when a page is left with work that was not sent."""

from contextlib import ExitStack
from types import SimpleNamespace

import pytest
from playwright.sync_api import expect
from signed_units import PIN, ready
from walking import eventually, state, under_way

from inspect_app.serving import running

pytestmark = pytest.mark.browser

DOOR = "left.sliding_door_lower"
LEAVE = "() => void setTimeout(() => location.reload())"


@pytest.fixture
def server(app, plant):
    """A real server that a test can stop."""
    with ExitStack() as stack:
        house = app.extensions["lampwalk"]
        address = stack.enter_context(running(app.wsgi_app, data_dir=house.journal.folder.path))
        yield SimpleNamespace(address=address, stop=stack.close)


@pytest.fixture
def served(request):
    """That server where a test stops it, else the one of the run."""
    own = "server" in request.fixturenames
    return request.getfixturevalue("server").address if own else request.getfixturevalue("served")


def end_session(page):
    """The session is over; the tablet stays the tablet it is."""
    for cookie in page.context.cookies():
        if "tablet" not in cookie["name"] and cookie["name"] != "theme":
            page.context.clear_cookies(name=cookie["name"])


def panel(page):
    return page.locator("dialog", has=page.locator("#sign-in-pin"))


def test_a_sign_in_opens_over_each_page_also_when_nothing_was_kept_and_put_off_stays_away_while_the_strip_says_why(
    plant, page_as
):
    unit, page, errors = ready(plant), page_as("maud", "/"), []
    tabs = {"/": page}
    for path in (f"/walk/{unit}", "/rework", f"/again/{unit}", f"/sign-off/{unit}"):
        tabs[path] = page.context.new_page()
        tabs[path].set_viewport_size(page.viewport_size)
        tabs[path].on("pageerror", lambda error: errors.append(str(error)))
        tabs[path].on("console", lambda said: errors.append(said.text) if "Security Policy" in said.text else None)
        tabs[path].goto(path)
    for tab in tabs.values():
        tab.wait_for_load_state("networkidle")
    end_session(page)

    for path, tab in tabs.items():
        expect(panel(tab), path).to_contain_text("What is on this page stays", timeout=20_000)
        if tab is not page:
            tab.close()
    assert errors == []

    panel(page).get_by_role("button", name="Later").tap()
    expect(page.locator("[data-sent]")).to_have_text("Not signed in")
    with page.expect_response(lambda answer: "/changes" in answer.url and answer.status == 401, timeout=30_000):
        pass
    page.wait_for_timeout(300)
    assert panel(page).count() == 0
    page.locator("[data-sent-button]").tap()
    page.locator("dialog").get_by_role("button", name="Sign in").tap()
    expect(panel(page)).to_be_visible()


def test_signing_in_over_the_walk_loses_nothing_that_was_on_it_and_with_all_sent_it_is_left_without_a_question(
    plant, page_as
):
    unit = plant.unit()
    tablet = under_way(page_as, plant, unit)
    page = tablet.page
    tag = tablet.mark(DOOR)
    tablet.tap("#kept [data-key=note]")
    page.locator("#kept [name=note]").fill("half wri")
    tablet.sent()
    end_session(page)
    expect(panel(page)).to_be_visible(timeout=20_000)
    page.locator("#sign-in-who").select_option(plant.people["ines"])
    page.locator("#sign-in-pin").fill(PIN)
    page.get_by_role("button", name="Sign in", exact=True).tap()
    expect(panel(page)).to_have_count(0)
    expect(page.locator("#kept [name=note]")).to_have_value("half wri")
    page.locator("#kept [name=note]").fill("half written")
    tablet.tap("#kept [data-key=note-keep]")

    eventually(page, lambda: "half written" in str(plant.rows("markers", unit)))
    assert state(plant, unit, tag) == "open"

    tablet.sent()
    asked = []
    page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.accept()))
    with page.expect_navigation():
        page.evaluate(LEAVE)
    assert asked == []


def test_leaving_with_unsent_work_is_asked_about_when_the_server_is_gone(plant, page_as, server):
    unit = plant.unit()
    tablet = under_way(page_as, plant, unit)
    tablet.sent()
    server.stop()
    tag = tablet.mark(DOOR)
    with tablet.page.expect_event("dialog") as asked:
        tablet.page.evaluate(LEAVE)
    assert asked.value.type == "beforeunload"
    asked.value.dismiss()

    assert tablet.tags() == [tag]
    expect(tablet.page.locator("[data-sent]")).to_have_text("1 not sent yet")
