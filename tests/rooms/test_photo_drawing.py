"""Drawing on a photo by finger and by keyboard, and seeing it wherever the photo is shown."""

from __future__ import annotations

import json

import pytest
from accessible import faults_everywhere
from PIL import Image
from playwright.sync_api import expect
from walking import Tablet, eventually, under_way

from sample_units.chromium import SIZES

pytestmark = pytest.mark.browser


@pytest.fixture
def unit(plant):
    return plant.unit()


@pytest.fixture
def photographed(page_as, plant, unit, tmp_path):
    """The walk at a marker with a photo, the photo large."""
    picture = tmp_path / "run.jpg"
    Image.new("RGB", (900, 600), "#5d7183").save(picture)
    tablet = under_way(page_as, plant, unit)
    tablet.mark("left.sliding_door_lower")
    before = tablet.page.viewport_size
    tablet.page.set_viewport_size({"width": 390, "height": 844})
    with tablet.page.expect_file_chooser() as camera:
        tablet.tap("#kept [data-key=photo]")
    camera.value.set_files(picture)
    tablet.page.set_viewport_size(before)
    eventually(tablet.page, lambda: [row["state"] for row in plant.rows("photos", unit)] == ["stored"])
    tablet.tap("#kept [data-key=more]")
    large(tablet)
    return tablet


def large(tablet):
    """Open the photo of the marker large."""
    tablet.tap("#drawer .shot-open")
    tablet.page.wait_for_function("() => document.querySelector('.shot-large img')?.naturalWidth > 0")


def marks(plant, unit):
    return json.loads(str(plant.rows("photos", unit)[0]["marks"]))


def drag(tablet: Tablet, start: tuple[float, float], end: tuple[float, float]) -> None:
    """One finger over the picture, in parts of it."""
    box = tablet.page.locator(".shot-large img").bounding_box()
    touch = tablet.page.context.new_cdp_session(tablet.page)
    for kind, at in (("touchStart", start), ("touchMove", end), ("touchEnd", None)):
        points = [] if at is None else [{"x": box["x"] + box["width"] * at[0], "y": box["y"] + box["height"] * at[1]}]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})


def test_a_ring_and_an_arrow_are_drawn_by_keyboard_and_by_finger_seen_on_the_small_photo_undone_and_clean_to_axe(
    photographed, plant, unit
):
    tablet, page = photographed, photographed.page
    page.focus("[data-form=arrow]")
    page.keyboard.press("Enter")
    expect(page.locator(".shot-pad")).to_be_focused()
    for key in ("ArrowLeft", "Enter", "ArrowRight", "ArrowRight", "Shift+ArrowDown", "Enter"):
        page.keyboard.press(key)
    eventually(page, lambda: marks(plant, unit))
    assert marks(plant, unit) == [{"form": "arrow", "x": 460, "y": 500, "x2": 540, "y2": 505}]
    tablet.tap("[data-undo-mark]")
    eventually(page, lambda: marks(plant, unit) == [])

    for size in ("wide", "phone"):
        if size == "phone":
            page.set_viewport_size(dict(zip(("width", "height"), SIZES[size], strict=True)))
            large(tablet)
            tablet.tap("[data-undo-mark]")
            eventually(page, lambda: marks(plant, unit) == [])
        tablet.tap("[data-form=ring]")
        drag(tablet, (0.4, 0.3), (0.6, 0.7))
        if size == "phone":
            expect(page.locator(".shot-large .shot-wax")).to_have_count(1)
            assert faults_everywhere(page) == []
        page.wait_for_timeout(500)
        tablet.tap("[data-form=arrow]")
        drag(tablet, (0.9, 0.1), (0.65, 0.3))
        eventually(page, lambda: [mark["form"] for mark in marks(plant, unit)] == ["ring", "arrow"])
        ring = marks(plant, unit)[0]
        assert [ring[key] for key in ("x", "x2")] == pytest.approx([400, 600], abs=30), size
        tablet.tap("[data-undo-mark]")
        eventually(page, lambda: len(marks(plant, unit)) == 1)
        tablet.tap(".shot-large .dialog-head button")
        small = page.locator("#drawer .shot-open")
        expect(small.locator(".shot-wax")).to_have_count(1)
        expect(small).to_have_attribute("aria-label", "Found, 1 ring drawn on it; large, to draw on")
