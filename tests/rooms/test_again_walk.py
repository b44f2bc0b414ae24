"""The walk of a second look in a real browser: touched zones, new flaws, its end, two tablets, no server, no mouse."""

import pytest
from accessible import at_each_size, faults_everywhere
from playwright.sync_api import expect
from reworked_units import NIB, SWIRL, Finger, open_unit, reworked, ring, sent, small_targets

from sample_units.chromium import SIZES

pytestmark = pytest.mark.browser


def test_the_walk_ends_when_all_is_decided_and_says_where_to_go_next(plant, page_as):
    unit, _ = reworked(plant, SWIRL)
    page = open_unit(page_as, unit)
    expect(page.locator("[data-act=finish]")).to_be_disabled()
    expect(page.locator("#pane-foot")).to_contain_text("Left: 1 ring to decide, 1 look to take again.")
    ring(page, "B1")
    page.locator("[data-act=clear]").tap()
    page.locator("[data-act=look]").tap()
    expect(page.locator("#pane-foot")).to_contain_text("Everything is decided.")

    page.wait_for_timeout(800)  # the foot takes no tap at once: the finger may still be on what stood there before
    page.locator("[data-act=finish]").tap()

    expect(page.locator("#pane")).to_contain_text("The second look is finished")
    expect(page.get_by_role("link", name="On to the sign-off")).to_have_attribute("href", f"/sign-off/{unit}")
    sent(page)
    assert plant.row("units", unit)["stage"] == "to_sign"


def test_two_tablets_look_again_on_one_walk(plant, page_as):
    unit, _ = reworked(plant, SWIRL, ("swirl", "right.cab_door_lower", {"size": 300}))
    first = open_unit(page_as, unit)
    ring(first, "B1")
    first.locator("[data-act=clear]").tap()
    sent(first)
    second = open_unit(page_as, unit, who="maud")
    ring(second, "B2")
    second.locator("[data-act=clear]").tap()
    sent(second)

    assert [walk["purpose"] for walk in plant.rows("walks", unit)].count("again") == 1
    expect(first.locator("#pane .marker-line")).to_have_count(0, timeout=20_000)


def test_everything_is_kept_while_the_server_is_out_of_reach_and_sent_later(plant, page_as):
    unit, (marker,) = reworked(plant, SWIRL)
    page = open_unit(page_as, unit)
    page.context.set_offline(True)
    ring(page, "B1")
    page.locator("[data-act=clear]").tap()
    expect(page.locator("#kept")).to_contain_text("B1 is cleared.")
    page.locator("[data-act=look]").first.tap()
    expect(page.locator("#pane .again-look")).to_have_count(0)
    expect(page.locator("[data-sent]")).to_have_text("3 not sent yet")
    assert plant.row("markers", marker)["state"] == "reworked"

    page.context.set_offline(False)

    sent(page)
    assert plant.row("markers", marker)["state"] == "cleared"


def test_a_manager_who_does_not_inspect_may_look_and_answer_only(plant, page_as, journal, pin_hash):
    from sample_units.hands import hire

    unit, (marker,) = reworked(plant, SWIRL)
    plant.people["bo"] = hire(journal, "Bo Lindqvist", ("manager",), (), pin_hash=pin_hash)
    page = open_unit(page_as, unit, who="bo")

    expect(page.locator("#pane")).to_contain_text("Only an inspector decides here")
    ring(page, "B1")
    expect(page.locator("[data-act=clear]")).to_have_count(0)
    assert plant.row("markers", marker)["state"] == "reworked"


def test_the_second_look_is_worked_by_keyboard_alone(plant, page_as):
    unit, (marker,) = reworked(plant, SWIRL)
    page = open_unit(page_as, unit)
    page.locator("#pane .marker-line").focus()
    page.keyboard.press("Enter")
    expect(page.locator("[data-act=clear]")).to_be_enabled()
    page.locator("[data-act=clear]").focus()
    page.keyboard.press("Enter")
    expect(page.locator("#kept")).to_contain_text("B1 is cleared.")
    sent(page)

    assert plant.row("markers", marker)["state"] == "cleared"


def test_the_second_look_is_clean_to_axe_and_big_enough_for_gloves(plant, page_as):
    unit, markers = reworked(plant, SWIRL, NIB)
    page = open_unit(page_as, unit)
    assert faults_everywhere(page) == []
    assert {size: small_targets(page, "main") for size in at_each_size(page)} == {size: [] for size in SIZES}
    ring(page, "B2")
    assert faults_everywhere(page) == []
    assert {size: small_targets(page, "main") for size in at_each_size(page)} == {size: [] for size in SIZES}
    page.goto("/again")
    assert faults_everywhere(page) == []
    assert len(markers) == 2


def test_zones_whose_looks_the_work_has_undone_are_hatched_listed_and_looked_at_in_one_tap_each(plant, page_as):
    unit, _ = reworked(plant, SWIRL)
    page = open_unit(page_as, unit)
    expect(page.locator("[data-zone='left.cab_door_lower'].zone")).to_have_attribute("data-look", "again")
    expect(page.locator("#pane .again-look")).to_contain_text(["Left cab door, lower"])
    finger = Finger(page)

    finger.tap(page.locator("[data-act=look]").first)

    expect(page.locator("#pane .again-look")).to_have_count(0)
    expect(page.locator("[data-zone='left.cab_door_lower'].zone")).not_to_have_attribute("data-look", "again")
    sent(page)
    looks = [look for look in plant.rows("looks", unit) if look["purpose"] == "again" and not look["undone"]]
    assert [(look["zone"], look["lap"]) for look in looks] == [("left.cab_door_lower", "lamp")]
    page.locator("#kept").get_by_role("button", name="Undo").tap()
    expect(page.locator("#pane .again-look")).to_have_count(1)


def test_a_new_flaw_is_marked_in_two_taps_on_this_walk_and_can_name_the_rework_that_caused_it(plant, page_as):
    unit, _ = reworked(plant, SWIRL)
    page = open_unit(page_as, unit)
    page.locator("#cause").select_option("polish")
    van = page.locator("#van").bounding_box()
    finger = Finger(page)

    page.touchscreen.tap(van["x"] + van["width"] * 0.62, van["y"] + van["height"] * 0.6)
    finger.tap(page.locator("#dock [data-kind=scratch], #dock [data-kind=nib]").first)

    expect(page.locator("#kept .tag")).to_be_visible()
    sent(page)
    (new,) = [marker for marker in plant.rows("markers", unit) if marker["tag"] != "B1"]
    (walk,) = [walk for walk in plant.rows("walks", unit) if walk["purpose"] == "again"]
    assert (new["walk"], new["caused_by"], new["state"]) == (walk["id"], "polish", "open")
