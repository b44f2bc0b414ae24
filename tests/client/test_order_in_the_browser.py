"""The bench's order of jobs in Chromium: the same lines and the same words as trade/dispatch.py."""

import random

import pytest

from inspect_app.trade.dispatch import Work, worklist

from .conftest import by_text

HOUR = 3_600_000
pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def page(bench_modules):
    """A page with the bench's modules at hand."""
    return bench_modules


def drawn(draw):
    """Jobs of a few units: `due` in whole quarters of an hour from now, the work in hours."""
    units = {name: (draw.choice([None, *range(-8, 120, 3)]), draw.choice([0, 0.5, 3, 16, 41.25])) for name in "ABCDE"}
    for number in range(draw.randrange(1, 14)):
        unit = draw.choice("ABCDE")
        load = draw.choice([None, None, ("Moss", "warm", "booth"), ("Slate", "cool", "booth")])
        pinned = draw.choice([None, None, None, 1, 2])
        yield {
            "id": f"j{number:02}", "unit": unit, "part": draw.choice(["door", "roof"]), "quarters": units[unit][0],
            "hoursLeft": units[unit][1], "load": load, "pinned": pinned,
            "pinnedBy": None if pinned is None else draw.choice([None, "Maud"]),
        }  # fmt: skip


def in_python(jobs):
    works = []
    for job in jobs:
        colour, bake, booth = job["load"] or (None, None, None)
        works.append(
            Work(
                id=job["id"],
                unit=job["unit"],
                part=job["part"],
                hours_left=job["hoursLeft"],
                colour=colour,
                bake=bake,
                booth=booth,
                due=None if job["quarters"] is None else job["quarters"] / 4,
                pinned=job["pinned"],
                pinned_by=job["pinnedBy"],
            )
        )
    found = worklist(works, 0).lines
    return [
        [[job.id for job in line.jobs], list(line.load) if line.load else None, line.late, line.why] for line in found
    ]


IN_THE_BROWSER = """async lists => {
  const { worklist } = await import('/rooms/rework/order.js');
  return lists.map((jobs) => worklist(jobs.map((job) => ({ ...job, due: job.quarters === null ? null : job.quarters * 900_000 })), 0)
    .map((line) => [line.jobs.map((job) => job.id), line.load, line.late, line.why]));
}"""


def test_lines_their_order_and_their_words_are_the_same_in_both(page):
    draw = random.Random(20261128)
    lists = [list(drawn(draw)) for _ in range(400)]

    told = by_text(page, IN_THE_BROWSER, lists)

    wrong = [(jobs, one, in_python(jobs)) for jobs, one in zip(lists, told, strict=True) if one != in_python(jobs)]
    assert wrong[:1] == []
    assert {line[2] for one in told for line in one} == {True, False}


def test_the_lumberyard_exercise_gives_its_order(page):
    """Day 205; job: due day, days of work. Critical ratio 0.625, 1, 1.17 and 1.33 (a teaching exercise on dispatching rules)."""
    due = {"A": (212, 6), "B": (209, 3), "C": (208, 3), "D": (210, 8)}
    jobs = [
        {"id": name, "unit": name, "part": "hood", "quarters": (day - 205) * 4, "hoursLeft": left, "load": None, "pinned": None, "pinnedBy": None}
        for name, (day, left) in due.items()
    ]  # fmt: skip

    (told,) = by_text(page, IN_THE_BROWSER, [jobs])

    assert [line[0][0] for line in told] == ["D", "C", "A", "B"]
    assert told[0][3] == "late: 5 h left for 8 h of work and waits (0.62)"
