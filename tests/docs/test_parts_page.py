"""Every example of docs/parts.md gives what stands under it, and its figures are the product's."""

from __future__ import annotations

import doctest
import re
from pathlib import Path

from inspect_app.journal.queries.setup import CLIP_COST

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
