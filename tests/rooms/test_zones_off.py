"""A zone that is off the van: every place that shows it says what that blocks, and leads back."""

import pytest
from playwright.sync_api import expect
from reworked_units import SWIRL, open_unit, reworked
from signed_units import ready
from walking import Tablet, eventually, under_way

pytestmark = pytest.mark.browser

DOOR = "left.sliding_door_lower"


def take_off(plant, unit, *zones):
    assert plant.maud.do(unit, "zones_absent", {"zones": list(zones), "why": "off"}).outcome == "applied"


def is_back(plant, unit):
    return plant.row("units", unit)["absent"] == "{}"


def test_on_a_walk_it_says_what_it_blocks_gives_way_to_the_mark_before_and_one_tap_brings_it_back(plant, page_as):
    unit = plant.unit()
    take_off(plant, unit, DOOR)
    tablet = under_way(page_as, plant, unit)
    tag = tablet.mark("left.cab_door_lower")
    tablet.touch(DOOR)
    expect(tablet.page.locator("#kept")).to_contain_text(
        "Left sliding door, lower is off the van. Until it is back on it cannot be looked at or marked, "
        "so the walk cannot be finished and the unit cannot be signed."
    )
    expect(tablet.page.locator("#dock")).to_be_hidden()
    assert "rack" not in tablet.page.inner_text("body")
    tablet.tap("#go")  # on to the next zone: what was spoken of before comes back
    expect(tablet.page.locator("#kept .tag")).to_have_text(tag)

    tablet.touch(DOOR)
    expect(tablet.page.locator("#kept")).to_contain_text("is off the van")
    tablet.tap("#kept [data-back-on]")
    expect(tablet.page.locator(f"#van [data-zone='{DOOR}']")).to_have_attribute("data-look", "none")
    expect(tablet.page.locator("#go")).to_have_text("Nothing found")
    eventually(tablet.page, lambda: is_back(plant, unit))


def test_the_end_of_the_walk_names_it_and_leads_to_it(plant, page_as):
    unit = plant.unit()
    take_off(plant, unit, DOOR)
    plant.ines.look_everywhere(unit, plant.ines.start_walk(unit))
    tablet = Tablet(page_as("ines", f"/walk/{unit}"))
    tablet.tap("#go")
    tablet.page.locator("dialog button", has_text="off the van").first.tap()

    expect(tablet.page.locator("#kept")).to_contain_text("is off the van")
    tablet.tap("#kept [data-back-on]")
    eventually(tablet.page, lambda: is_back(plant, unit))


def test_on_a_second_look_a_manager_who_does_not_inspect_brings_it_back(plant, page_as, journal, pin_hash):
    from sample_units.hands import hire

    unit, _ = reworked(plant, SWIRL)
    take_off(plant, unit, DOOR)
    plant.people["bo"] = hire(journal, "Bo Lindqvist", ("manager",), (), pin_hash=pin_hash)
    page = open_unit(page_as, unit, who="bo")
    expect(page.locator("#pane")).to_contain_text("Off the van 1")
    expect(page.locator("#pane")).to_contain_text("The unit cannot be signed until it is back on and looked at.")
    page.locator("#pane [data-act=backon]").tap()

    expect(page.locator("#pane [data-act=backon]")).to_have_count(0)
    eventually(page, lambda: is_back(plant, unit))


def test_tapped_on_the_drawing_of_a_second_look_it_says_so_too(plant, page_as):
    unit, _ = reworked(plant, SWIRL)
    take_off(plant, unit, DOOR)
    page = open_unit(page_as, unit)
    Tablet(page).touch(DOOR)

    expect(page.locator("#kept")).to_contain_text(
        "is off the van. Until it is back on it cannot be looked at or marked"
    )
    page.locator("#kept [data-back-on]").tap()
    expect(page.locator("#kept")).to_be_hidden()
    eventually(page, lambda: is_back(plant, unit))


@pytest.mark.parametrize(("who", "may"), [("maud", True), ("per", False)])
def test_the_sign_off_says_who_brings_it_back_and_lets_them(plant, client_as, who, may):
    unit = ready(plant)
    take_off(plant, unit, DOOR)
    page = client_as(who).get(f"/sign-off/{unit}")
    text = page.get_data(as_text=True)

    assert ("data-back-on" in text) is may
    if page.status_code == 200:
        assert "left sliding door, lower is off the van" in text.lower()
        assert f"/walk/{unit}" not in text


def test_brought_back_on_the_sign_off_page_its_gate_holds_again(plant, page_as):
    unit = ready(plant)
    take_off(plant, unit, DOOR)
    page = page_as("maud", f"/sign-off/{unit}")
    expect(page.locator("[data-gate=coverage]")).to_contain_text("It has to be refitted")
    page.locator("[data-back-on]").tap()

    expect(page.locator("[data-gate=coverage]")).to_have_attribute("data-state", "held")
    eventually(page, lambda: is_back(plant, unit))
