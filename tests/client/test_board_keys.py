"""The drawing by keyboard, and how it fits its place on the screen."""

from __future__ import annotations

import pytest

from .hands import BOX, Hands

pytestmark = pytest.mark.browser


def test_the_keyboard_reaches_and_marks_every_place(hands: Hands) -> None:
    hands.page.focus("#drawing")
    hands.page.keyboard.press("Enter")
    for _ in range(5):
        hands.page.keyboard.press("ArrowRight")
    hands.page.keyboard.press("Shift+ArrowDown")
    aim = hands.run("() => window.aims.at(-1)")
    hands.page.keyboard.press("Enter")
    taps = hands.run("() => window.taps")

    assert len(taps) == 1
    assert (taps[0]["spot"]["x"], taps[0]["spot"]["y"]) == (aim["x"], aim["y"])
    assert hands.page.locator("path.reticle:visible").count() == 1


def test_the_reticle_is_followed_when_near(hands: Hands) -> None:
    hands.page.focus("#drawing")
    for _ in range(3):
        hands.page.keyboard.press("+")
    for _ in range(40):
        hands.page.keyboard.press("ArrowLeft")
    box, at = hands.run(BOX), hands.run("() => window.board.reticle.at")
    hands.page.keyboard.press("Home")
    hands.settle()

    assert box["x"] <= at["x"] <= box["x"] + box["w"]
    assert not hands.run(BOX)["zoomed"]


def test_the_drawing_takes_the_touches_and_the_page_keeps_the_rest(hands: Hands) -> None:
    touch = "(where) => getComputedStyle(document.querySelector(where)).touchAction"

    assert hands.run(touch, "#drawing") == "none"
    assert hands.run(touch, "body") == "auto"
    assert hands.run("() => getComputedStyle(document.querySelector('#drawing')).transform") == "none"


def test_every_view_fits_with_nothing_cut_off_and_follows_a_turned_tablet(hands: Hands) -> None:
    board = hands.run("() => document.getElementById('board').getBoundingClientRect().toJSON()")
    for view in ("right", "front", "rear", "roof", "left"):
        hands.run("(view) => window.board.setView(view)", view)
        van = hands.run("() => document.querySelector('#drawing .art').getBoundingClientRect().toJSON()")

        assert van["left"] >= board["left"], view
        assert van["right"] <= board["right"], view
        assert van["top"] >= board["top"], view
        assert van["bottom"] <= board["bottom"], view
        assert max(van["width"] / board["width"], van["height"] / board["height"]) > 0.8, view

    hands.page.set_viewport_size({"width": 744, "height": 1133})
    hands.page.wait_for_timeout(100)
    van = hands.run("() => document.querySelector('#drawing .art').getBoundingClientRect().toJSON()")

    assert van["left"] >= 0
    assert van["right"] <= 744


def test_a_line_that_grows_under_the_drawing_moves_nothing_under_the_finger(hands: Hands) -> None:
    tall = "(px) => { document.getElementById('board').style.height = `${px}px`; }"
    hands.run(tall, 640)
    hands.page.wait_for_function("() => window.board.viewport.area.height > 600")
    hands.run("() => window.board.viewport.zoomAt(500, 300, 4)")
    before = hands.at(2000, 1200)
    hands.run(tall, 600)
    hands.page.wait_for_function("() => window.board.viewport.area.height < 620")
    assert hands.at(2000, 1200) == pytest.approx(before, abs=0.5)

    hands.run("() => window.board.viewport.show(window.board.viewport.whole)")
    hands.run(tall, 640)
    hands.page.wait_for_function("() => window.board.viewport.area.height > 620")
    assert not hands.run("() => window.board.viewport.zoomed")  # all of it stays in sight
