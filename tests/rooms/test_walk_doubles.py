"""Two people's marks on one spot are offered on the walk, and a person says what they are."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect
from walking import Tablet, eventually, markers

from sample_units.hands import new_id

pytestmark = pytest.mark.browser

DOOR = "left.sliding_door_lower"


@pytest.fixture
def unit(plant):
    return plant.unit()


@pytest.fixture
def two(plant, unit):
    """Ines and Łukasz have each ringed the same nib, 12 mm apart, and Łukasz a run on another door."""
    walk = plant.ines.start_walk(unit)
    spot = {"view": "left", "x": 32000, "y": 9000, "spread": 40}
    plant.ines.do(unit, "marker_made", {"marker": new_id(), "walk": walk, "tag": "B1", "kind": "nib", **spot})
    his = {**spot, "x": spot["x"] + 120}
    plant.lukasz.do(unit, "marker_made", {"marker": new_id(), "walk": walk, "tag": "C1", "kind": "nib", **his})
    plant.lukasz.mark(unit, walk, "run", "left.cab_door_lower", "C2")
    return walk


@pytest.fixture
def tablet(page_as, unit, two):
    tablet = Tablet(page_as("ines", f"/walk/{unit}"))
    expect(tablet.page.locator("#foot")).to_be_visible()
    return tablet


def test_possible_doubles_are_named_and_joined_by_a_person(tablet, plant, unit):
    expect(tablet.page.locator("#tool-doubles")).to_have_text("1 double?")
    tablet.tap("#tool-list")
    offer = tablet.page.locator("#drawer .double")
    expect(offer.locator("p")).to_have_text("B1 and C1 may be the same: 12 mm apart.")
    offer.get_by_role("button", name="Join C1 to B1").tap()

    expect(offer).to_have_count(0)
    expect(tablet.page.locator("#tool-doubles")).to_be_hidden()
    eventually(tablet.page, lambda: markers(plant, unit)["C1"]["state"] == "withdrawn")
    assert {tag: row["state"] for tag, row in markers(plant, unit).items()} == {
        "B1": "open", "C1": "withdrawn", "C2": "open",
    }  # fmt: skip


def test_what_is_called_two_flaws_is_not_offered_again(tablet, plant, unit):
    tablet.tap("#tool-list")
    tablet.page.get_by_role("button", name="Two flaws").tap()
    expect(tablet.page.locator("#drawer .double")).to_have_count(0)
    tablet.page.reload()

    expect(tablet.page.locator("#foot")).to_be_visible()
    tablet.view("left")
    expect(tablet.page.locator("#van .marks .ring-tag")).to_have_count(3)
    expect(tablet.page.locator("#tool-doubles")).to_be_hidden()
    assert [row["state"] for row in markers(plant, unit).values()] == ["open"] * 3


def test_nothing_is_joined_by_itself(tablet, plant, unit):
    expect(tablet.page.locator("#tool-doubles")).to_be_visible()
    tablet.view("right")
    tablet.mark("right.cab_door_lower")
    tablet.sent()

    assert [row["state"] for row in markers(plant, unit).values()] == ["open"] * 4
