"""The browser works out the points of a path as the server does, to the last digit: what a tap means hangs on them."""

from __future__ import annotations

import json
import random
from typing import Any

import pytest
from playwright.sync_api import Page

from inspect_app.trade import outline
from inspect_app.trade.outline_path import parse_path, polylines
from inspect_app.trade.outline_short import settled, short

from .conftest import by_text

pytestmark = pytest.mark.browser

VAN = outline.builtin()
POINTS = "async (paths) => { const { polylines } = await import('/client/curves.js'); return JSON.stringify(paths.map(polylines)); }"
UNFOLD = """async (json) => {
  const { Outline } = await import('/client/outline.js');
  const van = new Outline(json);
  const joints = json.views.flatMap((view) => view.joints);
  return { rings: Object.fromEntries(van.zones.map((zone) => [zone.id, zone.rings])),
    lines: Object.fromEntries(joints.map((joint) => [joint.id, joint.lines])) };
}"""


def as_json(lines: Any) -> list[list[list[float]]]:
    return [[[float(x), float(y)] for x, y in line] for line in lines]


def test_rings_and_joints_of_the_van_have_the_very_same_points(modules: Page) -> None:
    found = by_text(modules, UNFOLD, VAN.to_json())

    assert found["rings"] == {zone.id: as_json(ring.points for ring in zone.rings) for zone in VAN.zones}
    assert found["lines"] == {joint.id: as_json(joint.lines) for view in VAN.views for joint in view.joints}


def some_path(dice: random.Random) -> str:
    """A path of all commands the file knows, at any place and to three decimals."""

    def place() -> str:
        return f"{dice.uniform(-200, 7000):.3f} {dice.uniform(-200, 3000):.3f}"

    def step() -> str:
        return dice.choice((
            f"L {place()}", f"H {dice.uniform(0, 7000):.2f}", f"V {dice.uniform(0, 3000):.1f}",
            f"C {place()} {place()} {place()} {place()} {place()} {place()}", f"S {place()} {place()}",
            f"Q {place()} {place()}", f"A {dice.uniform(5, 900):.2f} {dice.uniform(5, 900):.2f} {dice.uniform(0, 180):.1f} {dice.choice((0, 1))} {dice.choice((0, 1))} {place()}",
        ))  # fmt: skip

    drawn = [f"M {place()} " + " ".join(step() for _ in range(dice.randint(1, 7))) for _ in range(dice.randint(1, 3))]
    return " Z ".join(drawn) + dice.choice((" Z", ""))


def test_any_path_has_the_very_same_points(modules: Page) -> None:
    dice = random.Random(11)
    paths = [parse_path(some_path(dice)) for _ in range(100)]

    found = json.loads(modules.evaluate(POINTS, [short(path) for path in paths]))

    assert sum(len(line) for lines in found for line in lines) > 10_000
    assert found == [as_json(polylines(settled(path), 2.0)) for path in paths]


def test_absolute_paths_are_read_as_well_as_relative_ones(modules: Page) -> None:
    plain = ["M 5 5 L 10 5 H 20 V 9 C 20 9 15 9 12 9 Z M 1 1 L 2 2", "M5 5h5h10v4c0 0-5 0-8 0zm-4-4l1 1"]

    one, other = json.loads(modules.evaluate(POINTS, plain))

    assert one == other
    assert (one[0][0], one[0][-1], one[1]) == ([5, 5], [5, 5], [[1, 1], [2, 2]])


def test_an_outline_that_the_browser_kept_from_an_earlier_release_still_opens(modules: Page) -> None:
    kept = VAN.to_json()
    for view in kept["views"]:
        for joint in view["joints"]:
            joint["line"] = as_json(next(j for j in VAN.view(view["id"]).joints if j.id == joint["id"]).lines)[0]
            del joint["d"]

    found = by_text(modules, UNFOLD, kept)

    assert found["lines"] == {joint.id: as_json(joint.lines) for view in VAN.views for joint in view.joints}


# A browser that never has an idle moment; Chromium has had none for five minutes on a page that nobody saw.
READY = """async (json) => {
  globalThis.requestIdleCallback = (run, { timeout } = {}) => timeout && setTimeout(run, timeout);
  const { drawOutline, Outline } = await import('/client/outline.js');
  const van = new Outline(json);
  const held = () => van.views.get('left').zones.filter((zone) => 'value' in Object.getOwnPropertyDescriptor(zone, 'rings'));
  const before = held().length;
  drawOutline(document.querySelector('svg'), json, 'left');
  while (held().length < van.views.get('left').zones.length) await new Promise((done) => setTimeout(done, 20));
  return [before, van.views.get('right').zones.some((zone) => 'value' in Object.getOwnPropertyDescriptor(zone, 'rings'))];
}"""


def test_the_points_of_a_view_are_ready_before_its_first_tap_and_no_others(modules: Page) -> None:
    assert by_text(modules, READY, VAN.to_json()) == [0, False]
