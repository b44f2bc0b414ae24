"""docs/outlines.md: the small outline it shows can be published as it stands, and its tables say what the code does."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

from inspect_app.trade import outline, outline_numbers, outline_xml
from inspect_app.trade.outline_model import ART, CLASSES, DRAWN, LAPS, LISTED, MATERIALS, PAINTS
from inspect_app.trade.outline_numbers import OURS, make

PAGE = (Path(__file__).parents[2] / "docs" / "outlines.md").read_text(encoding="utf-8")


def example() -> str:
    """The SVG that the page shows."""
    return re.search(r"```svg\n(.*?)```", PAGE, flags=re.S)[1]


def test_the_small_outline_of_the_page_can_be_published():
    made, left_out = outline.load_foreign(example())

    assert left_out == {}
    assert [view.id for view in made.views] == ["left", "rear", "inside"]
    assert {joint.parts for view in made.views for joint in view.joints} == {
        ("wing_left", "cab_door_left"), ("cab_door_left", "box_left"), ("rear_door_left", "rear_door_right"),
    }  # fmt: skip
    # It uses the ids of our own outline where they mean the same, as the page asks.
    assert sum(zone.id in {z.id for z in outline.builtin().zones} for zone in made.zones) >= 6


def test_the_ranges_of_the_page_are_those_of_the_form():
    rows = {
        row[0]: (int(row[1]), int(row[2]))
        for row in re.findall(r"^\| (\S[^|]*?) \|[^|]*\| (\d+) \| (\d+) \|$", PAGE, re.M)
    }

    assert rows == {
        "Length": outline_numbers.LENGTH,
        "Wheelbase": outline_numbers.WHEELBASE,
        "Width": outline_numbers.WIDTH,
        **{f"Height, {roof} roof": ends for roof, ends in outline_numbers.HEIGHT.items()},
    }
    low, high = outline_numbers.OVERHANGS
    assert f"{low} to {high} mm less than the length" in PAGE


def test_the_zones_that_come_and_go_are_those_the_page_lists():
    listed = [set(re.findall(r"`(\w+\.\w+)`", cell)) for row in re.findall(r"^\| (?:no sliding door on the right|lower than).*$", PAGE, re.M)
              for cell in row.split("|")[2:4]]  # fmt: skip
    ours = {zone.id for zone in outline.builtin().zones}
    left_only = {zone.id for zone in make(replace(OURS, sliding_door="left")).zones}
    low = {zone.id for zone in make(replace(OURS, roof="mid", height_mm=2379)).zones}
    just = {zone.id for zone in make(replace(OURS, roof="mid", height_mm=2380)).zones}

    assert listed == [ours - left_only, left_only - ours, ours - low, set()]
    assert just == ours


def test_every_word_an_attribute_may_be_stands_on_the_page():
    for word in (*ART, *CLASSES, *LAPS, *MATERIALS, *PAINTS, *DRAWN, *LISTED):
        assert re.search(rf"`[^`]*\b{word}\b[^`]*`|\b{word} (at|when|seldom|not)", PAGE), word
    assert f"{outline_xml.LARGEST:,} characters" in PAGE
