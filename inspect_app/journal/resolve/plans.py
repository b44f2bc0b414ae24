"""An accepted plan: worked out once more against the markers of now, and laid down as chains of jobs."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from typing import Any

from inspect_app.journal.events import Incoming, Refusal, Resolved
from inspect_app.journal.planned import Task, task
from inspect_app.journal.queries import plans
from inspect_app.journal.resolve import resolves
from inspect_app.journal.resolve.planning import new_chain
from inspect_app.journal.writing import Writing
from inspect_app.trade.outline_model import part_label
from inspect_app.trade.repair_order import Doing
from inspect_app.trade.repair_spots import WHOLE
from inspect_app.trade.repair_unit import BLEND, SET, UnitPlan, Way
from inspect_app.words import gettext as _
from inspect_app.words.listed import all_of

Chain = dict[str, Any]


@resolves("plan_accepted")
def plan_accepted(w: Writing, event: Incoming) -> Resolved:
    """Take the plan that was shown, and put its chains in place of those nobody has begun."""
    w.in_time(event)
    unit, body = w.counted(event), event.body
    if plans.walked_now(w.db, event.unit):
        raise Refusal("walked", _("A walk of this unit is still going on; accept the plan when it is finished."), 409)
    held = task(w.db, unit, w.catalogue(None), w.versions.outline(w.db, unit["outline"]), money=body.counted == "money")
    if not held.prints:
        raise Refusal("nothing", _("There is nothing to plan on this unit: no marker waits for work."), 409)
    if held.basis != body.basis:
        raise Refusal(
            "stale",
            _(
                "Markers or figures of this unit have changed since the plan was shown; look at it again, then accept it."
            ),
            409,
        )
    try:
        plan = held.plan({one.part: one.chosen for one in body.otherwise})
    except ValueError as fault:
        raise Refusal("otherwise", str(fault), 422) from None
    chains = list(_chains(held, plan.proposed))
    _say_why(held, chains, {one.part: one.reason for one in body.otherwise})
    return Resolved(values={**_told(plan), "prints": held.prints, **_left(w, chains), "chains": chains})


def _say_why(held: Task, chains: list[Chain], reasons: Mapping[str, str]) -> None:
    """Lay a person's reason to the chains of a part that goes otherwise, but for those that no new film would spare."""
    painted = {held.rows[flaw.id]["id"] for flaw in held.flaws if any(method in WHOLE for method in flaw.methods)}
    for chain in chains:
        if chain["part"] in reasons and painted & set(chain["markers"]):
            chain["otherwise"] = reasons[chain["part"]]


def _told(plan: UnitPlan) -> dict[str, Any]:
    way = plan.proposed
    laid = way.laid
    return {
        "text": plan.text,
        "booth": way.booth,
        "cost": round(way.cost or 0),
        "minutes": laid.worked_minutes if laid else 0,
        "look_minutes": laid.second_look_minutes if laid else 0,
        "refinish": sorted(renewed(way)),
        "blends": [list(pair) for pair in way.blends],
    }


def renewed(way: Way) -> set[str]:
    """Return the parts whose whole film a plan renews."""
    return {part for one in way.doings if one.method in WHOLE for part in one.parts}


def _left(w: Writing, chains: list[Chain]) -> dict[str, Any]:
    departments = {
        marker: {"method": chain["method"], "department": chain["jobs"][0]["department"]}
        for chain in chains
        for marker in chain["markers"]
    }
    return {"markers": departments, "leave": plans.jobs_of(w.db, departments)}


def _chains(held: Task, way: Way) -> Iterator[Chain]:
    """Yield a chain for every method on a part; a blend, or a neighbour painted along, is in the chain of its part.

    The visit to the booth itself is in no job: other vans may share it.
    """
    more = _along(held, way)
    for one in way.doings:
        if not one.markers:
            continue
        pieces = one.parts if one.method == SET and len(one.parts) > 1 else ()
        for number, part in enumerate(pieces or one.parts[:1]):
            mine = [tag for tag in one.markers if not pieces or held.rows[tag]["part"] == part]
            steps = (
                _share(one, number, len(pieces)) if pieces else [minutes for _department, minutes, _text in one.steps]
            )
            yield from _of_part(held, one, part, mine, steps, more[part] if one.method in WHOLE else _More())


class _More:
    """What is done along with a part that is refinished: minutes by department, and words."""

    def __init__(self) -> None:
        self.minutes: dict[str, int] = defaultdict(int)
        self.into: list[str] = []
        self.with_it: list[str] = []


def _along(held: Task, way: Way) -> dict[str, _More]:
    """Lay each blend to the refinished one of its two parts, and a part without markers to a neighbour that has some."""
    found: dict[str, _More] = defaultdict(_More)
    whole = renewed(way)
    owners = {one.parts[0] for one in way.doings if one.method in WHOLE and one.markers}
    hosts: dict[str, str] = {}
    for one in way.doings:
        if one.method in WHOLE and not one.markers:
            near = [b if a == one.parts[0] else a for a, b in held.joints if one.parts[0] in (a, b)]
            host = next((part for part in near if part in owners), None)
            if host is not None:
                hosts[one.parts[0]] = host
                found[host].with_it.append(one.parts[0])
                _add(found[host], one)
    for one in way.doings:
        if one.method == BLEND and not one.markers:
            a, b = one.parts
            painted, other = (a, b) if a in whole else (b, a)
            host = hosts.get(painted, painted)
            found[host].into.append(other)
            _add(found[host], one)
    return found


def _add(more: _More, one: Doing) -> None:
    for department, minutes, _text in one.steps:
        more.minutes[department] += minutes


def _share(one: Doing, number: int, pieces: int) -> list[int]:
    """The minutes of one piece of a set: an even share of each step, the odd minutes with the first pieces."""
    return [minutes // pieces + (number < minutes % pieces) for _department, minutes, _text in one.steps]


def _of_part(held: Task, one: Doing, part: str, tags: list[str], steps: list[int], more: _More) -> Iterator[Chain]:
    """Yield the chain of one method on one part, one for each attempt its markers are in; the first has the set-up."""
    method = held.catalogue.method(BLEND if more.into and BLEND in held.catalogue.methods else one.method)
    by_attempt: dict[int, list[str]] = defaultdict(list)
    for tag in tags:
        by_attempt[held.rows[tag]["attempt"]].append(tag)
    left = dict(enumerate(steps))
    for place, (attempt, some) in enumerate(sorted(by_attempt.items(), reverse=True)):
        last = place == len(by_attempt) - 1
        spots = sum(held.rows[tag]["count"] or 1 for tag in some)
        planned = []
        for number, step in enumerate(method.chain):
            minutes = left.get(number, 0) if last else min(left.get(number, 0), step.minutes_spot * spots)
            left[number] = left.get(number, 0) - minutes
            planned.append(minutes + (more.minutes.pop(step.department, 0) if last else 0))
        markers = [str(held.rows[tag]["id"]) for tag in some]
        returned = "; ".join(str(held.rows[tag]["returned_for"]) for tag in some if held.rows[tag]["returned_for"])
        chain = new_chain(method, part, attempt, planned, markers, returned)
        yield {**chain, "along": "; ".join(_along_words(more))} if more.into or more.with_it else chain


def _along_words(more: _More) -> Iterator[str]:
    if more.into:
        yield _("Blend into %(parts)s", parts=all_of(_(part_label(part)) for part in sorted(more.into)))
    if more.with_it:
        yield _("Paint along: %(parts)s", parts=all_of(_(part_label(part)) for part in sorted(more.with_it)))
