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


class Taps:
    """Taps of a finger at places of a page, each at a time of its own: how long they take here decides nothing."""

    def __init__(self, page):
        self.page, self.touch = page, page.context.new_cdp_session(page)
        self.begun = page.evaluate("() => Date.now()") / 1000

    def at(self, place, ms):
        """Tap the middle of a place, so many ms after the first."""
        time = self.begun + ms / 1000
        for kind, points in (("touchStart", [place]), ("touchEnd", [])):
            self.touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points, "timestamp": time})


def middle(found):
    box = found.bounding_box()
    return {"x": box["x"] + box["width"] / 2, "y": box["y"] + box["height"] / 2}


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


UNDER = "({ x, y }) => document.elementFromPoint(x, y)?.closest('[data-act=look]')?.dataset.zone"


def looked(plant, page, unit):
    """The zones that were looked at again, in the order in which they were kept."""
    sent(page)
    rows = [row for row in plant.rows("looks", unit) if row["purpose"] == "again"]
    return [row["zone"] for row in sorted(rows, key=lambda row: row["n"])]


ZONES = ("left.cab_door_lower", "left.sliding_door_lower", "left.rear_panel_lower")


def test_a_double_tap_on_nothing_found_looks_at_one_zone_though_the_next_one_has_moved_up_under_the_finger(
    plant, page_as
):
    unit, _ = reworked(plant, *(("swirl", zone, {"size": 300}) for zone in ZONES))
    page = open_unit(page_as, unit, size="wide")
    rows = page.locator("[data-act=look]")
    rows.first.scroll_into_view_if_needed()
    before = rows.evaluate_all("(all) => all.map((one) => one.dataset.zone)")
    assert len(before) == 3
    there, taps = middle(rows.first), Taps(page)

    taps.at(there, 0)
    expect(rows).to_have_count(2)
    assert page.evaluate(UNDER, there) == before[1]  # the finger is over the next zone now
    taps.at(there, 150)
    assert looked(plant, page, unit) == before[:1]
    expect(rows).to_have_count(2)

    taps.at(there, 1000)  # meant
    expect(rows).to_have_count(1)
    assert looked(plant, page, unit) == before[:2]


def test_a_double_tap_agrees_to_one_proposal(plant, page_as):
    unit, (one, other) = walked(plant, *(("nib", zone, {"size": 8}) for zone in ZONES[:2]))
    for marker in (one, other):
        assert (
            plant.per.do(unit, "no_flaw_proposed", {"marker": marker, "job": None, "reason": "Dust"}).outcome
            == "applied"
        )
    page = open_unit(page_as, unit, size="wide")
    agree = page.locator("[data-act=agree]")
    there, taps = middle(agree.first), Taps(page)
    taps.at(there, 0)
    expect(agree).to_have_count(1)
    taps.at(there, 150)
    sent(page)
    expect(agree).to_have_count(1)
    assert sorted(plant.row("markers", marker)["state"] for marker in (one, other)) == ["no_flaw", "open"]


def test_two_quick_taps_at_two_places_look_at_two_zones(plant, page_as):
    unit, _ = reworked(plant, *(("swirl", zone, {"size": 300}) for zone in ZONES))
    page = open_unit(page_as, unit, size="wide")
    rows = page.locator("[data-act=look]")
    rows.first.scroll_into_view_if_needed()
    before = rows.evaluate_all("(all) => all.map((one) => one.dataset.zone)")
    taps = Taps(page)

    taps.at(middle(rows.nth(1)), 0)
    expect(rows).to_have_count(2)
    taps.at(middle(rows.first), 150)
    expect(rows).to_have_count(1)
    assert looked(plant, page, unit) == [before[1], before[0]]


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
