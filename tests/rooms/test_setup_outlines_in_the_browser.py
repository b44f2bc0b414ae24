"""By touch: an outline by numbers for a model, and a van of that model walked on it to its sheet; the page's own SVG, walked too."""

from __future__ import annotations

import io
import sys
from pathlib import Path

import pytest
from playwright.sync_api import expect
from pypdf import PdfReader
from test_whole_chain import bring_in, look_again, rework, sign, walk
from walking import Tablet, eventually

from inspect_app.journal.verify import verify

sys.path.append(str(Path(__file__).parents[1] / "trade"))
from test_outline_docs import example

pytestmark = [pytest.mark.browser, pytest.mark.timeout(600)]


def arrived(page) -> str:
    """Wait for the page of the outline that was kept; its hash."""
    page.set_default_timeout(60_000)
    page.wait_for_function("() => /outlines\\/[0-9a-f]{64}$/.test(location.pathname)")
    return page.url.rpartition("/")[2]


def for_model(page, make="Brennach", model="Tourer 6"):
    """Choose what new units are drawn on the outline whose page is open."""
    page.fill("#make", make)
    page.fill("#model", model)
    page.get_by_role("button", name="Draw new ones on this").tap()
    expect(page.locator(".says, .outline-model").filter(has_text=f"{make} {model}").first).to_be_visible()


def by_numbers(page) -> str:
    """Setup, Outlines, "New, by numbers": type, look, keep; the hash."""
    page.get_by_role("link", name="New, by numbers").tap()
    for field, value in (("name", "Short one"), ("length_mm", "5400"), ("wheelbase_mm", "3300"), ("height_mm", "2480")):
        page.fill(f"#{field}", value)
    page.get_by_label("Mid").check()
    page.get_by_label("On the left").check()
    page.get_by_role("button", name="Look at it").tap()
    expect(page.locator(".outline-view")).to_have_count(5, timeout=60_000)
    page.get_by_role("button", name="Keep this outline").tap()
    return arrived(page)


def by_svg(page, text: str) -> str:
    """Setup, Outlines, "New, from an SVG": read, look, keep; the hash."""
    page.goto("/setup/outlines/drawing")
    page.locator("input[type=file]").set_input_files(
        {"name": "own.svg", "mimeType": "image/svg+xml", "buffer": text.encode()}
    )
    page.get_by_role("button", name="Read it").tap()
    page.get_by_role("button", name="Keep this outline").tap()
    return arrived(page)


def test_a_van_of_the_model_is_walked_mended_and_signed_on_the_outline_made_for_it(plant, page_as):
    before = plant.unit("000001")
    manager = page_as("maud", "/setup/outlines")
    key = by_numbers(manager)
    for_model(manager)
    manager.goto("/setup/units/import")
    bring_in(manager)
    unit = plant.journal.read().execute("SELECT id FROM units WHERE last_six = '042788'").fetchone()["id"]
    assert plant.row("units", unit)["outline"] == key
    assert plant.row("units", before)["outline"] != key

    def lap(tablet):  # on another tablet of hers; one zone after the other by touch is test_whole_chain.py
        tablet.sent()
        plant.ines.look_everywhere(unit, plant.rows("walks", unit)[0]["id"])

    walk(page_as("ines", "/"), lap)
    eventually(page_as("per"), lambda: plant.row("units", unit)["stage"] == "in_rework")
    marker = plant.rows("markers", unit)[0]
    assert (marker["zone"], marker["part"]) == ("left.sliding_door_lower", "sliding_door_left")
    looked = {row["zone"] for row in plant.rows("looks", unit)}
    assert {"right.side_panel_lower", "right.moulding_side_panel"} <= looked
    assert "right.running_board" not in looked
    rework(page_as("per", "/rework"))
    look_again(page_as("lukasz", f"/again/{unit}"))
    eventually(page_as("per"), lambda: plant.row("units", unit)["stage"] == "to_sign")
    last = page_as("ines", f"/sign-off/{unit}")
    sign(last)

    pdf = last.context.request.get(f"/sheets/{unit}/A.pdf")
    text = "".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf.body())).pages)
    assert "Short one" in text
    assert key[:12] in text
    told = verify(plant.journal.folder.path)
    assert told.clean, told.sentence


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
