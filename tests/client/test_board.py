"""The drawing in somebody's hands: taps, drags, two fingers, the wheel."""

from __future__ import annotations

import pytest

from .hands import BOX, VAN, Hands, middle

pytestmark = pytest.mark.browser


def test_a_tap_tells_spot_zone_and_how_far_off_it_may_be(hands: Hands) -> None:
    x, y = middle("left.cab_door_lower")
    hands.tap(x, y)
    spot = hands.run("() => window.taps[0].spot")
    unit = hands.run(BOX)["unit"]

    assert spot["zone"]["id"] == "left.cab_door_lower"
    assert abs(spot["x"] - x * 10) <= unit * 10
    assert abs(spot["y"] - y * 10) <= unit * 10
    assert spot["spread"] >= 17 * unit * 10 - 1  # a finger is 17 px to either side at least


def test_the_browser_agrees_with_its_own_hit_test(hands: Hands) -> None:
    # document.elementFromPoint is the browser's own geometry: an outside check of zoneAt.
    script = """(points) => points.map(([x, y]) => {
      const at = window.board.viewport.onScreen(x, y);
      const theirs = document.elementFromPoint(at.x, at.y).dataset.zone ?? null;
      return [theirs, window.board.zoneAt(x * 10, y * 10)?.id ?? null];
    })"""
    zones = [zone.id for zone in VAN.view("left").zones]
    pairs = hands.run(script, [list(middle(zone)) for zone in zones])

    assert len(pairs) > 10
    assert [ours for _, ours in pairs] == [theirs for theirs, _ in pairs]


def test_zooming_to_a_zone_brings_all_of_it_near(hands: Hands) -> None:
    hands.run("() => window.board.zoomTo('left.cab_door_lower')")
    hands.settle()
    box, ring = hands.run(BOX), VAN.zone("left.cab_door_lower").rings[0]

    assert box["x"] < ring.left < ring.right < box["x"] + box["w"]
    assert box["y"] < ring.top < ring.bottom < box["y"] + box["h"]
    assert max((ring.right - ring.left) / box["w"], (ring.bottom - ring.top) / box["h"]) > 0.6


def test_a_double_tap_comes_near_and_another_goes_back(hands: Hands) -> None:
    x, y = hands.at(*middle("left.cab_door_lower"))
    whole = hands.run(BOX)
    hands.page.touchscreen.tap(x, y)
    hands.page.touchscreen.tap(x, y)
    near = hands.run(BOX)
    hands.page.wait_for_timeout(400)
    hands.page.touchscreen.tap(x, y)
    hands.page.touchscreen.tap(x, y)
    hands.settle()

    assert near["w"] == pytest.approx(whole["w"] / 3, rel=0.01)
    assert hands.run(BOX)["w"] == pytest.approx(whole["w"], rel=0.01)


def test_two_fingers_zoom_about_their_middle(hands: Hands) -> None:
    x, y = hands.at(3000, 1400)
    before = hands.run(BOX)
    hands.fingers("touchStart", (x - 60, y))
    hands.fingers("touchStart", (x - 60, y), (x + 60, y))
    for spread in (80, 100, 120):
        hands.fingers("touchMove", (x - spread, y), (x + spread, y))
    hands.fingers("touchEnd")
    after = hands.run(BOX)
    there = hands.at(3000, 1400)

    assert after["w"] == pytest.approx(before["w"] / 2, rel=0.05)
    assert there == pytest.approx((x, y), abs=6)
    assert hands.run("() => window.taps") == []


def test_one_finger_pans_when_near_and_stays_on_the_drawing(hands: Hands) -> None:
    hands.run("() => window.board.viewport.zoomAt(600, 400, 4)")
    before = hands.run(BOX)
    hands.drag((600, 400), (500, 400))
    panned = hands.run(BOX)
    for _ in range(6):
        hands.drag((200, 400), (1100, 400))
    edge, whole = hands.run(BOX), hands.run("() => window.board.viewport.whole")

    assert panned["x"] - before["x"] == pytest.approx(100 * before["unit"], rel=0.15)
    assert edge["x"] == pytest.approx(whole["x"], abs=1)
    assert hands.run("() => window.places") == []


def test_the_wheel_zooms_where_the_pointer_is(hands: Hands) -> None:
    x, y = hands.at(2000, 1200)
    hands.page.mouse.move(x, y)
    hands.page.mouse.wheel(0, -600)
    hands.page.wait_for_timeout(100)

    assert hands.run(BOX)["zoomed"]
    assert hands.at(2000, 1200) == pytest.approx((x, y), abs=3)


def test_holding_still_brings_the_loupe_and_dragging_places_finely(hands: Hands) -> None:
    hands.run("() => window.board.zoomTo('left.cab_door_lower')")
    hands.settle()
    start = hands.at(*middle("left.cab_door_lower"))
    hands.fingers("touchStart", start)
    hands.page.wait_for_timeout(350)
    hands.fingers("touchMove", (start[0] + 20, start[1]))
    loupe = hands.page.locator(".loupe").bounding_box()
    hands.fingers("touchEnd")
    last = hands.run("() => window.places.at(-1)")

    assert loupe is not None
    assert not (
        loupe["x"] <= start[0] <= loupe["x"] + loupe["width"] and loupe["y"] <= start[1] <= loupe["y"] + loupe["height"]
    )
    assert last["done"]
    assert last["spread"] <= 4 * hands.run(BOX)["unit"] * 10
    assert hands.page.locator(".loupe").bounding_box() is None


def test_a_laid_ring_can_be_dragged_without_being_covered(hands: Hands) -> None:
    x, y = middle("left.cab_door_lower")
    hands.run("([x, y]) => window.board.lay({ x, y })", [x, y])
    px, py = hands.at(x, y)
    unit = hands.run(BOX)["unit"]
    hands.drag((px + 20, py + 20), (px + 50, py + 20))  # grabbed beside its middle
    last = hands.run("() => window.places.at(-1)")

    assert last["x"] == pytest.approx((x + 30 * unit) * 10, abs=15 * unit)
    assert last["y"] == pytest.approx(y * 10, abs=15 * unit)


def test_a_line_is_drawn_from_here_to_there(hands: Hands) -> None:
    hands.run("() => { window.board.lining = true }")
    a, b = hands.at(2500, 1500), hands.at(3500, 1500)
    hands.drag(a, b)
    line = hands.run("() => window.lines.at(-1)")

    assert line["done"]
    assert line["from"]["x"] == pytest.approx(25000, abs=150)
    assert line["to"]["x"] == pytest.approx(35000, abs=150)


def test_rings_within_a_finger_are_offered_nearest_first(hands: Hands) -> None:
    unit = hands.run(BOX)["unit"]
    x, y = middle("left.cab_door_lower")
    place = [("B1", 8), ("B2", -20), ("B3", 60)]
    marks = [
        {"id": tag, "tag": tag, "view": "left", "state": "open", "x": round((x + px * unit) * 10), "y": round(y * 10)}
        for tag, px in place
    ]
    hands.run(
        "(marks) => window.board.showMarks(marks)", [*marks, {**marks[0], "id": "B9", "tag": "B9", "view": "right"}]
    )
    hands.tap(x, y)

    assert hands.run("() => window.taps[0].marks") == ["B1", "B2"]
    assert hands.page.locator(".ring").count() == 3


def test_rings_keep_their_size_on_the_screen(hands: Hands) -> None:
    marks = [{"id": "B1", "tag": "B1", "view": "left", "state": "open", "x": 25000, "y": 15000}]
    hands.run("(marks) => window.board.showMarks(marks)", marks)
    size = "() => document.querySelector('.ring-hit').getBoundingClientRect().width"
    before = hands.run(size)
    hands.run("() => window.board.viewport.zoomAt(500, 400, 4)")
    hands.settle()

    assert hands.run(size) == pytest.approx(before, rel=0.02)


def test_the_tag_of_a_ring_at_the_edge_of_a_phone_stays_on_the_drawing(hands: Hands) -> None:
    hands.page.set_viewport_size({"width": 390, "height": 700})
    hands.run("""() => window.board.showMarks([
      { id: "A", tag: "N19", view: "left", state: "open", x: window.board.drawing.view.width * 9.1, y: 15000 }])""")
    hands.settle()
    seen = "() => document.querySelector('.ring-tag').getBoundingClientRect().right"
    edge = "() => document.querySelector('svg.drawing').getBoundingClientRect().right"

    assert hands.run(seen) <= hands.run(edge)


@pytest.mark.parametrize("next_one", ["nothing", "a ring"])
def test_what_was_laid_for_a_kept_marker_goes_and_what_was_laid_since_stays(modules, next_one):
    told = modules.evaluate(
        """async (next) => {
          const { Marking } = await import('/client/marking/marking.js');
          const [ring, line, since] = [{ x: 1, y: 1 }, { a: 1 }, { x: 2, y: 2 }];
          const marking = Object.create(Marking.prototype);
          marking.board = { laid: next === 'a ring' ? since : ring, line, lay(at) { this.laid = at; } };
          marking.lift(ring, line);
          return { line: marking.board.line, stays: marking.board.laid === since, nothing: marking.board.laid === null };
        }""",
        next_one,
    )

    assert told == {"line": None, "stays": next_one == "a ring", "nothing": next_one == "nothing"}
