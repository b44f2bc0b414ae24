"""The stages of parts as data, and what follows from them."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from pydantic import ValidationError

from inspect_app.trade import catalogue, part_stages
from inspect_app.trade.catalogue import CatalogueError

FILE = Path(part_stages.__file__).with_name("catalogue") / "part_stages.toml"
BOOK = part_stages.builtin()
HOUR = 3_600_000


def raw() -> dict:
    return tomllib.loads(FILE.read_text("utf-8"))


def test_each_material_has_the_stages_of_the_trade():
    # common practice, no source: plastic is flamed, a moulded fibre part is not, a metal door is neither washed nor flamed
    assert {key: one.stages[1:-1] for key, one in BOOK.materials.items()} == {
        "plastic": ("washed", "flamed", "prepped", "primed", "painted"),
        "fibre": ("washed", "prepped", "primed", "painted"),
        "metal": ("prepped", "primed", "painted"),
    }


def test_every_stage_names_a_department_and_cautions_of_the_catalogue_and_every_value_its_origin():
    book = catalogue.builtin()
    for stage in BOOK.stages.values():
        assert stage.department in book.departments
        assert set(stage.cautions) <= set(book.cautions)
        assert stage.cautions
    assert all(one.origin for one in (*BOOK.stages.values(), *BOOK.materials.values(), *BOOK.waits, *BOOK.windows))


def test_the_flame_shows_hot_work_and_every_paint_shows_isocyanates():
    assert "flame" in BOOK.stages["flamed"].cautions
    assert {"isocyanate", "solvent"} <= set(BOOK.stages["primed"].cautions) & set(BOOK.stages["painted"].cautions)


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (lambda book: book["materials"]["metal"]["stages"].insert(1, "dipped"), "names the stage 'dipped', which does not exist"),
        (lambda book: book["materials"]["metal"]["stages"].pop(), "has to begin with 'off' and to end"),
        (lambda book: book["materials"]["plastic"]["stages"].insert(2, "washed"), "names a stage twice"),
        (lambda book: book["waits"][0].update(minutes=0), "there have to be minutes"),
        (lambda book: book["windows"][0].update(since="lit"), "'lit' of a wait or window is not a stage"),
    ],
)  # fmt: skip
def test_stages_that_contradict_each_other_are_named(change, why):
    book = raw()
    change(book)

    with pytest.raises(CatalogueError, match=why):
        part_stages.load(book)


def test_an_unknown_field_is_refused():
    with pytest.raises(ValidationError):
        part_stages.load({**raw(), "colour": "red"})


def test_the_wait_that_ends_first_is_told_and_the_last_one_decides():
    done = {"painted": 0}

    assert [part_stages.keeps(BOOK, done, "refitted", at).text for at in (0, HOUR)] == [
        "it bakes and cools",
        "the paint hardens",
    ]
    assert part_stages.keeps(BOOK, done, "refitted", 24 * HOUR) is None
    assert part_stages.free_at(BOOK, done, "refitted") == 24 * HOUR
    assert part_stages.free_at(BOOK, done, "washed") is None


def test_the_flame_has_two_hours_until_the_primer_and_none_after_it():
    done = {"washed": 0, "flamed": HOUR}
    span, until = part_stages.fades(BOOK, "plastic", done, "prepped")

    assert (span.since, until) == ("flamed", 3 * HOUR)
    assert part_stages.fades(BOOK, "plastic", {**done, "primed": 2 * HOUR}, "primed") is None
    assert part_stages.fades(BOOK, "metal", {"prepped": HOUR}, "prepped") is None


def test_a_stage_done_again_takes_back_what_came_after_it():
    done = {"off": 1, "washed": 2, "flamed": 3, "prepped": 4}

    assert part_stages.done_after(BOOK, "plastic", done, "flamed", 9) == {"off": 1, "washed": 2, "flamed": 9}


@pytest.mark.parametrize(
    ("part", "across"),
    [("moulding_cab_door_left", "moulding_cab_door_right"), ("wing_right", "wing_left"), ("rear_cap", None)],
)
def test_the_counterpart_is_the_same_on_the_other_side(part, across):
    assert part_stages.counterpart(part) == across


def test_parts_belong_together_left_and_right_and_front_to_rear():
    others = ["moulding_cab_door_right", "moulding_sliding_door_left", "moulding_rear_panel_left", "rear_cap"]
    found = part_stages.belong_together(
        "moulding_cab_door_left", ["moulding_sliding_door_left", "cab_door_left"], others
    )

    assert found == ["moulding_cab_door_right", "moulding_sliding_door_left"]
