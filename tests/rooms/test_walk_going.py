"""Going round the van: looks, laps, absent zones, finishing; alone, together, offline, by keyboard."""

from __future__ import annotations

import pytest
from accessible import faults_everywhere
from playwright.sync_api import expect
from walking import Tablet, eventually, markers, under_way

from sample_units.chromium import SIZES

COUNTED = """(looked) => new Promise((done) => {
  const counted = document.querySelector('[data-looked]');
  const look = () => {
    if (counted.textContent !== looked) return;
    watch.disconnect();
    done();
  };
  const watch = new MutationObserver(look);
  watch.observe(counted, { characterData: true, childList: true, subtree: true });
  look();
})"""
pytestmark = pytest.mark.browser

DOOR = "left.sliding_door_lower"


@pytest.fixture
def unit(plant):
    return plant.unit()


def test_a_zone_is_done_with_one_tap_the_next_comes_into_view_and_the_look_is_undone_where_it_was_told(
    page_as, plant, unit
):
    tablet = Tablet(page_as("ines", f"/walk/{unit}")).begin()
    for view in ("front", "left", "rear", "right", "roof"):  # each drawn view shows its little van in the rail
        body = tablet.page.locator(f"#rail [data-view={view}] .sil-body").first
        assert body.bounding_box()["width"] > 10, view
    first = tablet.page.inner_text(".foot-zone b")
    before = tablet.taps
    tablet.tap("#go")
    assert tablet.taps - before == 1
    expect(tablet.page.locator(".foot-zone b")).not_to_have_text(first)
    eventually(tablet.page, lambda: len(plant.rows("looks", unit)) == 1)
    expect(tablet.page.locator("[data-looked]")).to_have_text("1")

    tablet.tap("#kept [data-key=undo-look]")
    expect(tablet.page.locator(".foot-zone b")).to_have_text(first)
    eventually(tablet.page, lambda: [look["undone"] for look in plant.rows("looks", unit)] == [1])
    expect(tablet.page.locator("[data-looked]")).to_have_text("0")


def test_a_marker_is_no_look_until_done_here_is_pressed(page_as, plant, unit):
    tablet = under_way(page_as, plant, unit)
    tablet.mark(DOOR)
    expect(tablet.page.locator("#go")).to_have_text("Done here · 1 marked")
    tablet.sent()
    assert plant.rows("looks", unit) == []
    tablet.tap("#go")
    eventually(
        tablet.page, lambda: [(look["zone"], look["found"]) for look in plant.rows("looks", unit)] == [(DOOR, 1)]
    )


def test_a_clean_lap_is_walked_with_one_tap_a_zone_across_all_views(page_as, plant, unit):
    tablet = Tablet(page_as("ines", f"/walk/{unit}")).begin("second")
    total = int(tablet.page.inner_text("[data-total]"))
    box = tablet.page.locator("#go").bounding_box()
    for looked in range(total):  # the button stays under the thumb
        if looked == 12:  # from here on a phone, which has less to paint
            width, height = SIZES["phone"]
            tablet.page.set_viewport_size({"width": width, "height": height})
            box = tablet.page.locator("#go").bounding_box()
        tablet.page.evaluate(COUNTED, str(looked))
        tablet.page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    expect(tablet.page.locator("#go")).to_have_text("Finish the walk")
    tablet.tap("#go")
    tablet.tap("dialog .btn-main")
    expect(tablet.page.locator("dialog[open]")).to_contain_text("The walk is finished")
    eventually(tablet.page, lambda: [walk["state"] for walk in plant.rows("walks", unit)] == ["finished"])


def test_finishing_names_what_is_missing_one_tap_away(page_as, plant, unit):
    walk = plant.ines.start_walk(unit)
    plant.ines.look_everywhere(unit, walk)
    plant.ines.do(unit, "look_undone", {"walk": walk, "zone": "roof.fan", "lap": "seal"})
    tablet = Tablet(page_as("ines", f"/walk/{unit}"))
    expect(tablet.page.locator("#foot")).to_be_visible()
    tablet.tap("#walk-more summary")
    tablet.tap("[data-more=finish]")
    expect(tablet.page.locator("dialog h2")).to_have_text("1 look is missing")
    tablet.tap("dialog [data-zone='roof.fan']")
    expect(tablet.page.locator(".foot-zone b")).to_have_text("Roof fan")
    expect(tablet.page.locator("#laps [data-lap=seal]")).to_have_attribute("aria-pressed", "true")


def test_work_done_meanwhile_brings_the_hatch_back(page_as, plant, unit):
    walk = plant.ines.start_walk(unit)
    plant.ines.mark(unit, walk, "swirl", DOOR, "A1", size=300)
    plant.ines.do(unit, "zone_looked", {"walk": walk, "zone": DOOR, "lap": "lamp", "found": 1})
    plant.ines.do(unit, "marks_released", {"walk": walk})
    tablet = Tablet(page_as("ines", f"/walk/{unit}"))
    tablet.view("left")
    zone = tablet.page.locator(f"#van [data-zone='{DOOR}']")
    expect(zone).to_have_attribute("data-look", "looked")
    for job in plant.per.jobs(unit):
        plant.per.work(unit, job)
    expect(zone).to_have_attribute("data-look", "again", timeout=10_000)


def test_a_zone_that_is_not_fitted_is_greyed_and_no_longer_asked_for(page_as, plant, unit):
    tablet = under_way(page_as, plant, unit)
    total = int(tablet.page.inner_text("[data-total]"))
    tablet.tap("#walk-more summary")
    tablet.tap("[data-more=zones]")
    tablet.tap("#drawer [data-zone='left.storage_door']")
    tablet.tap("#drawer [data-key=not-fitted]")
    expect(tablet.page.locator("[data-total]")).to_have_text(str(total - 1))
    expect(tablet.page.locator("#van [data-zone='left.storage_door']")).to_have_attribute("data-look", "absent")
    eventually(tablet.page, lambda: "left.storage_door" in str(plant.row("units", unit)["absent"]))


def test_an_unfinished_walk_is_joined_and_not_begun_twice(page_as, plant, unit):
    plant.lukasz.start_walk(unit)
    tablet = Tablet(page_as("ines", f"/walk/{unit}"))
    expect(tablet.page.locator("#foot")).to_be_visible()
    tablet.tap("#go")
    eventually(tablet.page, lambda: len(plant.rows("looks", unit)) == 1)
    assert len(plant.rows("walks", unit)) == 1


def test_two_tablets_on_one_unit_see_each_others_markers_and_lose_none(page_as, plant, unit):
    ines = under_way(page_as, plant, unit)
    lukasz = Tablet(page_as("lukasz", f"/walk/{unit}"))
    lukasz.view("left")
    made = []
    for i in range(4):
        made += [ines.mark(DOOR, fx=0.15 + 0.2 * i, fy=0.25), lukasz.mark(DOOR, fx=0.15 + 0.2 * i, fy=0.6)]
    for tablet in (ines, lukasz):
        expect(tablet.page.locator("#van .marks .ring-tag")).to_have_count(8, timeout=10_000)
        assert tablet.tags() == sorted(made)
    assert sorted(markers(plant, unit)) == sorted(made)


def test_what_is_marked_while_the_server_is_away_is_kept_and_sent_later(page_as, plant, unit):
    tablet = under_way(page_as, plant, unit)
    tablet.sent()
    tablet.page.context.set_offline(True)
    for fx, kind in ((0.2, "nib"), (0.5, "run"), (0.8, "chip")):
        tablet.mark(DOOR, kind, fx=fx)
    tablet.tap("#kept [data-key='size-8']")
    # Nobody can be asked for pictograms now; the line may be laid anew at this moment.
    tablet.page.wait_for_function("""() => {
      const drawn = [...document.querySelectorAll('#kept .pic use')];
      return drawn.length > 0 && drawn.every((one) => one.getBBox().width > 0);
    }""")
    tablet.tap("#go")
    expect(tablet.page.locator("[data-sent]").first).to_have_text("5 not sent yet")
    assert markers(plant, unit) == {}
    tablet.page.context.set_offline(False)
    tablet.sent()
    assert {row["kind"]: row["size"] for row in markers(plant, unit).values()} == {"nib": None, "run": None, "chip": 8}
    assert [look["found"] for look in plant.rows("looks", unit)] == [3]


def test_signing_in_over_the_work_sends_what_waited(page_as, plant, unit):
    tablet = under_way(page_as, plant, unit)
    tablet.sent()
    cookies = [cookie for cookie in tablet.page.context.cookies() if cookie["name"] != "lampwalk"]
    tablet.page.context.clear_cookies()
    tablet.page.context.add_cookies(cookies)
    tablet.mark(DOOR)
    tablet.page.fill("#sign-in-pin", "2580")
    tablet.tap("dialog [type=submit]")
    tablet.sent()
    assert len(markers(plant, unit)) == 1


def test_leaving_the_page_is_reported_so_that_signing_is_not_held_up(page_as, plant, unit):
    tablet = Tablet(page_as("ines", f"/walk/{unit}")).begin()
    tablet.sent()
    seen = "SELECT held FROM seen_by WHERE unit = ?"
    eventually(
        tablet.page, lambda: (plant.journal.read().execute(seen, (unit,)).fetchone() or {"held": 0})["held"] == 1
    )
    tablet.page.goto("/sign-out")
    eventually(tablet.page, lambda: plant.journal.read().execute(seen, (unit,)).fetchone()["held"] == 0)


def test_a_van_is_marked_by_keyboard_alone(page_as, plant, unit):
    page = page_as("ines", f"/walk/{unit}")
    page.locator("[data-purpose=first]").press("Enter")
    expect(page.locator("#foot")).to_be_visible()
    page.locator("#rail [data-view=left]").press("Enter")
    page.locator("#van").focus()
    for key in ("Home", "ArrowRight", "ArrowDown", "Enter"):
        page.keyboard.press(key)
    expect(page.locator("#dock [data-kind=nib]")).to_be_focused()
    page.keyboard.press("2")
    expect(page.locator("#kept .kept-words")).to_contain_text("run")
    expect(page.locator("#van")).to_be_focused()
    page.locator("#tool-list").press("Enter")
    page.locator("#drawer [data-key=tab-zones]").press("Enter")
    page.locator(f"#drawer [data-zone='{DOOR}']").press("Enter")
    page.locator("#drawer [data-key=mark-in]").press("Enter")
    page.keyboard.press("1")
    eventually(page, lambda: {row["kind"] for row in markers(plant, unit).values()} == {"run", "nib"})
    assert [row["zone"] for row in markers(plant, unit).values() if row["kind"] == "nib"] == [DOOR]


def test_axe_finds_nothing_on_the_walk_and_everything_to_press_is_at_least_48_px(page_as, plant, unit):
    tablet = under_way(page_as, plant, unit)
    page, before = tablet.page, tablet.page.viewport_size
    tablet.mark(DOOR)
    tablet.tap("#kept [data-key='size-15']")
    tablet.touch(DOOR, 0.2, 0.2)
    assert [f"dock: {fault}" for fault in faults_everywhere(page)] == []

    small = """(all) => all.filter((one) => one.checkVisibility()).map((one) => {
      const { width, height } = one.getBoundingClientRect();
      return width < 48 || height < 48 ? `${one.textContent.trim()} ${width} x ${height}` : null;
    }).filter(Boolean)"""
    page.set_viewport_size(dict(zip(("width", "height"), SIZES["phone"], strict=True)))
    expect(page.locator("#dock")).to_be_visible()
    assert page.locator("button, a.cell, summary").evaluate_all(small) == []
    page.set_viewport_size(before)

    tablet.tap("#tool-list")
    assert [f"list: {fault}" for fault in faults_everywhere(page)] == []
