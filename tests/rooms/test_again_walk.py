"""The walk of a second look in a real browser: touched zones, new flaws, its end, two tablets, no server, no mouse."""

import pytest
from accessible import faults_everywhere
from playwright.sync_api import expect
from reworked_units import NIB, SWIRL, Finger, open_unit, reworked, ring, sent, small_targets

pytestmark = pytest.mark.browser


def test_two_tablets_look_again_on_one_walk_one_of_them_by_keyboard_alone(plant, page_as):
    unit, (marker, _) = reworked(plant, SWIRL, ("swirl", "right.cab_door_lower", {"size": 300}))
    first = open_unit(page_as, unit)
    first.locator("#pane .marker-line", has_text="B1").focus()
    first.keyboard.press("Enter")
    expect(first.locator("[data-act=clear]")).to_be_enabled()
    first.locator("[data-act=clear]").focus()
    first.keyboard.press("Enter")
    expect(first.locator("#kept")).to_contain_text("B1 is cleared.")
    sent(first)
    assert plant.row("markers", marker)["state"] == "cleared"

    second = open_unit(page_as, unit, who="maud")
    ring(second, "B2")
    second.locator("[data-act=clear]").tap()
    sent(second)

    assert [walk["purpose"] for walk in plant.rows("walks", unit)].count("again") == 1
    expect(first.locator("#pane .marker-line")).to_have_count(0, timeout=20_000)


def test_a_new_flaw_in_two_taps_can_name_the_rework_that_caused_it_and_without_the_server_all_is_kept_and_sent_later(
    plant, page_as
):
    unit, (marker,) = reworked(plant, SWIRL)
    page = open_unit(page_as, unit)
    page.locator("#cause").select_option("polish")
    van = page.locator("#van").bounding_box()
    finger = Finger(page)

    # Marking begins the walk.
    page.touchscreen.tap(van["x"] + van["width"] * 0.62, van["y"] + van["height"] * 0.6)
    finger.tap(page.locator("#dock [data-kind=scratch], #dock [data-kind=nib]").first)
    expect(page.locator("#kept .tag")).to_be_visible()
    sent(page)
    (new,) = [marker for marker in plant.rows("markers", unit) if marker["tag"] != "B1"]
    (walk,) = [walk for walk in plant.rows("walks", unit) if walk["purpose"] == "again"]
    assert (new["walk"], new["caused_by"], new["state"]) == (walk["id"], "polish", "open")

    page.context.set_offline(True)
    ring(page, "B1")
    page.locator("[data-act=clear]").tap()
    expect(page.locator("#kept")).to_contain_text("B1 is cleared.")
    page.locator("[data-act=look]").first.tap()
    expect(page.locator("#pane .again-look")).to_have_count(0)
    expect(page.locator("[data-sent]")).to_have_text("2 not sent yet")
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


def test_the_second_look_is_clean_to_axe_and_big_enough_for_gloves(plant, page_as):
    unit, markers = reworked(plant, SWIRL, NIB)
    page = open_unit(page_as, unit)
    assert faults_everywhere(page, lambda: small_targets(page, "main")) == []
    ring(page, "B2")
    assert faults_everywhere(page, lambda: small_targets(page, "main")) == []
    page.goto("/again")
    assert faults_everywhere(page) == []
    assert len(markers) == 2
