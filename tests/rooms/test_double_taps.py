"""Two taps where one is meant: the thing is done once, and nobody is asked about the second."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect
from reworked_units import Finger, open_job, open_unit, read, reworked, sent, walked

pytestmark = pytest.mark.browser

SWIRL = ("swirl", "left.cab_door_lower", {"size": 300})  # polished by machine: nothing to wait for
TWICE = """(pressed) => {
  pressed.click();
  pressed.click();
}"""

HOLD = """() => {
  window.went = 0;
  addEventListener('submit', (event) => {
    if (!event.defaultPrevented) window.went += 1;
    event.preventDefault();
  });
}"""  # counts what the browser would send, and keeps the page


def twice(found):
    """Press something twice, before anything can have come of the first."""
    expect(found).to_be_visible()
    found.evaluate(TWICE)


def kept(plant, unit):
    """What was kept of a unit, and how each was taken."""
    rows = plant.journal.read().execute(
        "SELECT type, outcome FROM events WHERE stream = ? ORDER BY n", (f"unit:{unit}",)
    )
    return [(row["type"], row["outcome"]) for row in rows]


def test_a_walk_is_begun_once(plant, page_as):
    unit = plant.unit()
    page = page_as("ines", f"/walk/{unit}")
    twice(page.locator("[data-purpose=first]"))
    expect(page.locator("#foot")).to_be_visible()
    sent(page)
    assert [walk["state"] for walk in plant.rows("walks", unit)] == ["walking"]


def test_at_the_bench_a_job_is_taken_examined_done_otherwise_and_done_once(plant, page_as):
    unit, (marker,) = walked(plant, SWIRL)
    page = page_as("per", "/rework", size="wide")
    open_job(page, "Left cab door")
    page.get_by_text("What decides more").tap()
    twice(page.locator("[data-fact=depth][data-value=base]"))
    page.locator(".ways li[data-method=machine_polish] button").tap()
    twice(page.locator("dialog").get_by_role("button", name="A manager agreed"))
    read(page)
    twice(page.locator("[data-act=take]"))
    page.locator("[data-act=done]").tap()
    page.locator("dialog [data-value='15']").first.tap()
    twice(page.locator("dialog .dialog-foot .btn-main"))
    expect(page.locator("[data-part=says]")).to_contain_text("now waits for its second look")
    sent(page)
    told = kept(plant, unit)
    assert {outcome for _, outcome in told} == {"applied"}
    for once in ("spot_examined", "method_chosen", "job_taken", "work_done"):
        assert [type for type, _ in told].count(once) == 1, once
    assert plant.row("markers", marker)["state"] == "reworked"
    expect(page.locator("[data-sent]")).to_have_text("All sent")


def test_on_the_second_look_a_zone_is_looked_at_once_and_the_walk_ends_once(plant, page_as):
    unit, _ = reworked(plant, SWIRL)
    page = open_unit(page_as, unit)
    finger = Finger(page)
    finger.tap(page.locator("#van .ring[data-state=reworked] .ring-hit"))
    twice(page.locator("[data-act=clear]"))
    expect(page.locator("#kept")).to_contain_text("B1 is cleared.")
    sent(page)
    twice(page.locator("[data-act=look]").first)
    expect(page.locator("#pane-foot")).to_contain_text("Everything is decided.")
    page.wait_for_timeout(800)  # the foot takes no tap at once: the finger may still be on what stood there before
    twice(page.locator("[data-act=finish]"))
    expect(page.locator("#pane")).to_contain_text("The second look is finished")
    sent(page)
    told = [type for type, _ in kept(plant, unit)]
    again = told[told.index("marker_cleared") :]
    assert [again.count(one) for one in ("marker_cleared", "zone_looked", "walk_finished")] == [1, 1, 1]
    expect(page.locator("[data-sent]")).to_have_text("All sent")


def test_a_form_at_a_desk_is_sent_once(page_as):
    page = page_as("maud", "/setup/catalogue/departments/paint")
    page.evaluate(HOLD)
    press = page.get_by_role("button", name="Keep", exact=True)
    press.tap()
    page.wait_for_function("() => window.went === 1")
    press.tap()
    press.tap()
    assert page.evaluate("() => window.went") == 1


def test_the_menu_of_a_walk_of_a_second_look_and_of_a_sign_off_leads_to_the_card(plant, page_as):
    unit = plant.unit()
    page = page_as("ines", f"/walk/{unit}")
    for path in (f"/walk/{unit}", f"/again/{unit}", f"/sign-off/{unit}"):
        page.goto(path)
        page.locator("details.more summary").tap()
        expect(page.get_by_role("link", name="Card", exact=True)).to_have_attribute("href", f"/units/{unit}")
