"""Lines for technicians: jobs taken, jobs ready in their departments, jobs that wait."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from inspect_app.rooms.floor.lines import Line, View, by_unit
from inspect_app.rooms.units.words import counted, listed, minutes_words, moment_words


def taken(view: View) -> list[Line]:
    """Units with jobs this person has taken."""
    rows = [job for job in view.standing.jobs if job["state"] == "taken" and job["taken_by"] == view.person.id]
    return [_line(view, unit, jobs, before="Go on: ") for unit, jobs in by_unit(rows, view.units)]


def ready(view: View) -> list[Line]:
    """Units with jobs free to take in this person's departments."""
    rows = [job for job in _ours(view) if job["state"] == "ready" and not job["waiting_what"]]
    return [_line(view, unit, jobs) for unit, jobs in by_unit(rows, view.units)]


def held(view: View) -> list[Line]:
    """Units with jobs of these departments that wait for a part, a material or an earlier step."""
    rows = [
        job for job in _ours(view) if job["state"] == "waiting" or (job["state"] == "ready" and job["waiting_what"])
    ]
    return [
        view.line(unit, href=f"/rework/{jobs[0]['job']}", stage=", ".join(_waits(view, jobs)))
        for unit, jobs in by_unit(rows, view.units)
    ]


def _ours(view: View) -> list[Any]:
    return [job for job in view.standing.jobs if job["department"] in view.person.departments]


def _line(view: View, unit: Any, jobs: Sequence[Any], *, before: str = "") -> Line:
    number, minutes = sum(job["jobs"] for job in jobs), sum(job["minutes"] for job in jobs)
    keys = dict.fromkeys(job["department"] for job in jobs)
    names = listed([view.departments.get(key, key).lower() for key in keys])
    since = f"taken {view.when(min(job['taken_at'] for job in jobs))}, " if before else ""
    waits = "".join(f", {wait}" for wait in _waits(view, jobs))
    return view.line(
        unit,
        href=f"/rework/{jobs[0]['job']}",
        wants=f"{before}{counted(number, 'job')} for {names}",
        stage=f"{since}{minutes_words(minutes)} planned{waits}",
    )


def _waits(view: View, jobs: Sequence[Any]) -> list[str]:
    waits = []
    for job in jobs:
        if job["waiting_what"]:
            until = f" until {moment_words(job['waiting_until'], view.now, view.zone)}" if job["waiting_until"] else ""
            waits.append(f"waits for {job['waiting_what']}{until}")
    later = sum(job["jobs"] for job in jobs if job["state"] == "waiting")
    return [*waits, f"{counted(later, 'job')} after an earlier step"] if later else waits
