"""The catalogue's pages by touch on a phone, and what a changed catalogue does to the dock of a walk."""

from __future__ import annotations

from dataclasses import replace

import pytest
from playwright.sync_api import expect

from inspect_app.trade.catalogue_change import retired, with_row

pytestmark = pytest.mark.browser
PAGES = [
    *(f"catalogue/{part}" for part in ("kinds", "limits", "methods", "departments", "gates", "options", "cautions", "classes")),
    "catalogue/versions", "catalogue/import", "catalogue/changes/starting/1", "catalogue/kinds/nib",
    "catalogue/methods/dent_refinish", "catalogue/options/new", "catalogue/gates/water", "catalogue/limits/nib",
]  # fmt: skip


def test_no_page_of_the_catalogue_scrolls_sideways_on_a_phone(page_as):
    page = page_as("maud", "/setup", size="phone")

    wide = {}
    for path in PAGES:
        page.goto(f"/setup/{path}")
        wide[path] = page.evaluate(
            "() => [document.documentElement, ...document.querySelectorAll('.ruled-scroll')]"
            ".map((one) => one.scrollWidth - one.clientWidth).some((over) => over > 0)"
        )
    assert [path for path, over in wide.items() if over] == []


def test_a_limit_is_tightened_by_touch_and_the_change_is_read_afterwards(plant, page_as):
    page = page_as("maud", "/setup/catalogue/limits/nib", size="phone")
    page.fill("#a_any-max_size", "0.3")
    page.fill("#why", "A customer asks for less")
    page.get_by_role("button", name="Show what it does").tap()
    expect(page.get_by_role("status").filter(has_text="of the last 90 days")).to_be_visible()
    expect(page.locator(".setup-dots").first.locator("[data-over=no]")).to_have_count(1)
    page.get_by_role("button", name="Keep").tap()
    expect(page.get_by_text("Kept as a new version of the catalogue.")).to_be_visible()

    page.goto("/setup/catalogue/versions")
    page.get_by_text("A customer asks for less").tap()
    expect(page.locator(".setup-change ins").first).to_contain_text("0.3 mm, at most 2 on a part")
    assert plant.journal.catalogue().limit("nib", "A").max_size == 3


def test_the_dock_of_a_walk_leaves_a_retired_kind_out_and_shows_a_new_one(plant, page_as):
    found = plant.journal.catalogue()
    made = with_row(found, "kinds", replace(found.kind("swirl"), key="veil", label="polishing veil", everyday=None))
    made = retired(made, "kinds", "swirl")
    plant.publish(made)
    unit = plant.unit()
    plant.ines.start_walk(unit)

    page = page_as("ines", f"/walk/{unit}")
    expect(page.locator("svg .zone").first).to_be_attached(timeout=30_000)
    kinds = page.evaluate(
        "async () => { const { current, CATALOGUE } = await import('/client/versions.js');"
        " const { Dock } = await import('/client/marking/dock.js');"
        " const place = document.createElement('div'); document.body.append(place);"
        " new Dock(place, await current(CATALOGUE), () => undefined, () => undefined).openAll();"
        " return [...document.querySelectorAll('dialog [data-kind]')].map((one) => one.dataset.kind); }"
    )

    assert "swirl" not in kinds
    assert "veil" in kinds
    assert len(kinds) == 48
