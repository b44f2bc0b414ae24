"""What the server judges together is shown on the walk: a circle on the drawing, words in the line and in the list."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect
from walking import Tablet

from sample_units.hands import new_id

pytestmark = pytest.mark.browser


def test_two_nibs_too_near_each_other_get_a_circle_and_a_sentence_on_the_walk(page_as, plant):
    # Nibs on the class in plain view lie 300 mm or more apart: common practice, no source.
    unit = plant.unit()
    walk = plant.ines.start_walk(unit)
    spot = {"view": "left", "x": 32000, "y": 19000, "spread": 0}
    tablet = Tablet(page_as("ines", f"/walk/{unit}"))
    expect(tablet.page.locator("#foot")).to_be_visible()
    tablet.view("left")

    for x in (0, 1500):
        nib = {"marker": new_id(), "walk": walk, "tag": "B1", "kind": "nib", "size": 5, **spot, "x": spot["x"] + x}
        plant.ines.do(unit, "marker_made", nib)

    circle = tablet.page.locator("#van .cluster")
    expect(circle).to_have_attribute("data-outcome", "over", timeout=20_000)
    tablet.tap("#tool-list")
    line = tablet.page.locator("[data-cluster=over]")
    expect(line).to_contain_text("Dirt nib: two lie 150 mm apart on a class A part; the limit is 300 mm or more.")
    tablet.tap(".marker-line >> nth=0")
    expect(tablet.page.locator("#kept .verdict")).to_contain_text("two lie 150 mm apart")

    plant.ines.do(unit, "marker_withdrawn", {"marker": nib["marker"], "reason": "wiped off"})
    expect(circle).to_have_count(0, timeout=20_000)
    expect(line).to_have_count(0)
