"""What to do first: a department's open jobs in an order that anybody can follow, each with why it stands there.

The critical ratio is the time until a unit is due divided by the work that is left on it. Below 1 it is late already;
the smallest goes first. Jobs on one part of one unit stay together, jobs for the booth are gathered into loads, what a
manager has put first comes first, and what waits for something stands apart. Some public pages state the ratio's sense
backwards: here small is urgent.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from graphlib import CycleError, TopologicalSorter
from itertools import groupby
from math import floor, inf, isfinite, isnan
from numbers import Real

from inspect_app.words import gettext as _
from inspect_app.words.figures import figure
from inspect_app.words.listed import all_of
from inspect_app.words.spans import minutes_words

Moment = datetime | float | int
_Urgency = Mapping[str, tuple[float, float]]


@dataclass(frozen=True, kw_only=True)
class Work:
    """One open job. `hours_left` is all work left on its unit up to `due`, in hours; so all jobs of a unit agree.

    Jobs that need the booth name the colour they are sprayed in, how they are baked, and which booth. `waits_for` names
    other jobs (one that is not in the list is done), `lacking` anything else it waits for, in words. `pinned` is the
    place of a manager's "this first" (1 is the first), `pinned_by` that manager.
    """

    id: str
    unit: str
    part: str
    due: Moment | None = None
    hours_left: float
    colour: str | None = None
    bake: str | None = None
    booth: str | None = None
    pinned: int | None = None
    pinned_by: str | None = None
    waits_for: tuple[str, ...] = ()
    lacking: str | None = None


@dataclass(frozen=True, kw_only=True)
class Line:
    """What is done in one go: jobs on one part, or a booth load; the smallest ratio among them, and why it is here."""

    jobs: tuple[Work, ...]
    load: tuple[str, str, str] | None
    ratio: float
    late: bool
    why: str


@dataclass(frozen=True, kw_only=True)
class Worklist:
    """The lines in the order of doing, and the jobs that wait, each with what it waits for in words."""

    lines: tuple[Line, ...]
    waiting: tuple[tuple[Work, str], ...]


def critical_ratio(due: Moment, now: Moment, hours_left: float) -> float:
    """Return the time to `due` divided by the work left; below 1 is late already, below 0 the due time has passed.

    `due` and `now` are two datetimes, both with a time zone or both without, or two numbers. Of datetimes the time to
    due is in hours of the clock; numbers may be hours, or days with the work in days, or hours of shifts.
    With no work left nothing can be late: the ratio is infinite.

    Raises:
        ValueError: work below zero or not a number, a datetime with a number, a time zone on one of the two only.
    """
    if not isinstance(hours_left, Real) or isnan(hours_left) or hours_left < 0:
        raise ValueError(f"the work left must be zero hours or more (got {hours_left!r})")
    left = _hours(due, now)
    return inf if hours_left == 0 else left / float(hours_left)


def _hours(due: Moment, now: Moment) -> float:
    if isinstance(due, datetime) and isinstance(now, datetime):
        if (due.utcoffset() is None) != (now.utcoffset() is None):
            raise ValueError("one of the two times has a time zone and the other has none; give both one")
        if due.utcoffset() is not None:
            due, now = due.astimezone(UTC), now.astimezone(UTC)  # within one zone Python would count wall clocks
        return (due - now).total_seconds() / 3600
    for moment in (due, now):
        if isinstance(moment, datetime) or not isinstance(moment, Real) or not isfinite(moment):
            raise ValueError(f"due and now must be two datetimes or two numbers (got {due!r} and {now!r})")
    return float(due) - float(now)  # type: ignore[arg-type]


def worklist(jobs: Iterable[Work], now: Moment) -> Worklist:
    """Put jobs in order: pinned ones first, then by critical ratio, ties by due date, then by unit and part.

    Raises:
        ValueError: jobs that wait for each other in a ring, one id twice, or what `critical_ratio` refuses.
    """
    everything = {job.id: job for job in jobs_once(jobs)}
    check_waits({job.id: job.waits_for for job in everything.values()})
    waiting = {job.id: _lacking(job, everything) for job in everything.values()}
    ready = [job for job in everything.values() if not waiting[job.id]]
    urgency = {job.id: _urgency(job, now) for job in everything.values()}
    lines = [_line(key, group, urgency, now) for key, group in _gathered(ready).items()]
    lines.sort(key=lambda line: _rank(line.jobs, urgency))
    apart = sorted((job for job in everything.values() if waiting[job.id]), key=lambda job: _rank([job], urgency))
    return Worklist(lines=tuple(lines), waiting=tuple((job, waiting[job.id]) for job in apart))


def jobs_once(jobs: Iterable[Work]) -> list[Work]:
    """Return the jobs as a list; ValueError when two have one id."""
    found = list(jobs)
    seen: set[str] = set()
    for job in found:
        if job.id in seen:
            raise ValueError(f"the job '{job.id}' is in the list twice; keep one of them")
        seen.add(job.id)
    return found


def check_waits(waits: Mapping[str, Sequence[str]]) -> None:
    """Raise ValueError, naming the ring, when jobs wait for each other so that nobody could ever begin."""
    try:
        TopologicalSorter({job: list(others) for job, others in waits.items()}).prepare()
    except CycleError as fault:
        ring = [f"'{job}'" for job in reversed(fault.args[1])]
        raise ValueError(f"{' waits for '.join(ring)}: none of them can begin; end one of these waits") from None


def _lacking(job: Work, everything: Mapping[str, Work]) -> str:
    held_up = [everything[other] for other in job.waits_for if other in everything]
    words = [_("“%(job)s” on the %(part)s", job=other.id, part=other.part) for other in held_up]
    return all_of([*words, *([job.lacking] if job.lacking else [])])


def _urgency(job: Work, now: Moment) -> tuple[float, float]:
    """The ratio and the time until due. Without a due date nothing presses: both are infinite."""
    if job.due is None:
        return inf, inf
    return critical_ratio(job.due, now, job.hours_left), _hours(job.due, now)


def _load(job: Work) -> tuple[str, str, str] | None:
    return None if job.booth is None else (job.colour or "no colour", job.bake or "air dry", job.booth)


def _gathered(jobs: Sequence[Work]) -> dict[tuple[str, ...], list[Work]]:
    """Jobs by load or, without the booth, by unit and part; what else is done to a part in a load goes with it."""
    loads: dict[tuple[str, str], tuple[str, str, str]] = {}
    for job in jobs:
        if load := _load(job):
            loads[job.unit, job.part] = min(load, loads.get((job.unit, job.part), load))
    gathered: dict[tuple[str, ...], list[Work]] = {}
    for job in jobs:
        here = _load(job) or loads.get((job.unit, job.part))
        gathered.setdefault(("load", *here) if here else ("part", job.unit, job.part), []).append(job)
    return gathered


def _line(key: tuple[str, ...], jobs: list[Work], urgency: _Urgency, now: Moment) -> Line:
    groups = [list(group) for _, group in groupby(sorted(jobs, key=_place), key=_place)]
    groups.sort(key=lambda group: _rank(group, urgency))
    ordered = [job for group in groups for job in sorted(group, key=lambda job: _rank([job], urgency))]
    urgent = min(ordered, key=lambda job: (urgency[job.id], job.id))
    ratio = urgency[urgent.id][0]
    load = (key[1], key[2], key[3]) if key[0] == "load" else None
    return Line(jobs=tuple(ordered), load=load, ratio=ratio, late=ratio < 1, why=_why(ordered, urgent, ratio, now))


def _place(job: Work) -> tuple[str, str]:
    return job.unit, job.part


def _rank(jobs: Sequence[Work], urgency: _Urgency) -> tuple[float, tuple[float, float], str, str, str]:
    pin = min((job.pinned for job in jobs if job.pinned is not None), default=inf)
    first = min(jobs, key=lambda job: (urgency[job.id], job.unit, job.part, job.id))
    return pin, urgency[first.id], first.unit, first.part, first.id


def _why(jobs: Sequence[Work], urgent: Work, ratio: float, now: Moment) -> str:
    pins = sorted((job for job in jobs if job.pinned is not None), key=lambda job: (job.pinned or 0, job.id))
    why = in_words(urgent.due, now, urgent.hours_left, ratio)
    if not pins:
        return why
    if pins[0].pinned_by is None:
        return _("put first by a manager; %(why)s", why=why)
    return _("put first by %(name)s; %(why)s", name=pins[0].pinned_by, why=why)


def _span_words(hours: float) -> str:
    """Hours as a stretch of time, downwards as in the browser, so that what is late by a hair stays below."""
    return minutes_words(floor(hours * 60 + 1e-9))


def in_words(due: Moment | None, now: Moment, hours_left: float, ratio: float) -> str:
    """Say a critical ratio with the figures it comes from, as "late: 10 h left for 16 h of work and waits (0.62)"."""
    if due is None:
        return _("no due date")
    if ratio == inf:
        return _("no work left")
    left = _hours(due, now)
    ratio = floor(ratio * 100 + 1e-9) / 100  # rounded down, so that what is late is never shown as 1.00
    away = abs(left) if left > -10 else floor(0.5 - left)  # long past: nobody counts the minutes
    work = minutes_words(floor(hours_left * 60 + 0.5))
    told = {"left": _span_words(away), "work": work, "ratio": figure(f"{ratio:.2f}")}
    if left < 0:  # below 0 a ratio orders the list and tells a person nothing
        return _("late: due %(left)s ago, %(work)s of work and waits left", **told)
    if ratio < 1:  # the rounded one is below 1 exactly when the ratio is
        return _("late: %(left)s left for %(work)s of work and waits (%(ratio)s)", **told)
    return _("in time: %(left)s left for %(work)s of work and waits (%(ratio)s)", **told)
