"""The browser finds and names a spot as the server does."""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from inspect_app.trade import outline

from .conftest import by_text

pytestmark = pytest.mark.browser

VECTORS = Path(__file__).parents[1] / "vectors" / "where.json"
VAN = outline.builtin()
ASK = """async ({ json, cases, ask }) => {
  const { Outline } = await import('/client/outline.js');
  const van = new Outline(json);
  const asks = {
    words: (c) => van.describe(c.zone, c.x, c.y, c.spread),
    zone: (c) => van.zoneAt(c.view, c.x, c.y)?.id ?? null,
    joint: (c) => van.nearestJoint(c.view, c.x, c.y, 1500)?.joint.id ?? null,
  };
  return cases.map(asks[ask]);
}"""


def ask(modules: Page, what: str, cases: list[dict[str, Any]]) -> list[str | None]:
    found: list[str | None] = by_text(modules, ASK, {"json": VAN.to_json(), "cases": cases, "ask": what})
    return found


def spots(count: int) -> list[dict[str, Any]]:
    """Spots all over the drawn views and a little beside them."""
    dice = random.Random(7)
    views = [view for view in VAN.views if not view.listed]
    found = []
    for _ in range(count):
        view = dice.choice(views)
        found.append(
            {"view": view.id, "x": dice.randint(-400, view.width * 10), "y": dice.randint(-400, view.height * 10)}
        )
    return found


def test_the_spot_is_said_in_the_same_words(modules: Page) -> None:
    cases = json.loads(VECTORS.read_text("utf-8"))

    assert len(cases) > 30
    assert ask(modules, "words", cases) == [case["words"] for case in cases]


def test_a_tap_finds_the_same_zone(modules: Page) -> None:
    cases = spots(1500)
    ours = [VAN.locate(c["view"], c["x"], c["y"]) for c in cases]

    assert sum(zone is not None for zone in ours) > 500
    assert ask(modules, "zone", cases) == [zone.id if zone else None for zone in ours]


def test_a_gap_snaps_to_the_same_joint(modules: Page) -> None:
    cases = spots(600)
    ours = [VAN.nearest_joint(c["view"], c["x"], c["y"], 1500) for c in cases]

    assert sum(joint is not None for joint in ours) > 100
    assert ask(modules, "joint", cases) == [joint.id if joint else None for joint in ours]


def test_words_of_random_spots_agree(modules: Page) -> None:
    cases = []
    for number, case in enumerate(spots(800)):
        zone = VAN.locate(case["view"], case["x"], case["y"])
        if zone is not None:
            cases.append({**case, "zone": zone.id, "spread": (0, 40, 180, 700, 2000)[number % 5]})

    assert ask(modules, "words", cases) == [VAN.describe(c["zone"], c["x"], c["y"], c["spread"]) for c in cases]
