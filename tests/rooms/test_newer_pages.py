"""Pages that no other test opens by axe: a plan, a part off its van, a reading, the questions."""

from __future__ import annotations

import pytest
from accessible import MEANING, faults

from sample_units.hands import new_id
from tests.lent import EMPTY

NIB, PEELS = ("nib", "left.rear_panel_lower", {"size": 8}), ("flaking", "left.moulding_cab_door", {"size": 300})


def opened(plant) -> list[str]:
    """A van with marks, a part off, a reading and a question; one page of each sort."""
    unit, part, reading = plant.unit(), new_id(), new_id()
    walk = plant.ines.start_walk(unit)
    for number, (kind, zone, more) in enumerate((NIB, PEELS), 1):
        plant.ines.mark(unit, walk, kind, zone, f"A{number}", **more)
    plant.ines.finish_walk(unit, walk)
    plant.dmytro.online(unit, "part_off", {"part": part, "of": "moulding_cab_door_left"})
    plant.per.online(
        unit, "reading_taken", {"reading": reading, "what": "dew", "air": 200, "surface": 149, "humidity": 600}
    )
    plant.per.do(unit, "job_taken", {"job": "gone", "cautions": []})
    plant.journal.settled()
    return [
        f"/units/{unit}/plan",
        f"/units/{unit}/readings/gap",
        f"/parts/{part}",
        "/questions",
    ]


@pytest.mark.browser
def test_nothing_axe_knows_is_wrong_with_the_newer_pages(plant, page_as):
    pages = opened(plant)
    page = page_as("maud", EMPTY, size="tall", theme="day")
    found = {}
    for path in pages:
        page.goto(path, wait_until="domcontentloaded")
        if broken := faults(page, *MEANING):
            found[path] = broken
    assert found == {}
