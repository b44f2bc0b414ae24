"""The gaps over the weeks as a file: measured at vans, one line for each make and joint, figures as the page has them."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

import pytest
from desk import Desk, said

from inspect_app.rooms.rates.sheet import COLUMNS, GAPS
from inspect_app.trade import outline

JOINT = "left.joint.sliding_door_to_rear_panel"
WEDNESDAY = 1_795_000_000_000 // 604_800_000 * 604_800_000 + 6 * 86_400_000 + 43_200_000  # 1970 began on a Thursday
WEEK = 7 * 86_400_000
REFERENCE = Path(__file__).parents[2] / "docs" / "reference.md"


@pytest.fixture
def maud(client_as):
    return lambda: Desk(client_as("maud"))


@pytest.fixture
def measured(plant):
    """Eight vans of one make, a week apart, each 0.2 mm closer; two of another, too few to be told."""
    line = outline.builtin().joint(JOINT).lines[0]
    x, y = line[len(line) // 2]
    for number in range(10):
        then = WEDNESDAY + number % 8 * WEEK
        plant.journal.clock = lambda then=then: then
        plant.ines.sign_in()
        plant.maud.sign_in()
        unit = plant.unit(f"{700_000 + number}", make="=Brennach" if number < 8 else "Orlune")
        walk = plant.ines.start_walk(unit)
        at = {"x": round(x * 10), "y": round(y * 10), "spread": 50, "gap": 80 - 2 * (number % 8)}
        plant.ines.mark(unit, walk, "gap", "left.sliding_door_lower", "B1", **at)
        plant.ines.finish_walk(unit, walk)
    then = WEDNESDAY + 8 * WEEK
    plant.journal.clock = lambda: then


def file(desk, query):
    answer = desk.get(f"/rates/gaps.csv{query}")
    assert answer.status_code == 200, said(answer)
    return answer, list(csv.DictReader(io.StringIO(answer.data.decode("utf-8-sig"))))


ALL = "?from=2026-11-01&to=2027-02-28"


def test_each_make_and_joint_is_a_line_with_figures_that_a_spreadsheet_takes_as_figures(measured, maud):
    desk = maud()
    answer, (row,) = file(desk, ALL)

    assert answer.mimetype == "text/csv"
    assert answer.headers["Content-Disposition"] == 'attachment; filename="gaps_2026-11-01_2027-02-28.csv"'
    assert tuple(row) == GAPS
    # 8.0, 7.8, … 6.6 mm: a mean of 7.3 and 0.2 mm less each week, without any spread.
    assert (row["make"], row["joint"], row["label"]) == ("'=Brennach", JOINT, "sliding door to rear panel, left side")
    assert (row["gaps"], row["mean"], row["slope"]) == ("8", "7.3000", "-0.2000")
    assert (float(row["low"]), float(row["high"])) == pytest.approx((-0.2, -0.2), abs=1e-4)
    assert (row["drifts"], row["from"], row["to"]) == ("yes", "2026-11-01", "2027-02-28")
    page = desk.get(f"/rates{ALL}")
    assert "shrinks by 0.20 mm a week (8 gaps)" in said(page)
    link = re.search(r'<a href="([^"]+)">Take this table as CSV</a>', page.text)[1].replace("&amp;", "&")
    assert desk.get(link).data == answer.data


def test_it_is_narrowed_as_the_page_is_and_without_gaps_enough_there_is_only_the_header(measured, maud):
    desk = maud()
    assert len(file(desk, f"{ALL}&kind=gap")[1]) == 1
    empty, rows = file(desk, f"{ALL}&kind=nib")
    assert rows == []
    assert empty.data.decode("utf-8-sig").strip() == ",".join(GAPS)
    assert file(desk, "?from=2026-12-01&to=2026-12-08")[1] == []
    assert "Take this table as CSV" not in desk.get(f"/rates{ALL}&kind=nib").text
    wrong = desk.get("/rates/gaps.csv?from=2026-12-09&to=2026-12-01")
    assert wrong.status_code == 422
    assert said(wrong).strip()


@pytest.mark.parametrize(("name", "columns"), [("rates", COLUMNS), ("gaps", GAPS)])
def test_the_reference_says_what_each_column_means(name, columns):
    after = REFERENCE.read_text("utf-8").split(f"| column of `{name}.csv` | what |")[1].split("\n\n")[0]
    named = [
        key for line in after.splitlines() for key in re.findall(r"`(\w+)`", line.split("|")[1] if "|" in line else "")
    ]

    assert named == list(columns)
