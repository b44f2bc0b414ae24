"""The keypad and the living floor, by touch and by keyboard, in a real browser."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect
from walking import eventually

from inspect_app.trade.vin import last_six

pytestmark = pytest.mark.browser


def twins(plant):
    return plant.unit("047312"), plant.unit("047312", colour="Chalk white")


def dialog(page):
    page.locator("[data-find-unit]").tap()
    return page.locator("dialog[open]")


def tap_digits(place, digits):
    for digit in digits:
        place.get_by_role("button", name=digit, exact=True).tap()


def test_two_units_of_one_last_six_are_both_shown_none_is_opened_until_one_is_chosen(plant, page_as):
    _, white = twins(plant)
    page = page_as("ines")
    pad = dialog(page)

    tap_digits(pad, "0473")
    expect(pad.locator("a.found-line", has_text="Chalk white")).to_be_visible()
    tap_digits(pad, "12")

    expect(pad.get_by_role("status")).to_have_text("2 units share 047 312. Choose by colour and chassis number.")
    lines = pad.locator("a.found-line")
    expect(lines).to_have_count(2)
    words = [line.inner_text() for line in lines.all()]
    assert {"Fjord grey" in one for one in words} == {True, False}
    chassis = [line.locator(".found-chassis").inner_text() for line in lines.all()]
    assert len(set(chassis)) == 2
    assert {last_six(one) for one in chassis} == {"047312"}
    assert page.url.rstrip("/").count("/") == 2  # still on the floor

    for _digit in "12":
        pad.get_by_role("button", name="Erase").tap()
    pad.locator("a.found-line", has_text="Chalk white").tap()

    page.wait_for_url(f"**/walk/{white}")


def test_matches_narrow_as_digits_are_tapped_typed_and_erased_letters_are_a_tap_away_and_every_key_is_48_pixels(
    plant, page_as
):
    plant.unit("118940")
    plant.unit("118204")
    unit = plant.unit("11B940", chassis="ZZBRT6L90KA11B940")
    page = page_as("ines", size="phone")
    page.locator("[data-find-unit]").focus()
    page.keyboard.press("Enter")
    pad = page.locator("dialog[open]")
    tap_digits(pad, "118")
    expect(pad.locator("a.found-line")).to_have_count(2)
    tap_digits(pad, "9")
    expect(pad.locator("a.found-line")).to_have_count(1)
    pad.get_by_role("button", name="Erase").tap()
    expect(pad.locator("a.found-line")).to_have_count(2)

    # Letters, and a keyboard that goes on typing after them.
    pad.get_by_role("button", name="Erase").tap()
    pad.get_by_role("button", name="Show the letters").tap()
    sizes = pad.locator("button").evaluate_all(
        "(all) => all.map((b) => b.getBoundingClientRect()).map((r) => [r.width, r.height])"
    )
    assert len(sizes) == 26
    assert all(width >= 48 and height >= 48 for width, height in sizes), sizes
    pad.get_by_role("button", name="B", exact=True).tap()
    page.keyboard.type("94")
    expect(pad.locator("a.found-line")).to_have_count(1)
    assert pad.locator(".read-out").inner_text().split() == list("11B94")
    assert pad.locator("a.found-line").get_attribute("href") == f"/walk/{unit}"

    # By keyboard alone, and Enter opens nothing.
    page.keyboard.press("Escape")
    expect(page.locator("dialog[open]")).to_have_count(0)
    expect(page.locator("[data-find-unit]")).to_be_focused()
    page.keyboard.press("Enter")
    page.keyboard.type("118940")
    expect(page.locator("dialog a.found-line")).to_have_count(1)
    page.keyboard.press("Enter")
    expect(page.locator("dialog a.found-line")).to_be_focused()
    page.keyboard.press("Escape")
    expect(page.locator("dialog[open]")).to_have_count(0)
    expect(page.locator("[data-find-unit]")).to_be_focused()


def test_an_inspector_who_finds_nothing_is_led_to_add_the_van(plant, page_as):
    page = page_as("ines")
    pad = dialog(page)
    page.keyboard.type("ZZBRT6L10KA047312")

    pad.get_by_role("link", name="Add this unit").tap()

    expect(page.get_by_label("Chassis number")).to_have_value("ZZBRT6L10KA047312")
    for label, words in {"Build number": "HB-1", "Make": "Brennach", "Model": "Tourer 6", "Colour": "Fjord grey", "Plant": "Halden yard"}.items():  # fmt: skip
        page.get_by_label(label).fill(words)
    page.get_by_role("button", name="Add this unit").tap()
    page.get_by_role("link", name="Walk", exact=True).tap()
    page.wait_for_url("**/walk/*")


def test_the_tablet_orders_as_the_server_does_and_finds_what_it_remembers_while_the_server_is_away(plant, page_as):
    holds, begins = plant.unit("118940"), plant.unit("940111")
    page = page_as("ines")
    rows = [dict(row) for row in plant.journal.read().execute("SELECT * FROM units ORDER BY n")]
    found = page.evaluate(
        "async ([typed, rows]) => (await import('/client/find_unit.js')).remembered(typed, rows).units.map((u) => u.id)",
        ["940", rows],
    )
    assert found == [begins, holds]

    remembered = "async () => ((await (await import('/client/feed.js')).cachedRows('')).units ?? []).length"
    eventually(page, lambda: page.evaluate(remembered))
    page.context.set_offline(True)

    pad = dialog(page)
    tap_digits(pad, "118")

    expect(pad.get_by_role("status")).to_contain_text("the server is out of reach")
    expect(pad.locator("a.found-line")).to_have_count(1)


def test_the_floor_shows_what_happens_elsewhere_and_keeps_folds_and_focus(plant, page_as):
    first = plant.unit("118940")
    page = page_as("ines")
    page.locator("[data-fold='signed'] > summary").tap()
    page.locator(f"a[href='/walk/{first}']").focus()

    plant.unit("203377")

    expect(page.locator("[data-groups]")).to_contain_text("203 377", timeout=15_000)
    assert page.locator("[data-fold='signed']").get_attribute("open") is not None
    expect(page.locator(f"a[href='/walk/{first}']")).to_be_focused()
