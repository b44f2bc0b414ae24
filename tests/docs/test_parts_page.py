"""Every example of docs/parts.md gives what stands under it, and its figures are the product's."""

from __future__ import annotations

import doctest
import re
from contextlib import nullcontext
from pathlib import Path

import pytest

from inspect_app.journal.events import Refusal
from inspect_app.journal.labels import MIX_UP
from inspect_app.journal.queries.setup import CLIP_COST
from sample_units.hands import new_id
from tests.journal.test_parts import NEXT, PLASTIC, Rack

PAGE = Path(__file__).parents[2] / "docs" / "parts.md"
TEXT = PAGE.read_text("utf-8")


def run(text: str) -> doctest.TestResults:
    """Run the examples of a page."""
    test = doctest.DocTestParser().get_doctest(text, {}, PAGE.name, str(PAGE), 0)
    return doctest.DocTestRunner(verbose=False).run(test, out=lambda _: None)


def test_every_example_gives_what_stands_under_it() -> None:
    found = run(TEXT)

    assert found.attempted >= 12
    assert found.failed == 0


def test_the_runner_notices_a_wait_that_is_wrong() -> None:
    wrong = TEXT.replace("36 * hour) is None", "35 * hour) is None")
    assert wrong != TEXT

    assert run(wrong).failed == 1


def test_the_clips_of_the_example_cost_what_the_product_takes() -> None:
    count, price, total = (float(one) for one in re.search(r"(\d) × ([\d.]+) = ([\d.]+\d)", TEXT).groups())

    assert price == CLIP_COST / 100
    assert total == count * price


def test_each_label_of_the_table_is_answered_as_it_says(plant) -> None:
    unit, white = plant.unit("047312"), plant.unit("047312", colour="Tern white")
    plant.unit("118940", colour="Tern white")
    part, other = new_id(), new_id()
    for one, of in ((part, "moulding_cab_door_left"), (other, "moulding_cab_door_right")):
        plant.dmytro.online(unit, "part_off", {"part": one, "of": of})
    read = {
        "118 940": {"six": "118940"},
        "047 312": {"six": "047312"},
        "047 312, and the white van chosen": {"six": "047312", "van": white},
        "047 312, and the grey van chosen": {"six": "047312", "van": unit},
        "999 999": {"six": "999999"},
        "0473": {"six": "0473"},
        "the code of the other moulding off this van": {"label": other},
    }
    rows = [[cell.strip() for cell in line.strip("| ").split(" | ")] for line in TEXT.splitlines() if line[:2] == "| "]
    table = [row for row in rows if row[0] in read]
    assert [row[0] for row in table] == list(read)

    for typed, says, counted in sorted(table, key=lambda row: row[1] == "the stage is noted"):
        body = {"part": part, "stage": "washed", "since": "off", **read[typed]}
        if says == "the stage is noted":
            assert plant.per.online(unit, "part_stage", body).outcome == "applied"
            continue
        with pytest.raises(Refusal) as refused:
            plant.per.online(unit, "part_stage", body)
        assert refused.value.reason.startswith(says)
        assert (refused.value.code == MIX_UP) == (counted == "yes")


def test_each_line_about_two_mixes_is_so(plant) -> None:
    rack = Rack(plant)
    lines = [line.strip("| ").split(" | ") for line in TEXT.splitlines() if line.startswith("| FG 0412")]
    assert len(lines) == 3
    for number, (neighbours, own, reason, says) in enumerate(lines):
        unit = plant.unit(f"{500_000 + number}")
        part, pair = rack.off(unit), rack.off(unit, NEXT)
        rack.through(pair, *PLASTIC, mix=neighbours)
        rack.through(part, *PLASTIC, mix=own)
        rack.later(24)
        with nullcontext() if says == "is refitted" else pytest.raises(Refusal, match="of mix"):
            rack.refit(part, reason=None if reason == "none" else reason)

        assert (plant.row("parts", part)["state"] == "refitted") == (says == "is refitted")
