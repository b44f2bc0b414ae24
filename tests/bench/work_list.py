"""A department's work list: what the server does for it against the one query that reads it.

The list itself is put in order on the tablet, which has to have it without a server too; the server gives the rows. The
floor is one statement that reads the department's open jobs with their markers, and of each van what a line shows. What
the tablet's feed gives is more: the same rows by table, work and questions, and the names of people, as objects to be
written as JSON.
"""

from __future__ import annotations

from pathlib import Path

from inspect_app.journal.queries import changes
from tests.bench import marks
from tests.bench.measure import Finding, turns
from tests.bench.plant import Site, site

DEPARTMENT, VANS, EACH = "polish", 50, 100
LIST = """
SELECT j.*, m.*, u.last_six, u.make, u.model, u.colour, u.due, u.stage FROM jobs j
JOIN job_markers o ON o.job = j.id AND o.left_out = 0 JOIN markers m ON m.id = o.marker JOIN units u ON u.id = j.unit
WHERE j.department = ? AND j.state IN ('ready', 'taken', 'waiting') AND u.state = 'open' ORDER BY u.due, j.unit, j.part, j.id
"""


def work_list_of_5000(folder: Path) -> list[Finding]:
    """Give the rows of a plant where a department has 5,000 open markers, against one query of them."""
    with site(folder) as here:
        for number in range(VANS):
            _marked(here, number)
        db, person = here.journal.read(), here.plant.people["per"]
        listed = len(db.execute(LIST, (DEPARTMENT,)).fetchall())
        if listed < VANS * EACH:
            raise RuntimeError(f"the list has {listed} markers instead of {VANS * EACH}")
        found = turns(
            lambda _: db.execute(LIST, (DEPARTMENT,)).fetchall(),
            lambda _: changes.of_plant(db, 0, person),
            rounds=20, warm=3,
        )  # fmt: skip
    claim = "Rows for the work list of a department with 5,000 open markers, against one SQL query of the list"
    return [Finding(claim=claim, found=found.ratio, most=1.3)]


def _marked(here: Site, number: int) -> None:
    """A van with nibs for the department, which are released before the walk is over."""
    unit, ines = here.plant.unit(), here.plant.ines
    walk = ines.start_walk(unit)
    events = marks.markers(ines, unit, walk, EACH, seed=number)
    for event in events:
        event["body"] |= {"kind": "nib", "size": 8}
    answers = ines.send(*events, ines.event(unit, "marks_released", {"walk": walk}))
    if wrong := [answer.reason for answer in answers if answer.outcome != "applied"]:
        raise RuntimeError(wrong[0])
