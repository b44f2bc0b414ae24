"""Lines for technicians: jobs taken, jobs ready in their departments, jobs that wait."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from inspect_app.rooms.floor.lines import Line, View, by_unit
from inspect_app.rooms.units.words import minutes_words, moment_words
from inspect_app.words import gettext as _
from inspect_app.words import midway, ngettext
from inspect_app.words.listed import all_of as listed


def taken(view: View) -> list[Line]:
    """Units with jobs this person has taken."""
    rows = [job for job in view.standing.jobs if job["state"] == "taken" and job["taken_by"] == view.person.id]
    return [_line(view, unit, jobs, going_on=True) for unit, jobs in by_unit(rows, view.units)]


def ready(view: View) -> list[Line]:
    """Units with jobs free to take in this person's departments."""
    rows = [job for job in _ours(view) if job["state"] == "ready" and not job["waiting_what"] and not job["covered"]]
    return [_line(view, unit, jobs) for unit, jobs in by_unit(rows, view.units)]


def held(view: View) -> list[Line]:
    """Units with jobs of these departments that wait for a part, a material or an earlier step, or for a new film."""
    rows = [
        job
        for job in _ours(view)
        if job["state"] == "waiting" or (job["state"] == "ready" and (job["waiting_what"] or job["covered"]))
    ]
    return [
        view.line(unit, href=f"/rework/{jobs[0]['job']}", stage=", ".join(_waits(view, jobs)))
        for unit, jobs in by_unit(rows, view.units)
    ]


def _ours(view: View) -> list[Any]:
    return [job for job in view.standing.jobs if job["department"] in view.person.departments]


def _line(view: View, unit: Any, jobs: Sequence[Any], *, going_on: bool = False) -> Line:
    number, minutes = sum(job["jobs"] for job in jobs), sum(job["minutes"] for job in jobs)
    keys = dict.fromkeys(job["department"] for job in jobs)
    names = listed([midway(view.departments.get(key, key)) for key in keys])
    since = [_("taken %(when)s", when=view.when(min(job["taken_at"] for job in jobs)))] if going_on else []
    told = ngettext("%(n)s job for %(names)s", "%(n)s jobs for %(names)s", number, names=names)
    return view.line(
        unit,
        href=f"/rework/{jobs[0]['job']}",
        wants=_("Go on: %(what)s", what=told) if going_on else told,
        stage=", ".join([*since, _("%(time)s planned", time=minutes_words(minutes)), *_waits(view, jobs)]),
    )


def _waits(view: View, jobs: Sequence[Any]) -> list[str]:
    waits = []
    for job in jobs:
        if job["waiting_what"]:
            waits.append(_waits_for(view, job))
    later = sum(job["jobs"] for job in jobs if job["state"] == "waiting")
    if later:
        waits.append(ngettext("%(n)s job after an earlier step", "%(n)s jobs after an earlier step", later))
    if spared := sum(job["jobs"] for job in jobs if job["covered"]):
        words = ngettext(
            "%(n)s job covered by the refinish of its part", "%(n)s jobs covered by the refinish of their part", spared
        )
        waits.append(words)
    return waits


def _waits_for(view: View, job: Any) -> str:
    if not job["waiting_until"]:
        return _("waits for %(what)s", what=job["waiting_what"])
    until = moment_words(job["waiting_until"], view.now, view.zone)
    return _("waits for %(what)s until %(until)s", what=job["waiting_what"], until=until)
