"""The drawing under gloves, palms and pens: contacts as a touch screen reports them, given to a real browser."""

from __future__ import annotations

from typing import Any

import pytest

from .hands import Hands, middle

pytestmark = pytest.mark.browser

GLOVE = 45  # px, half the width of a gloved fingertip: 24 mm at 96 px to the inch, 17 mm on a 10-inch tablet
PALM = 90


def contacts(hands: Hands, kind: str, *points: tuple[float, float, float]) -> None:
    """Contacts of px, px and radius."""
    found = [{"x": x, "y": y, "id": i, "radiusX": r, "radiusY": r} for i, (x, y, r) in enumerate(points)]
    hands.touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": found})


def pen(hands: Hands, kind: str, x: float, y: float) -> None:
    """A stylus as the browser's own input pipeline knows it."""
    down = 0 if kind == "mouseReleased" else 1
    told: dict[str, Any] = {"type": kind, "x": x, "y": y, "button": "left", "buttons": down, "clickCount": 1}
    hands.touch.send("Input.dispatchMouseEvent", {**told, "pointerType": "pen"})


def pointer(hands: Hands, *steps: tuple[str, float, float, float]) -> None:
    """One finger's pointer events: what, px, px and its width in px."""
    script = """(steps) => {
      const van = document.getElementById('drawing');
      for (const [what, clientX, clientY, width] of steps) van.dispatchEvent(new PointerEvent(`pointer${what}`,
        { pointerId: 77, pointerType: 'touch', isPrimary: true, bubbles: true, clientX, clientY, width, height: width }));
    }"""
    hands.run(script, [list(step) for step in steps])
    hands.page.wait_for_timeout(340)  # the next tap is no second half of a double tap


@pytest.fixture
def spot(hands: Hands) -> tuple[float, float]:
    return hands.at(*middle("left.cab_door_lower"))


@pytest.mark.parametrize("held", [0, 350])
def test_a_thick_finger_that_wobbles_has_tapped_where_it_came_down(hands: Hands, spot: tuple, held: int) -> None:
    x, y = spot
    contacts(hands, "touchStart", (x, y, GLOVE))
    for dx, dy in ((3, -2), (-4, 5), (6, 5), (-1, -7)):
        contacts(hands, "touchMove", (x + dx, y + dy, GLOVE + dx))
    hands.page.wait_for_timeout(held)
    contacts(hands, "touchEnd")
    [tap] = hands.run("() => window.taps")

    assert tap["spot"]["zone"]["id"] == "left.cab_door_lower"
    there = hands.at(tap["spot"]["x"] / 10, tap["spot"]["y"] / 10)
    assert there == pytest.approx((x, y), abs=1)
    assert tap["spot"]["spread"] >= 39 * hands.run("() => window.board.viewport.unit") * 10  # it says how thick it was
    assert not [place for place in hands.run("() => window.places") if place["done"]]


def test_a_palm_makes_nothing_and_the_finger_beside_it_still_taps(hands: Hands, spot: tuple) -> None:
    x, y = spot
    contacts(hands, "touchStart", (x + 200, y + 150, PALM))
    hands.page.wait_for_timeout(300)
    contacts(hands, "touchMove", (x + 203, y + 151, PALM))
    contacts(hands, "touchStart", (x + 203, y + 151, PALM), (x, y, 10))
    contacts(hands, "touchEnd", (x + 203, y + 151, PALM))
    contacts(hands, "touchEnd")

    assert [tap["spot"]["zone"]["id"] for tap in hands.run("() => window.taps")] == ["left.cab_door_lower"]
    assert hands.run("() => window.places") == []


def test_a_second_touch_beside_the_first_makes_no_marker(hands: Hands, spot: tuple) -> None:
    x, y = spot
    contacts(hands, "touchStart", (x, y, 12))
    contacts(hands, "touchStart", (x, y, 12), (x + 90, y + 120, 30))  # a little finger, too small for a palm
    contacts(hands, "touchEnd", (x, y, 12))
    contacts(hands, "touchEnd")

    assert hands.run("() => window.taps") == []


def test_small_moves_and_growing_contacts_that_other_browsers_report_are_understood(hands: Hands, spot: tuple) -> None:
    # Chromium keeps moves within 15 px to itself; others send them all, so they are given as events here.
    x, y = spot
    pointer(hands, ("down", x, y, 80), ("move", x + 6, y - 5, 86), ("move", x - 5, y + 6, 92), ("up", x - 5, y + 6, 92))
    pointer(hands, ("down", x, y, 50), ("move", x + 2, y, 100), ("move", x + 2, y, 2 * PALM), ("up", x, y, 2 * PALM))
    pointer(hands, ("down", x, y, 50), ("move", x + 12, y, 50), ("up", x + 12, y, 50))  # that was a drag

    assert len(hands.run("() => window.taps")) == 1
    assert len([place for place in hands.run("() => window.places") if place["done"]]) == 1


def test_a_pen_taps_exactly_and_the_hand_that_holds_it_does_nothing(hands: Hands, spot: tuple) -> None:
    x, y = spot
    contacts(hands, "touchStart", (x + 120, y + 100, 30))
    pen(hands, "mousePressed", x, y)
    pen(hands, "mouseReleased", x, y)
    contacts(hands, "touchEnd")
    hands.page.touchscreen.tap(x + 140, y + 90)  # it rolls off the glass
    [tap] = hands.run("() => window.taps")

    assert tap["spot"]["by"] == "pen"
    assert tap["spot"]["spread"] == pytest.approx(5 * hands.run("() => window.board.viewport.unit") * 10, abs=1)
