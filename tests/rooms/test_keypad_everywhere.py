"""The keypad for the last six is one tap away on every page of whoever is signed in, also while the server is away."""

import pytest
from accessible import at_each_size
from playwright.sync_api import expect
from signed_units import ready
from walking import Tablet

pytestmark = pytest.mark.browser

LEAST = 48  # px; the touch target this house asks for (WCAG 2.2, 2.5.8, asks for 24)
PAGES = (
    "/", "/units", "/units/{unit}", "/walk/{unit}", "/rework", "/again", "/again/{unit}", "/sign-off", "/sign-off/{unit}",
    "/concessions", "/rates", "/setup", "/setup/people", "/setup/units/import", "/setup/settings",
)  # fmt: skip


def test_every_page_of_whoever_is_signed_in_has_the_keypad_one_tap_away(plant, page_as):
    unit = ready(plant)
    page = page_as("maud", "/", size="phone")
    for path in PAGES:
        assert page.goto(path.format(unit=unit)).ok, path
        button = page.locator(".strip [data-find-unit]")
        expect(button).to_have_count(1)
        boxes = {size: button.bounding_box() for size in at_each_size(page)}
        assert {size: box for size, box in boxes.items() if min(box["width"], box["height"]) < LEAST} == {}, path
        button.tap()
        expect(page.get_by_role("dialog")).to_contain_text("Find a unit")


@pytest.mark.parametrize("path", ["/walk/{unit}", "/again/{unit}", "/sign-off/{unit}"])
def test_no_strip_of_a_unit_is_wider_than_a_phone(plant, page_as, path):
    page = page_as("maud", path.format(unit=ready(plant)), size="phone")
    expect(page.locator(".strip h1")).to_contain_text("047")

    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert page.locator(".strip").bounding_box()["height"] <= 2 * 60


def test_the_walks_keypad_finds_what_the_tablet_remembers_while_the_server_is_away(plant, page_as):
    unit, other = plant.unit("047312"), plant.unit("118840")
    page = page_as("ines", "/")
    page.wait_for_function("async () => (await (await import('/client/feed.js')).cachedRows('')).units?.length === 2")
    page.goto(f"/walk/{unit}")
    Tablet(page).begin()
    page.context.set_offline(True)
    page.locator("[data-find-unit]").tap()
    for digit in "118":
        page.get_by_role("button", name=digit, exact=True).tap()

    expect(page.get_by_role("dialog").locator(f"a[href='/walk/{other}']")).to_contain_text("118 840")


def test_a_digit_typed_into_the_keypad_chooses_no_kind_for_the_ring_that_is_laid(plant, page_as):
    unit = plant.unit()
    tablet = Tablet(page_as("ines", f"/walk/{unit}")).begin().view("left")
    tablet.touch("left.sliding_door_lower")
    expect(tablet.page.locator("#dock")).to_be_visible()
    tablet.tap("[data-find-unit]")
    tablet.page.get_by_role("button", name="2", exact=True).tap()  # the focus is on a key now, no field
    tablet.page.keyboard.press("1")

    expect(tablet.page.get_by_label("Last six, or any part of the chassis number")).to_have_value("21")
    assert plant.rows("markers", unit) == []
    expect(tablet.page.locator("#van .marks .ring-tag")).to_have_count(0)
