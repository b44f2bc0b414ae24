"""The groups of the floor: what needs this person now, by role; then everything else, folded."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from inspect_app.rooms.floor.jobs import held, ready, taken
from inspect_app.rooms.floor.lines import Line, View, by_unit, due_first
from inspect_app.rooms.floor.looking import look_again
from inspect_app.rooms.floor.waiting import concessions, late, questions, sheets
from inspect_app.words import N_, ngettext
from inspect_app.words import gettext as _

FIRST = 8  # lines shown at once; the others of the group are folded

# Each group's head, and what would fill it when it is empty.
NAMED = {
    "walking": (
        N_("Your walks under way"),
        N_("A unit stands here from your first look at it until you finish its walk."),
    ),
    "again": (N_("To look again"), N_("A unit comes here when the rework on one of its rings is done.")),
    "walk": (N_("To walk"), N_("Units come here when they arrive.")),
    "sign": (N_("Ready to sign"), N_("A unit comes here when every zone is looked at and every mark is decided.")),
    "taken": (N_("Your jobs"), N_("A job stands here from when you take it until you hand it on.")),
    "ready": (
        N_("Jobs to take"),
        N_("Jobs come here when a walk is finished, or when the step before yours is done."),
    ),
    "held": (N_("Jobs that wait"), N_("A job waits here for a part, a material or the step before it.")),
    "questions": (
        N_("Questions to answer"),
        N_("What needs a person's word comes here: a spot that cannot be found, a mark that may be no flaw."),
    ),
    "concessions": (
        N_("Concessions to answer"),
        N_("A concession comes here when an inspector asks to release a flaw as it is."),
    ),
    "late": (N_("Late"), N_("A unit comes here when its due date has passed.")),
    "sheets": (N_("Sheets being made"), N_("A sheet is here from its signature until its file is stored.")),
    "others": (N_("With others"), N_("Units that wait for somebody else stand here.")),
    "signed": (N_("Signed in the last seven days"), N_("Signed units stand here for a week.")),
}


@dataclass(frozen=True, kw_only=True)
class Group:
    """Lines under one head."""

    key: str
    lines: Sequence[Line]

    @property
    def title(self) -> str:
        """The head."""
        return _(NAMED[self.key][0])

    @property
    def fills(self) -> str:
        """What would fill it."""
        return _(NAMED[self.key][1])

    @property
    def count(self) -> str:
        """How many units."""
        return ngettext("%(n)s unit", "%(n)s units", len(self.lines)) if self.lines else _("none")

    @property
    def first(self) -> Sequence[Line]:
        """The lines shown at once; one alone is not worth a fold."""
        return self.lines if len(self.lines) <= FIRST + 1 else self.lines[:FIRST]

    @property
    def rest(self) -> Sequence[Line]:
        """The lines behind a fold."""
        return self.lines[len(self.first) :]


@dataclass(frozen=True, kw_only=True)
class Floor:
    """What needs the person now, what would if there were any, and the rest of the plant."""

    mine: Sequence[Group]
    empty: Sequence[Group]
    rest: Sequence[Group]


def floor(view: View) -> Floor:
    """Sort the floor for the person of the view. Someone with several roles sees what all of them see."""
    groups = [Group(key=key, lines=lines) for key, lines in _mine(view)]
    shown = {line.unit["id"] for group in groups for line in group.lines}
    rest = (
        Group(key="others", lines=[view.line(unit) for unit in view.standing.units if unit["id"] not in shown]),
        Group(key="signed", lines=[view.line(unit, href=f"/units/{unit['id']}") for unit in view.standing.signed]),
    )
    return Floor(mine=[g for g in groups if g.lines], empty=[g for g in groups if not g.lines], rest=rest)


def _mine(view: View) -> Iterator[tuple[str, Sequence[Line]]]:
    roles = view.person.roles
    if "inspector" in roles:
        yield "walking", _walking(view)
        yield "again", due_first(look_again(view), last=lambda line: not line.wants)
        yield "walk", _to_walk(view)
        yield "sign", _to_sign(view)
    if "technician" in roles:
        yield "taken", due_first(taken(view))
        yield "ready", due_first(ready(view))
        yield "held", due_first(held(view))
    if roles & {"inspector", "manager"}:
        yield "questions", due_first(questions(view))
        yield "concessions", due_first(concessions(view))
    if "manager" in roles:
        yield "late", late(view)
        yield "sheets", sheets(view)


def _walking(view: View) -> list[Line]:
    rows = [row for row in view.standing.walks if row["person"] == view.person.id]
    found = []
    for unit, walks in by_unit(rows, view.units):
        where = "again" if walks[0]["purpose"] == "again" else "walk"
        found.append(view.line(unit, href=f"/{where}/{unit['id']}", wants=_("Go on"), stage=view.walk(walks[0])))
    return due_first(found)


def _to_walk(view: View) -> list[Line]:
    units = [unit for unit in view.standing.units if unit["stage"] == "to_walk"]
    return [view.line(unit, href=f"/walk/{unit['id']}", stage=view.stage(unit)) for unit in units]


def _to_sign(view: View) -> list[Line]:
    units = [unit for unit in view.standing.units if unit["stage"] == "to_sign" and not unit["questions"]]
    return [
        view.line(unit, href=f"/sign-off/{unit['id']}", wants=_("Sign"), stage=_("every mark is decided"))
        for unit in units
    ]
