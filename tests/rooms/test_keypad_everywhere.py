"""The keypad for the last six on a walk: while the server is away, and over a ring that is laid. See test_every_page.py."""

import pytest
from playwright.sync_api import expect
from walking import under_way

pytestmark = pytest.mark.browser


def test_the_walks_keypad_finds_what_the_tablet_remembers_while_the_server_is_away(plant, page_as):
    unit, other = plant.unit("047312"), plant.unit("118840")
    page = page_as("ines", "/")
    page.wait_for_function("async () => (await (await import('/client/feed.js')).cachedRows('')).units?.length === 2")
    plant.ines.start_walk(unit)
    page.goto(f"/walk/{unit}")
    expect(page.locator("#foot")).to_be_visible()
    page.context.set_offline(True)
    page.locator("[data-find-unit]").tap()
    for digit in "118":
        page.get_by_role("button", name=digit, exact=True).tap()

    expect(page.get_by_role("dialog").locator(f"a[href='/walk/{other}']")).to_contain_text("118 840")


def test_a_digit_typed_into_the_keypad_chooses_no_kind_for_the_ring_that_is_laid(plant, page_as):
    unit = plant.unit()
    tablet = under_way(page_as, plant, unit)
    tablet.touch("left.sliding_door_lower")
    expect(tablet.page.locator("#dock")).to_be_visible()
    tablet.tap("[data-find-unit]")
    tablet.page.get_by_role("button", name="2", exact=True).tap()  # the focus is on a key now, no field
    tablet.page.keyboard.press("1")

    expect(tablet.page.get_by_label("Last six, or any part of the chassis number")).to_have_value("21")
    assert plant.rows("markers", unit) == []
    expect(tablet.page.locator("#van .marks .ring-tag")).to_have_count(0)
