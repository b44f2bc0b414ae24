"""Whatever the cast does to a unit in whatever order: no fault, no marker without its jobs or with two, no job that waits for nothing."""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import Any

import pytest

from inspect_app.journal.events import Refusal
from inspect_app.journal.verify import verify
from sample_units.hands import new_id

ZONES = ("left.sliding_door_lower", "right.cab_door_lower")
KINDS = ("swirl", "nib", "scratch", "dent")  # few, so that markers share their jobs
ONLINE = {"concession_agreed", "concession_refused", "unit_reopened"}
WHY = {"reason": "because"}
TIMES = {
    "marker_made": 5,
    "marker_amended": 3,
    "job_taken": 4,
    "work_done": 5,
}  # oftener, so that there is something to do
TECHNICIANS = {
    "no_flaw_proposed", "job_taken", "work_done", "job_handed_back", "job_rerouted", "step_inserted", "spot_not_found",
    "waiting_for",
}  # fmt: skip

WITHOUT_JOBS = """
SELECT m.tag FROM markers m JOIN units u ON u.id = m.unit WHERE m.unit = ? AND u.state = 'open'
  AND m.state IN ('open', 'in_rework') AND m.severity <> 'S5' AND m.no_flaw IS NULL
  AND NOT EXISTS (SELECT 1 FROM questions q WHERE q.marker = m.id AND q.state = 'open' AND q.cause = 'spot_not_found')
  AND NOT EXISTS (SELECT 1 FROM walks w WHERE w.id = m.walk AND w.state = 'walking')
  AND NOT EXISTS (SELECT 1 FROM job_markers o JOIN jobs j ON j.id = o.job
    WHERE o.marker = m.id AND o.left_out = 0 AND j.state IN ('ready', 'taken', 'waiting'))
"""
IN_TWO_CHAINS = """
SELECT o.marker FROM job_markers o JOIN jobs j ON j.id = o.job WHERE o.unit = ? AND o.left_out = 0
  AND j.state IN ('ready', 'taken', 'waiting') GROUP BY o.marker HAVING count(DISTINCT j.chain) > 1
"""
WAITING_FOR_NOTHING = """
SELECT j.id FROM jobs j WHERE j.unit = ? AND j.state = 'waiting' AND NOT EXISTS (
  SELECT 1 FROM jobs o WHERE o.chain = j.chain AND o.step < j.step AND o.state IN ('ready', 'taken'))
"""


class Chance:
    """One unit, and acts drawn by lot: mostly by whoever may, on what is there."""

    def __init__(self, plant: Any, seed: int):
        self.plant, self.lot, self.unit = plant, random.Random(seed), plant.unit()
        self.catalogue = plant.journal.catalogue()
        self.inspectors = (plant.maud, plant.ines, plant.lukasz)
        self.technicians = (plant.per, plant.thanh, plant.zaneta, plant.dmytro)
        self.tags = iter(f"B{number}" for number in range(1, 10_000))
        self.bodies: dict[str, Callable[[], dict[str, Any]]] = {
            "walk_started": lambda: {"walk": new_id(), "purpose": self.one("first", "again", "second")},
            "walk_finished": lambda: {"walk": self.row("walks", state="walking")},
            "marks_released": lambda: {"walk": self.row("walks", state="walking")},
            "zone_looked": lambda: {"walk": self.row("walks"), "zone": self.one(*ZONES), "lap": "lamp"},
            "marker_made": self.marker,
            "marker_amended": lambda: {"marker": self.row("markers"), **self.change()},
            "marker_withdrawn": lambda: {"marker": self.row("markers"), **WHY},
            "marker_joined": lambda: {"marker": self.row("markers"), "into": self.row("markers")},
            "marker_accepted": lambda: {"marker": self.row("markers")},
            "put_right_here": lambda: {"marker": self.row("markers"), "how": "wipe"},
            "marker_cleared": lambda: {"marker": self.row("markers", state="reworked")},
            "marker_sent_back": lambda: {"marker": self.row("markers", state="reworked"), **WHY},
            "no_flaw_proposed": lambda: {**self.in_job(), **WHY},
            "no_flaw_decided": lambda: {"marker": self.row("markers"), "agreed": self.lot.random() < 0.5},
            "spot_not_found": lambda: {**self.in_job(), **WHY},
            "question_answered": lambda: {
                "question": self.row("questions", state="open"),
                "answer": "above the handle",
            },
            "job_taken": lambda: {"job": self.row("jobs", state="ready"), "cautions": list(self.catalogue.cautions)},
            "work_done": lambda: {"job": self.row("jobs", state="taken"), "minutes": 3},
            "job_handed_back": lambda: {"job": self.row("jobs", state="taken"), **WHY},
            "job_rerouted": lambda: {"job": self.row("jobs", state="ready"), "department": self.department(), **WHY},
            "step_inserted": lambda: {"job": self.row("jobs", state="taken"), "department": self.department(), **WHY},
            "waiting_for": lambda: {"job": self.row("jobs", state="ready"), "what": self.one("", "clip")},
            "concession_asked": lambda: {"concession": new_id(), "marker": self.row("markers")},
            "concession_agreed": lambda: {"concession": self.row("concessions", state="asked")},
            "concession_refused": lambda: {"concession": self.row("concessions", state="asked"), **WHY},
            "unit_reopened": lambda: dict(WHY),
        }

    def one(self, *choices: Any) -> Any:
        return self.lot.choice(choices)

    def row(self, table: str, **having: Any) -> str:
        """The id of something there, of the wanted kind if there is one; now and then of nothing."""
        rows = self.plant.rows(table, self.unit)
        fit = [row for row in rows if having.items() <= row.items()] or rows
        return str(self.lot.choice(fit)["id"]) if fit and self.lot.random() > 0.03 else new_id()

    def marker(self) -> dict[str, Any]:
        spot, kind = self.plant.ines.spot(self.unit, self.one(*ZONES)), self.one(*KINDS)
        more = {"walk": self.row("walks"), "severity": self.one("S5", "S4", "S3", "S2")}
        return {"marker": new_id(), "tag": next(self.tags), "kind": kind, **spot, **more}

    def change(self) -> dict[str, Any]:
        return self.one(
            {"kind": self.one(*KINDS)},
            {"method": self.one("dent_refinish", "touch_in", "refinish")},
            {"severity": self.one("S1", "S2", "S3", "S4", "S5")},
            {"count": 3},
        )

    def in_job(self) -> dict[str, Any]:
        job = self.row("jobs", state=self.one("ready", "taken"))
        inside = [row["marker"] for row in self.plant.rows("job_markers", self.unit) if row["job"] == job]
        return {"job": job, "marker": self.lot.choice(inside) if inside else self.row("markers")}

    def department(self) -> str:
        return str(self.one("body", "paint", "polish", "trim"))

    def who(self, event: str, body: dict[str, Any]) -> Any:
        if event in ONLINE:
            return self.one(self.plant.maud, *self.inspectors)
        if event not in TECHNICIANS:
            return self.one(*self.inspectors)
        job = next((row for row in self.plant.rows("jobs", self.unit) if row["id"] == body["job"]), None)
        fit = [
            hands
            for hands in self.technicians
            if job and (hands.person == job["taken_by"] if job["taken_by"] else job["department"] in hands.departments)
        ]
        return self.one(*(fit or self.technicians))

    def act(self) -> str:
        """Do one thing; return its outcome."""
        event = self.lot.choice([name for name in self.bodies for _ in range(TIMES.get(name, 1))])
        body = self.bodies[event]()
        hands = self.who(event, body)
        if event == "walk_finished" and self.lot.random() < 0.3:
            hands.look_everywhere(self.unit, body["walk"]) if body["walk"] in self.walks() else None
        try:
            if event in ONLINE:
                return str(hands.online(self.unit, event, body).outcome)
            private = {"reason": "because", "customer": "Mr Holm"} if event == "concession_asked" else None
            return str(hands.do(self.unit, event, body, private).outcome)
        except Refusal as refusal:
            return "error" if refusal.code == "fault" else "refused"

    def walks(self) -> list[str]:
        return [str(row["id"]) for row in self.plant.rows("walks", self.unit)]


@pytest.mark.parametrize("seed", [1, 2, 6, 11])
def test_whatever_is_done_every_marker_has_its_jobs_once_and_the_history_rebuilds(plant, seed):
    chance = Chance(plant, seed)
    outcomes = [chance.act() for _ in range(220)]
    read = plant.journal.read()

    assert "error" not in outcomes
    assert outcomes.count("applied") > 50
    for unwanted in (WITHOUT_JOBS, IN_TWO_CHAINS, WAITING_FOR_NOTHING):
        assert [tuple(row) for row in read.execute(unwanted, (chance.unit,))] == []
    assert verify(plant.journal.folder.path).clean
