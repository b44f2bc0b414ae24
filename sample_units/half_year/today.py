"""How the half-year's plant stands now: where vans and keys are, and somebody at work, whatever the hour."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING, Any

from inspect_app.journal import Journal
from sample_units.days import MINUTE
from sample_units.half_year.crew import Crew
from sample_units.half_year.desk import PLANNER
from sample_units.van import must

if TYPE_CHECKING:
    from sample_units.half_year.tell import Tale

AGO = 38 * MINUTE  # so long ago the walk that is under way was begun
PLACES = {
    "to_walk": "Yard, row {row}",
    "walking": "Light tunnel 1",
    "in_rework": "Rework bay {bay}",
    "to_look_again": "Light tunnel {tunnel}",
    "to_sign": "Release bay",
}
OPEN = "SELECT id, stage FROM units WHERE state = 'open' ORDER BY arrived_at, id"
TO_WALK = """
SELECT id FROM units u WHERE stage = 'to_walk' AND NOT EXISTS (SELECT 1 FROM walks w WHERE w.unit = u.id)
ORDER BY due, id
"""
READY = "SELECT * FROM jobs WHERE state = 'ready' AND department = 'polish' ORDER BY planned_at, id LIMIT 1"


def stand(tale: Tale) -> None:
    """Let a walk be under way and a job be taken, where none is, and say where every open van stands."""
    journal, clock, crew, now = tale.journal, tale.clock, tale.crew, tale.calendar.now
    walking, taken = (
        bool(journal.read().execute(f"SELECT 1 FROM {table} WHERE state = '{state}' LIMIT 1").fetchone())
        for table, state in (("walks", "walking"), ("jobs", "taken"))
    )
    if any(hands.ticket.until < now for hands in crew.hands.values()):
        clock.set(now - AGO - MINUTE)
        crew.sign_in()
    clock.set(now)
    if not walking:
        _walk(tale, now - AGO)
    if not taken:
        _take(journal, crew)
    _places(journal, crew)


def _walk(tale: Tale, start: int) -> None:
    row = tale.journal.read().execute(TO_WALK).fetchone()
    if row is not None:
        unit = tale.vans[row["id"]].unit
        begun = tale.walk(unit, unit.inspector, "first", (start, 100), 0.34)
        tale.send(begun.events, tale.calendar.now)


def _take(journal: Journal, crew: Crew) -> None:
    row = journal.read().execute(READY).fetchone()
    if row is not None:
        must(crew.hands[crew.of("polish")[0]].take(row["unit"], dict(row)))


def _places(journal: Journal, crew: Crew) -> None:
    """Place and keys of every open van; all of them side by side, since each is a commit of its own."""

    def put(told: tuple[int, Any]) -> None:
        number, row = told
        place = PLACES[row["stage"]].format(row=1 + number % 4, bay=1 + number % 6, tunnel=1 + number % 3)
        body = {"place": place, "keys": f"Board, hook {1 + number}"}
        must(crew.hands[PLANNER].online(row["id"], "unit_corrected", body))

    _abreast(put, list(enumerate(journal.read().execute(OPEN).fetchall())))


def _abreast(act: Callable[[Any], None], each: list[Any]) -> None:
    with ThreadPoolExecutor(12) as pool:
        list(pool.map(act, each))
