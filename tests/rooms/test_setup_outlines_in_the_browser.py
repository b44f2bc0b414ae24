"""By touch: the page's own SVG, kept and walked; what is coloured; an outline without a left side. By numbers: test_whole_chain.py."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from outlining import arrived, for_model
from playwright.sync_api import expect
from walking import Tablet, eventually

sys.path.append(str(Path(__file__).parents[1] / "trade"))
from test_outline_docs import example

pytestmark = [pytest.mark.browser, pytest.mark.timeout(600)]


def by_svg(page, text: str) -> str:
    """Setup, Outlines, "New, from an SVG": read, look, keep; the hash."""
    page.goto("/setup/outlines/drawing")
    page.locator("input[type=file]").set_input_files(
        {"name": "own.svg", "mimeType": "image/svg+xml", "buffer": text.encode()}
    )
    page.get_by_role("button", name="Read it").tap()
    page.get_by_role("button", name="Keep this outline").tap()
    return arrived(page)


def test_the_svg_of_the_docs_is_kept_as_it_stands_and_a_unit_is_walked_on_it(plant, page_as):
    manager = page_as("maud", "/setup/outlines")
    key = by_svg(manager, example())
    for_model(manager, model="Box 7")
    unit = plant.unit(model="Box 7")
    assert plant.row("units", unit)["outline"] == key

    page = page_as("ines", f"/walk/{unit}")
    tablet = Tablet(page).begin().view("left")
    tag = tablet.mark("left.box_rear")
    tablet.view("rear")
    tablet.mark("rear.door_right_lower")
    tablet.sent()

    eventually(page, lambda: len(plant.rows("markers", unit)) == 2)
    first = next(row for row in plant.rows("markers", unit) if row["tag"] == tag)
    assert (first["zone"], first["part"], first["class"]) == ("left.box_rear", "box_left", "B")
    assert first["words"].startswith("left box wall, rear half, ")


def test_what_is_coloured_changes_by_touch(plant, page_as):
    page = page_as("maud", "/setup/outlines", size="phone")
    page.locator("a.line").first.tap()
    page.wait_for_function("() => document.querySelector('[data-outline-show]') !== null")
    filled = "() => getComputedStyle(document.querySelector('.outline-view .outline-zone')).fill"
    stroked = "() => getComputedStyle(document.querySelector('.outline-view .outline-joint')).stroke"
    assert (page.evaluate(filled) == "none", page.evaluate(stroked) == "none") == (False, True)

    page.get_by_role("button", name="Joints").tap()

    assert (page.evaluate(filled) == "none", page.evaluate(stroked) == "none") == (True, False)
    expect(page.get_by_role("button", name="Joints")).to_have_attribute("aria-pressed", "true")


def test_an_outline_without_a_left_side_opens_at_the_sign_off_on_the_side_it_has(plant, page_as):
    left, rear = example().index('<g class="view" id="left"'), example().index('<g class="view" id="rear"')
    manager = page_as("maud", "/setup/outlines")
    by_svg(manager, example()[:left] + example()[rear:])
    for_model(manager, model="Box 7")

    page = page_as("ines", f"/sign-off/{plant.unit(model='Box 7')}")

    expect(page.get_by_role("button", name="Rear")).to_have_attribute("aria-pressed", "true")
    expect(page.locator("svg.drawing[data-view=rear], [data-view=rear] svg, svg[data-view=rear]").first).to_be_visible()
