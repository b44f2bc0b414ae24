"""Every example of docs/judgement.md gives what stands under it, and every function that judges has one."""

from __future__ import annotations

import doctest
from pathlib import Path

import pytest

PAGE = Path(__file__).parents[2] / "docs" / "judgement.md"
TEXT = PAGE.read_text("utf-8")
# What the page must work out: by the name it is called with.
JUDGES = (
    *("limits.verdict", "size_fault", "clusters", "limits.busiest_circle", "limits.busiest_square", "open_methods"),
    *(
        "clear_left",
        "ways",
        "cheapest_plan",
        "plan_unit",
        "critical_ratio",
        "worklist",
        "readings.colour",
        "readings.gap",
    ),
    *("readings.flush", "readings.symmetry", "readings.film", "readings.dew_point", "readings.dew_margin", "adhesion"),
)


def examples() -> doctest.DocTest:
    """The page as one run of examples, each with what must come out."""
    return doctest.DocTestParser().get_doctest(TEXT, {}, PAGE.name, str(PAGE), 0)


def test_every_example_gives_what_stands_under_it() -> None:
    said: list[str] = []

    found = doctest.DocTestRunner(verbose=False).run(examples(), out=said.append)

    assert found.attempted > 50
    assert found.failed == 0, "".join(said)


@pytest.mark.parametrize("judge", JUDGES)
def test_every_judge_is_worked_out_with_an_outcome(judge: str) -> None:
    assert any(f"{judge}(" in one.source and one.want for one in examples().examples)


def test_the_runner_notices_a_number_that_is_wrong() -> None:
    wrong = TEXT.replace("\n0.625\n", "\n0.626\n")
    assert wrong != TEXT
    test = doctest.DocTestParser().get_doctest(wrong, {}, PAGE.name, str(PAGE), 0)

    assert doctest.DocTestRunner(verbose=False).run(test, out=lambda _: None).failed == 1
