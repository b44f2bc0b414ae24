"""Which marks are offered as possible doubles: pairs against a plain search over all of them."""

from __future__ import annotations

import math
import random

import pytest
from playwright.sync_api import Page

pytestmark = pytest.mark.browser

KINDS = {"nib": {"group": "paint"}, "run": {"group": "paint"}, "gap": {"group": "fit"}}
FIND = """async ({ markers, kinds, different }) => {
  const { doublesOf, pairOf } = await import("/client/doubles.js");
  return doublesOf(markers, kinds, new Set(different)).map((pair) => [pair.double.id, pair.into.id, pair.apart, pairOf(pair)]);
}"""


def mark(key: str, by: str, x: int, y: int, **more: object) -> dict[str, object]:
    return {"id": key, "made_by": by, "made_at": int(key[1:]), "x": x, "y": y, "view": "left", "kind": "nib",
            "state": "open", "spread": 30, **more}  # fmt: skip


def found(page: Page, *markers: dict[str, object], different: tuple[str, ...] = ()) -> list[list[object]]:
    pairs: list[list[object]] = page.evaluate(
        FIND, {"markers": list(markers), "kinds": KINDS, "different": list(different)}
    )
    return pairs


def test_marks_of_two_people_close_together_are_offered_as_doubles(modules: Page) -> None:
    pairs = found(modules, mark("m1", "ines", 1000, 1000), mark("m2", "lukasz", 1120, 1000, kind="run"))

    assert [pair[:3] for pair in pairs] == [["m2", "m1", 12]]


@pytest.mark.parametrize(
    "more",
    [{"x": 1301}, {"view": "right"}, {"kind": "gap"}, {"made_by": "ines"}, {"state": "reworked"}, {"spread": 301},
     {"x": None, "y": None}],
    ids=["too far", "another view", "another group", "the same person", "in other hands", "tapped from afar", "a list-only view"],
)  # fmt: skip
def test_what_is_no_double_is_not_offered(modules: Page, more: dict[str, object]) -> None:
    assert found(modules, mark("m1", "ines", 1000, 1000), mark("m2", "lukasz", 1000, 1000)) != []
    assert found(modules, mark("m1", "ines", 1000, 1000), {**mark("m2", "lukasz", 1000, 1000), **more}) == []


def test_a_pair_called_two_flaws_is_not_offered_again(modules: Page) -> None:
    marks = mark("m1", "ines", 1000, 1000), mark("m2", "lukasz", 1000, 1000)
    [pair] = found(modules, *marks)

    assert found(modules, *marks, different=(str(pair[3]),)) == []


def test_each_mark_is_offered_with_the_nearest_of_others(modules: Page) -> None:
    draw = random.Random(4)
    marks = [mark(f"m{n}", draw.choice("abc"), draw.randrange(900), draw.randrange(900)) for n in range(1, 61)]
    nearest = {}
    for late in marks:
        others = [
            (math.dist((late["x"], late["y"]), (early["x"], early["y"])), early["id"])  # type: ignore[arg-type]
            for early in marks
            if early["made_at"] < late["made_at"] and early["made_by"] != late["made_by"]  # type: ignore[operator]
        ]
        if others and min(others)[0] <= 300:
            nearest[late["id"]] = min(others)[1]

    assert {pair[0]: pair[1] for pair in found(modules, *marks)} == nearest
    assert len(nearest) > 20
