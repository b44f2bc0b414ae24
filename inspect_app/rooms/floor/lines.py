"""One unit as one line of the floor: what this person should do, where the unit is in the job, what blocks it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import tzinfo
from functools import cached_property
from typing import Any

from inspect_app.journal.queries.floor import Rows, Standing
from inspect_app.rooms.units.words import STAGES, due_words, moment_words, next_step, when_words
from inspect_app.words import gettext as _
from inspect_app.words import midway, ngettext
from inspect_app.words.listed import all_of as listed

Row = Any  # sqlite3.Row, or a mapping in a test


@dataclass(frozen=True, kw_only=True)
class Line:
    """What the macro unit_line shows, with where it leads."""

    unit: Row
    href: str
    wants: str = ""
    stage: str = ""
    blocked: str = ""
    due: str = ""


@dataclass(frozen=True, kw_only=True)
class Person:
    """Who looks at the floor."""

    id: str
    roles: frozenset[str]
    departments: frozenset[str]


@dataclass(frozen=True, kw_only=True)
class View:
    """The floor with the words for it. `departments` and `purposes`: labels by key."""

    standing: Standing
    person: Person
    now: int
    zone: tzinfo
    departments: Mapping[str, str]
    purposes: Mapping[str, str]

    @cached_property
    def units(self) -> dict[str, Row]:
        """Every unit that can stand on a line, by id."""
        shown = (*self.standing.units, *self.standing.signed, *self.standing.elsewhere)
        return {row["id"]: row for row in shown}

    @cached_property
    def sixes(self) -> Counter[str]:
        """How many of them share their last six."""
        return Counter(row["last_six"] for row in self.units.values())

    @cached_property
    def _of(self) -> dict[str, dict[str, list[Row]]]:
        found: dict[str, dict[str, list[Row]]] = {"walks": {}, "rings": {}, "jobs": {}}
        for noun, rows in found.items():
            for row in getattr(self.standing, noun):
                rows.setdefault(row["unit"], []).append(row)
        return found

    def of(self, noun: str, unit: Row) -> list[Row]:
        """The walks, rings or jobs of one unit."""
        return self._of[noun].get(unit["id"], [])

    def line(self, unit: Row, *, href: str | None = None, wants: str = "", stage: str = "", blocked: str = "") -> Line:
        """Make a line; what is not given is worked out from the unit."""
        told = stage or self.stage(unit)
        blocked = blocked or ("" if stage else self.blocked(unit))
        twin = _("another unit ends so") if self.sixes[unit["last_six"]] > 1 else ""
        return Line(
            unit=unit,
            href=href or next_step(unit, self.person.roles).href,
            wants=wants,
            stage=told,
            blocked=", ".join(filter(None, (blocked, twin))),
            due=self.due(unit),
        )

    def due(self, unit: Row) -> str:
        """When it is due, or was signed."""
        if unit["state"] == "signed":
            return _("signed %(when)s", when=moment_words(unit["signed_at"], self.now, self.zone))
        return due_words(unit["due"], self.now, self.zone)

    def stage(self, unit: Row) -> str:
        """Where the unit is in the job."""
        if unit["stage"] == "to_walk":
            return _("arrived %(when)s", when=self.when(unit["arrived_at"]))
        if unit["stage"] == "walking":
            return self.walk(next(iter(self.of("walks", unit)), None))
        if unit["stage"] == "signed":
            return _("signed, revision %(revision)s", revision=unit["revision"])
        return _(STAGES[unit["stage"]])

    def walk(self, walk: Row | None) -> str:
        """A walk under way: which, by whom, since when."""
        if walk is None:
            return _(STAGES["walking"])
        label, when = self.purposes.get(walk["purpose"], walk["purpose"]), self.when(walk["started_at"])
        if walk["person"] == self.person.id:
            return _("%(walk)s, begun by you %(when)s", walk=label, when=when)
        return _("%(walk)s, begun by %(who)s %(when)s", walk=label, who=walk["name"], when=when)

    def blocked(self, unit: Row) -> str:
        """What the unit waits for, in words: departments with jobs, a question, its first walk."""
        if unit["questions"]:
            return ngettext("%(n)s open question", "%(n)s open questions", unit["questions"])
        if unit["stage"] == "to_walk":
            return _(STAGES["to_walk"])
        if unit["stage"] == "in_rework":
            return self.rework(unit)
        return ""

    def rework(self, unit: Row) -> str:
        """Which departments have the unit's jobs now, and what those wait for."""
        jobs = [row for row in self.of("jobs", unit) if row["state"] != "waiting"]
        names: dict[str, int] = {}
        for job in jobs:
            name = midway(self.departments.get(job["department"], job["department"]))
            names[name] = names.get(name, 0) + job["jobs"]
        if not names:
            marks = unit["open"] + unit["in_rework"]
            return ngettext("%(n)s mark in no job yet", "%(n)s marks in no job yet", marks)
        told = listed([_has(name, number) for name, number in names.items()])
        waits = {job["waiting_what"] for job in jobs if job["waiting_what"]}
        return f"{told}, {_('waits for %(what)s', what=listed(sorted(waits)))}" if waits else told

    def when(self, at: int) -> str:
        """A moment, shortly; "at" before a clock."""
        return when_words(at, self.now, self.zone)


def _has(name: str, jobs: int) -> str:
    return ngettext("%(name)s has %(n)s job", "%(name)s has %(n)s jobs", jobs, name=name)


def by_unit(rows: Rows, units: Mapping[str, Row]) -> list[tuple[Row, list[Row]]]:
    """Rows gathered by unit, in the order in which the units are met; rows of units not shown are left out."""
    found: dict[str, list[Row]] = {}
    for row in rows:
        if row["unit"] in units:
            found.setdefault(row["unit"], []).append(row)
    return [(units[key], rows_of) for key, rows_of in found.items()]


def due_first(lines: Iterable[Line], *, last: Callable[[Line], bool] = lambda line: False) -> list[Line]:
    """Lines by due date, those without one last; `last` tells which go to the end whatever their date."""
    return sorted(lines, key=lambda line: (last(line), line.unit["due"] is None, line.unit["due"] or 0))
