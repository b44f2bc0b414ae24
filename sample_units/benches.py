"""Rework: jobs taken and done one after the other, in working hours, by whoever of the department has this van."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from inspect_app.journal import Answer
from sample_units.days import MINUTE, Story
from sample_units.van import Van, must

Job = dict[str, Any]
Wanted = Callable[[Job], bool]


def rework(van: Van, start: int, wanted: Wanted = lambda job: True, *, today: bool = False) -> Story:
    """Do every job that is wanted, and what follows from it, until none is ready. `today`: whatever the hour."""
    moment = start
    while True:
        yield moment
        ready = [job for job in van.rows("jobs", "state = 'ready' AND waiting_what IS NULL") if wanted(job)]
        if not ready:
            return
        job = ready[0]
        who = van.shop.of(job["department"], van.spec.key)
        minutes = max(3, round(job["minutes_planned"] * van.lot.uniform(0.75, 1.2)))
        if not today and (late := _too_late(van, moment, minutes)):
            moment = late
            continue
        take(van, job, who)
        yield (moment := moment + minutes * MINUTE)
        done(van, job, who, minutes)
        moment += round(van.lot.uniform(2, 9) * MINUTE)
        moment = moment if today else van.shop.days.at_work(moment)


def _too_late(van: Van, moment: int, minutes: int) -> int | None:
    """The next morning when a job begun now would not end in working hours; None when it would, or could not anyway."""
    days = van.shop.days
    end = moment + minutes * MINUTE
    at_opening = days.at_work(moment - MINUTE) == moment
    return None if at_opening or days.at_work(end) == end else days.at_work(end)


def take(van: Van, job: Job, who: str) -> Answer:
    """Take a job, its cautions read; now and then the technician says whose flaw it was."""
    answer = must(van.shop.hands(who).take(van.id, job))
    if van.lot.random() < 0.4:
        for row in _markers(van, job)[:1]:
            if row["origin_basis"] == "assumed":
                van.do(who, "origin_revised", {"marker": row["id"], "origin": row["origin"]})
    return answer


def done(van: Van, job: Job, who: str, minutes: int) -> Answer:
    """Log a step, after its photos when it is the last."""
    if not van.rows("jobs", f"chain = '{job['chain']}' AND step > {job['step']} AND state = 'waiting'"):
        for row in _markers(van, job):
            number = van.number_of(row["id"])
            taken = van.rows("photos", f"marker = '{row['id']}' AND role = 'after'")
            mark = van.spec.marks[number]
            fails = mark.name == "back" and row["attempt"] == 1  # what will be sent back is not pictured as put right
            if mark.photo == "pair" and not taken and not fails:
                van.photo(number, who, job=job["id"], after=True)
    method = van.shop.journal.catalogue().methods[job["method"]]
    body: dict[str, Any] = {"job": job["id"], "minutes": minutes}
    if job["film"] and job["department"] == "polish":
        body["film"] = round(job["film"] * van.lot.uniform(0.6, 1.3))
    if "new clips" in method.materials and job["department"] == "trim":
        body["clips"] = van.lot.randint(2, 7)
    return van.do(who, "work_done", body)


def _markers(van: Van, job: Job) -> list[dict[str, Any]]:
    inside = f"id IN (SELECT marker FROM job_markers WHERE job = '{job['id']}' AND left_out = 0)"
    return van.rows("markers", inside)


def cured(van: Van, after: int) -> int:
    """When the last of the work has cured, or `after` when that is later."""
    return max([after, *(row["cure_until"] or 0 for row in van.rows("markers", "state = 'reworked'"))])
