"""Methods laid out as tasks in one order of departments, with minutes, waits, and the earliest second look."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.catalogue_rows import Method, Step

ORDER = ("stores", "strip", "body", "prep", "paint", "polish", "glass", "fit", "trim")
"""Body before paint before polish before seal and trim; a department of the plant's own comes last. Common practice."""


Steps = tuple[tuple[str, int, str], ...]
"""Department, minutes, what is done."""


class Doing(NamedTuple):
    """One method on one part, or on a set of parts; for which markers, with the minutes for each step of its chain."""

    method: str
    parts: tuple[str, ...]
    markers: tuple[str, ...]
    steps: Steps
    wait_minutes: int


class Task(NamedTuple):
    """One department's step, and when it begins and ends, in minutes from the start."""

    method: str
    parts: tuple[str, ...]
    markers: tuple[str, ...]
    department: str
    minutes: int
    text: str
    begins: int
    ends: int


@dataclass(frozen=True, kw_only=True)
class Laid:
    """Tasks in order; minutes by department; when the last hand is off, and when all may be looked at again.

    Hands-on minutes one after another, as on one van; waits run by the clock. Queues, nights and breaks are not in it.
    """

    tasks: tuple[Task, ...]
    by_department: Mapping[str, int]
    worked_minutes: int
    second_look_minutes: int


def doing(method: Method, parts: Sequence[str], markers: Sequence[str], spots: int, *, off_van: bool) -> Doing:
    """Return one method on one part with this many spots; bases are those of a rack when the part is off the van."""
    steps = tuple([(step.department, step_minutes(step, spots, off_van), step.text) for step in method.chain])
    return Doing(method.key, tuple(parts), tuple(markers), steps, method.wait_minutes)


def step_minutes(step: Step, spots: int, off_van: bool) -> int:
    """Return the minutes of one step of a chain for so many spots."""
    base = step.minutes_off if off_van and step.minutes_off is not None else step.minutes_base
    return base + step.minutes_spot * spots


def split(total: int, method: Method) -> list[tuple[str, int, str]]:
    """Share minutes among the steps of a method as their own minutes stand to each other; whole minutes, none lost."""
    weights = [step.minutes_base + step.minutes_spot for step in method.chain]
    exact = [total * weight / sum(weights) for weight in weights]
    whole = [int(one) for one in exact]
    for place in sorted(range(len(exact)), key=lambda n: whole[n] - exact[n])[: total - sum(whole)]:
        whole[place] += 1
    return [(step.department, minutes, step.text) for step, minutes in zip(method.chain, whole, strict=True)]


def lay_out(catalogue: Catalogue, doings: Iterable[Doing]) -> Laid:
    """Put the steps of all doings in order: by department as in ORDER, never before the step they follow."""
    ranked = {department: rank for rank, department in enumerate(dict.fromkeys([*ORDER, *catalogue.departments]))}
    work = list(doings)
    known: dict[str, list[int]] = {}
    steps: list[tuple[int, int, int]] = []
    for place, one in enumerate(work):
        if one.method not in known:  # the steps of a method are the same on every part
            known[one.method] = _ranks(ranked, one)
        steps += [(rank, place, number) for number, rank in enumerate(known[one.method])]
    steps.sort()
    tasks: list[Task] = []
    clock, look, hours = 0, 0, dict.fromkeys([*ORDER, *catalogue.departments], 0)
    for _rank, place, number in steps:
        one = work[place]
        department, minutes, text = one.steps[number]
        tasks.append(
            Task(one.method, one.parts, one.markers, department, minutes, text, clock, clock + minutes)
        )  # fmt: skip
        clock += minutes
        hours[department] = hours.get(department, 0) + minutes
        if number == len(one.steps) - 1 and clock + one.wait_minutes > look:
            look = clock + one.wait_minutes
    spent = {department: minutes for department, minutes in hours.items() if minutes}
    return Laid(tasks=tuple(tasks), by_department=spent, worked_minutes=clock, second_look_minutes=max(look, clock))


def _ranks(ranked: Mapping[str, int], one: Doing) -> list[int]:
    ranks: list[int] = []
    for department, _minutes, _text in one.steps:
        ranks.append(max([ranked.get(department, len(ranked)), *ranks[-1:]]))
    return ranks
