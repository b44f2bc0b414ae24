"""Marking on the walk, by touch, in a real browser."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect
from reworked_units import in_reach
from walking import Tablet, eventually, markers, state, under_way

from sample_units.chromium import SIZES

pytestmark = pytest.mark.browser

DOOR = "left.sliding_door_lower"
# The nib pressed as soon as the kinds are there: sooner than a finger could be.
NIB = """() => new Promise((done) => {
  const look = () => {
    const { x, y, width, height } = document.querySelector('#dock [data-kind=nib]').getBoundingClientRect();
    return width > 0 ? done([x + width / 2, y + height / 2]) : requestAnimationFrame(look);
  };
  look();
})"""


@pytest.fixture
def unit(plant):
    return plant.unit()


@pytest.fixture
def tablet(page_as, plant, unit):
    return under_way(page_as, plant, unit)


def test_a_marker_with_its_size_and_a_photo_takes_four_taps_and_the_camera_and_same_again_one_tap_however_near_and_soon(
    tablet, plant, unit, tmp_path
):
    from PIL import Image

    picture = tmp_path / "nib.jpg"
    Image.new("RGB", (800, 600), "#884422").save(picture)
    before = tablet.taps
    tag = tablet.mark(DOOR, fx=0.1, fy=0.2)
    tablet.tap("#kept [data-key='size-8']")
    with tablet.page.expect_file_chooser() as camera:
        tablet.tap("#kept [data-key=photo]")
    camera.value.set_files(picture)
    assert tablet.taps - before <= 4
    eventually(tablet.page, lambda: [photo["state"] for photo in plant.rows("photos", unit)] == ["stored"])
    assert markers(plant, unit)[tag]["size"] == 8
    assert tablet.page.inner_text("#kept [data-key=photo]").strip() == "Photo · 1"

    tablet.tap("#same")
    tablet.rest()
    box = tablet.page.locator(f"#van [data-zone='{DOOR}']").bounding_box()
    for i in range(5):
        tablet.page.touchscreen.tap(box["x"] + box["width"] * 0.4 + 8 * i, box["y"] + box["height"] * 0.4)
    eventually(tablet.page, lambda: len(markers(plant, unit)) == 6)
    assert {row["kind"] for row in markers(plant, unit).values()} == {"nib"}


def test_two_taps_mark_a_small_zone_comes_near_the_sizes_show_the_limit_and_what_is_over_it_is_accepted_neither_here_nor_by_the_server(
    tablet, plant, unit
):
    whole = tablet.page.locator("#van").bounding_box()["width"] / 6150
    before = tablet.taps
    tag = tablet.mark(DOOR)
    assert tablet.taps - before == 2
    assert "dirt nib · left sliding door, lower" in tablet.words()
    width = tablet.page.eval_on_selector(
        f"#van [data-zone='{DOOR}']", "(path) => path.getBoundingClientRect().width / path.getBBox().width"
    )
    assert width > 2 * whole
    tablet.sent()
    row = markers(plant, unit)[tag]
    assert (row["zone"], row["kind"], row["state"]) == (DOOR, "nib", "open")
    assert str(row["words"]) in tablet.words()

    tag = tablet.mark(DOOR, fx=0.2)  # the starting catalogue allows 0.8 mm on class A of the chassis maker's paint
    sizes = tablet.page.locator("#kept .sizes")
    assert sizes.locator(".size-limit").inner_text().split() == ["limit", "0.8", "mm"]
    shown = sizes.locator("> *").evaluate_all("(all) => all.map((one) => one.dataset.verdict ?? 'limit')")
    assert shown == ["within", "within", "within", "limit", "over", "over", "over"]
    accept = tablet.page.locator("#kept [data-key=accept]")
    tablet.tap("#kept [data-key='size-15']")
    expect(tablet.page.locator("#kept .verdict")).to_have_text("1.5 mm, over the limit.")
    expect(accept).to_be_disabled()
    tablet.tap("#kept [data-key='size-5']")
    expect(accept).to_be_enabled()
    tablet.tap("#kept [data-key=accept]")
    eventually(tablet.page, lambda: state(plant, unit, tag) == "accepted")

    other = tablet.mark(DOOR, fx=0.8)
    tablet.tap("#kept [data-key='size-15']")
    tablet.sent()
    row = markers(plant, unit)[other]
    force = """async ([unit, marker]) => {
      const { keep } = await import('/client/outbox.js');
      await keep({ type: 'marker_accepted', stream: `unit:${unit}`, body: { marker } });
    }"""
    tablet.page.evaluate(force, [unit, row["id"]])
    expect(tablet.page.locator("[data-sent]").first).to_have_text("1 to look at")
    tablet.tap("[data-sent-button]")
    expect(tablet.page.locator("#sent-list")).to_contain_text("over its limit")
    assert state(plant, unit, other) == "open"


def test_the_fifth_nib_of_a_part_is_one_too_many_on_the_tablet_and_takes_the_others_with_it_on_the_server(
    tablet, plant, unit
):
    page = tablet.page
    page.route("**/sync", lambda route: route.abort())
    tags = []
    for fx, fy in ((0.15, 0.1), (0.5, 0.1), (0.85, 0.1), (0.15, 0.6), (0.85, 0.6)):  # none within 300 mm of another
        tags.append(tablet.mark(DOOR, fx=fx, fy=fy))
        tablet.tap("#kept [data-key='size-3']")
    too_many = "5 of them on this part, class A, the chassis maker's paint: over the limit of 4 on a part"
    expect(page.locator("#kept .verdict")).to_have_text(f"{too_many}.")
    expect(page.locator("#kept [data-key=accept]")).to_be_disabled()

    in_reach(page)
    tablet.sent()
    eventually(page, lambda: {row["verdict"] for row in markers(plant, unit).values()} == {"over"})
    rows = markers(plant, unit)
    assert [rows[tag]["alone_verdict"] for tag in tags] == [*["within"] * 4, "over"]
    assert rows[tags[4]]["alone_limit"] == too_many
    tablet.touch(DOOR, 0.15, 0.1)
    expect(page.locator("#kept .tag")).to_have_text(tags[0])
    by_the_server = "Dirt nib: 5 on this class A part; the limit is 4."
    expect(page.locator("#kept .verdict")).to_have_text(by_the_server, timeout=20_000)  # a poll or two later
    expect(page.locator("#kept [data-key=accept]")).to_be_disabled()


def test_sixty_markers_as_fast_as_can_be_tapped_are_all_kept(tablet, plant, unit):
    tablet.touch(DOOR)
    tablet.rest()
    box = tablet.page.locator(f"#van [data-zone='{DOOR}']").bounding_box()
    step = 40  # nearer than a finger to a ring is a tap on the ring
    columns = int((box["width"] - 60) // step) + 1
    for i in range(60):
        x = box["x"] + 30 + step * (i % columns)
        y = box["y"] + 30 + step * (i // columns)
        tablet.page.touchscreen.tap(x, y)
        # Nobody presses what is not there yet; on a busy machine it comes a frame later.
        tablet.page.touchscreen.tap(*tablet.page.evaluate(NIB))
    eventually(tablet.page, lambda: len(markers(plant, unit)) == 60)
    assert sorted(int(tag.lstrip("ABCDEFGH")) for tag in markers(plant, unit)) == list(range(1, 61))
    tablet.sent()
    assert len(tablet.tags()) == 60


def test_a_scratch_is_drawn_from_here_to_there_a_gap_snaps_to_its_joint_and_what_has_no_drawing_is_marked_from_its_list(
    tablet, plant, unit
):
    tablet.tap("#tool-line")
    box = tablet.page.locator(f"#van [data-zone='{DOOR}']").bounding_box()
    tablet.page.mouse.move(box["x"] + 30, box["y"] + 30)
    tablet.page.mouse.down()
    tablet.page.mouse.move(box["x"] + 80, box["y"] + 50, steps=4)
    tablet.page.mouse.up()
    tablet.tap(".kind-more")
    tablet.tap("dialog [data-kind=scratch]")
    eventually(tablet.page, lambda: markers(plant, unit))
    [row] = markers(plant, unit).values()
    assert row["kind"] == "scratch"
    assert row["x2"] > row["x"] + 500
    expect(tablet.page.locator("#van .ring-line")).to_have_count(1)

    tablet.view("left")  # all of it again
    tag = tablet.mark("left.cab_door_lower", "gap", fx=0.06, fy=0.4)
    assert "wing to cab door" in tablet.words().lower()
    tablet.tap("#kept .size[data-verdict=over] >> nth=0")
    expect(tablet.page.locator("#kept .verdict")).to_contain_text("over the limit")
    tablet.sent()
    row = markers(plant, unit)[tag]
    assert row["joint"] == "left.joint.wing_to_cab_door"
    assert row["zone"] == "left.cab_door_lower"
    assert row["gap"] is not None
    assert row["verdict"] == "over"

    tablet.view("openings")
    before, marked = tablet.taps, set(markers(plant, unit))
    tablet.tap("#zone-list [data-zone='openings.rear_doors']")
    tablet.tap("#dock [data-kind=chip]")
    assert tablet.taps - before == 2
    expect(tablet.page.locator("#kept .kept-words")).to_contain_text("chip · rear door shuts")
    expect(tablet.page.locator("#zone-list .zone-marks .tag")).to_have_count(1)
    eventually(tablet.page, lambda: len(markers(plant, unit)) == 3)
    [listed] = [row for tag, row in markers(plant, unit).items() if tag not in marked]
    assert listed["zone"] == "openings.rear_doors"


def test_undo_takes_back_put_right_waits_count_note_severity_light_origin_and_size_can_follow_and_withdrawn_is_only_with_a_reason(
    tablet, plant, unit
):
    tag = tablet.mark(DOOR)
    tablet.tap("#kept [data-key=undo]")
    expect(tablet.page.locator("#van .ring-tag")).to_have_count(0)
    eventually(tablet.page, lambda: state(plant, unit, tag) == "withdrawn")
    next_tag = tablet.mark(DOOR, fx=0.2)
    assert next_tag != tag
    tablet.tap("#kept [data-key=right]")
    expect(tablet.page.locator("#kept .verdict")).to_have_text("Waits for its second look.")
    eventually(tablet.page, lambda: state(plant, unit, next_tag) == "reworked")

    tag = tablet.mark(DOOR)
    tablet.tap("#kept [data-key=more-of-them]")
    expect(tablet.page.locator("#kept .counter output")).to_have_text("2")
    tablet.tap("#kept [data-key=note]")
    tablet.page.fill("#kept [name=note]", "beside the handle")
    tablet.tap("#kept [data-key=note-keep]")
    tablet.tap("#kept [data-key=more]")
    tablet.tap("#drawer [data-key=S2]")
    tablet.tap("#drawer [data-key=raking]")
    tablet.page.select_option("#origin", "handling")
    told = {
        "count": 2,
        "note": "beside the handle",
        "severity": "S2",
        "raking": 1,
        "origin": "handling",
        "origin_basis": "judged",
    }
    eventually(tablet.page, lambda: told.items() <= markers(plant, unit).get(tag, {}).items())

    # What cannot be meant is told beside its field; a comma is read.
    for typed in ("900", "0", "-1"):
        tablet.page.fill("#exact-size", typed)
        tablet.tap("#drawer [data-key=set-exact]")
        expect(tablet.page.locator("#exact-fault")).to_have_text("Write a number from 0.1 to 40, for example 1.5.")
    tablet.page.fill("#exact-size", "0,7")
    tablet.tap("#drawer [data-key=set-exact]")
    eventually(tablet.page, lambda: markers(plant, unit)[tag]["size"] == 7)

    tablet.tap("#drawer [data-key=withdraw]")
    expect(tablet.page.locator("#drawer")).to_contain_text("Say in a few words")
    assert state(plant, unit, tag) == "open"
    tablet.page.fill("#why-withdrawn", "dust, it wiped off")
    tablet.tap("#drawer [data-key=withdraw]")
    eventually(tablet.page, lambda: state(plant, unit, tag) == "withdrawn")


def beside(tablet: Tablet, px: int) -> None:
    """Tap so far to the right of the only kept ring."""
    tablet.rest()
    ring = tablet.page.locator("#van .ring[data-marker] .ring-hit").bounding_box()
    tablet.page.touchscreen.tap(ring["x"] + ring["width"] / 2 + px, ring["y"] + ring["height"] / 2)


def test_a_tap_a_finger_beside_a_ring_opens_it_beyond_that_marks_and_two_under_one_finger_are_asked_apart(tablet):
    page = tablet.page
    tag = tablet.mark(DOOR, fx=0.4)
    for size in ("phone", "wide"):
        page.set_viewport_size(dict(zip(("width", "height"), SIZES[size], strict=True)))
        beside(tablet, 40)
        expect(page.locator("#dock"), size).to_be_visible()
        beside(tablet, -30)
        expect(page.locator("#kept .tag"), size).to_have_text(tag)
        expect(page.locator("#kept [data-key=another]"), size).to_be_visible()

    tablet.mark(DOOR, fx=0.7)
    tablet.touch(DOOR, 0.4)
    expect(page.locator("#kept .tag")).to_have_text(tag)
    tablet.tap("#kept [data-key=another]")
    tablet.tap("#dock [data-kind=run]")
    expect(page.locator("#kept .kept-words")).to_contain_text("run")
    tablet.touch(DOOR, 0.4)
    expect(page.locator("dialog [data-marker]")).to_have_count(2)


def test_the_speed_dial_works_on_a_phone_too(page_as, plant, unit):
    tablet = under_way(page_as, plant, unit, size="phone")
    tag = tablet.mark(DOOR, fx=0.1, fy=0.2)
    tablet.tap("#kept [data-key=more]")
    tablet.tap("#drawer [data-key=more-of-them]")
    tablet.tap("#drawer [data-key=more-of-them]")
    tablet.tap("#drawer [data-key=close]")
    eventually(tablet.page, lambda: markers(plant, unit)[tag]["count"] == 3)
    tablet.tap("#same")
    for fx in (0.5, 0.8):
        tablet.touch(DOOR, fx)  # one tap each
    eventually(tablet.page, lambda: len(markers(plant, unit)) == 3)
    tablet.tap("#same")
    tablet.tap("#tool-line")
    tablet.rest()
    box = tablet.page.locator(f"#van [data-zone='{DOOR}']").bounding_box()
    touch = tablet.page.context.new_cdp_session(tablet.page)
    for kind, dx in (("touchStart", 0.2), ("touchMove", 0.5), ("touchMove", 0.7), ("touchEnd", None)):
        at = [] if dx is None else [{"x": box["x"] + box["width"] * dx, "y": box["y"] + box["height"] * 0.75}]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": at})
    tablet.tap("#dock [data-kind=run]")
    eventually(tablet.page, lambda: len(markers(plant, unit)) == 4)
    [run] = [row for row in markers(plant, unit).values() if row["kind"] == "run"]
    assert run["x2"] > run["x"] + 300
