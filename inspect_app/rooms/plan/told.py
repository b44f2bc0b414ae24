"""What the page of a plan shows: both ways, each part's choices, the drawing, the order of the work."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any

from inspect_app.journal.planned import Task, moved, prices, task
from inspect_app.journal.queries import people, plans
from inspect_app.rooms.house import journal, reader
from inspect_app.rooms.plan.asked import Asked
from inspect_app.rooms.plan.drawn import views
from inspect_app.trade.catalogue import Caution
from inspect_app.trade.outline import Outline
from inspect_app.trade.repair import PartChoice, UnitPlan, Way
from inspect_app.trade.repair_unit import SET, amount_words
from inspect_app.words import gettext as _
from inspect_app.words.listed import all_of
from inspect_app.words.spans import minutes_words

MINUTE_MS = 60_000
QUARTER_MS = 15 * MINUTE_MS


def page(unit: Any, asked: Asked) -> dict[str, Any]:
    """Return everything the template needs for one unit (a row of units); a choice that cannot be is told."""
    db, outline = reader(), journal().outline(unit["outline"])
    held = task(db, unit, journal().catalogue(), outline, money=asked.counted == "money")
    if held.prices is None:
        asked.counted = "minutes"
    accepted = plans.latest(db, unit["id"])
    if not asked.sent_in and accepted:
        _as_accepted(held, asked, accepted)
    plan, refused = _planned(held, asked)
    way = plan.proposed
    choices = held.choices(plan, asked.chosen)
    return {
        "unit": unit,
        "plan": plan,
        "asked": asked,
        "refused": refused,
        "basis": held.basis,
        "counted": asked.counted,
        "money": prices(db) is not None,
        "lines": [_line(held, plan, one, asked, outline) for one in choices],
        "focus": next((one.part for one in choices if one.part in _unsaid(asked)), ""),
        "ways": [_way(held, one, one is way) for one in (plan.without, plan.visit)],
        "undecided": list(_undecided(held, plan)),
        "begun": [row["tag"] for row in held.begun],
        "views": views(outline, held, way),
        "blends": [_joint(outline, pair) for pair in way.blends],
        "order": _order(held, way, outline),
        "time": minutes_words,
        "hours": list(_hours(held, way)),
        "visit": amount_words(Fraction(held.prices.booth_visit), held.prices) if held.prices and way.booth else "",
        "set": len(way.as_set),
        "set_minutes": minutes_words(set_minutes(way)) if way.as_set else "",
        "worked": minutes_words(way.laid.worked_minutes) if way.laid else "",
        "cost": amount_words(way.cost, held.prices) if held.prices else "",
        "waits": minutes_words(_waits(way)) if _waits(way) else "",
        "look_at": _look_at(way),
        "cautions": _cautions(held, way),
        "clause": _(held.catalogue.clause),
        "accepted": accepted,
        "accepted_by": people.names(db).get(accepted["person"], "") if accepted else "",
        "otherwise": [(_name(outline, one["part"]), one["reason"]) for one in (accepted or {}).get("otherwise", ())],
        "moved": moved(db, accepted, held) if accepted else None,
        "walked": plans.walked_now(db, unit["id"]),
    }


def _as_accepted(held: Task, asked: Asked, accepted: Mapping[str, Any]) -> None:
    """Begin with what somebody has chosen for a part that is still to be done: the page shows the plan that holds."""
    parts = {flaw.part for flaw in held.flaws}
    for one in accepted["otherwise"]:
        if one["part"] in parts:
            asked.chosen[one["part"]], asked.reasons[one["part"]] = one["chosen"], one["reason"]


def _unsaid(asked: Asked) -> set[str]:
    """The parts whose reason is still to be written, where a form was sent."""
    return {part for part in asked.chosen if not asked.reasons.get(part)} if asked.sent_in else set()


def _planned(held: Task, asked: Asked) -> tuple[UnitPlan, str]:
    try:
        return held.plan(asked.chosen), ""
    except ValueError as fault:
        asked.chosen.clear()
        asked.changed = True  # what is shown now is not what was chosen
        return held.plan(), str(fault)


def _line(held: Task, plan: UnitPlan, one: PartChoice, asked: Asked, outline: Outline) -> dict[str, Any]:
    """One part with its two choices."""
    ways = [
        _("%(method)s: %(tags)s", method=_(held.catalogue.method(doing.method).label), tags=", ".join(tags))
        for doing in plan.proposed.doings
        if doing.markers and (tags := [tag for tag in doing.markers if held.rows[tag]["part"] == one.part])
    ]
    return {
        "part": one.part,
        "label": _name(outline, one.part),
        "tags": [(tag, held.rows[tag]["state"]) for tag in one.tags],
        "ways": ways,
        "refinish": one.refinish,
        "own": one.part in asked.chosen,
        "reason": asked.reasons.get(one.part, ""),
        "fault": asked.faults.get(one.part, ""),
        "other_open": one.other is not None,
        "more": _more(held, one),
        "why_not": one.why_not,
        "barred": _barred(held, plan, one),
    }


def _name(outline: Outline, part: str) -> str:
    """A part in words; by its key where this outline has none such."""
    return _(outline.part(part).label) if part in _parts(outline) else part


def _parts(outline: Outline) -> set[str]:
    return {part.id for part in outline.parts}


def _more(held: Task, one: PartChoice) -> str:
    """What the other choice would cost."""
    if one.more is None:
        return ""
    told = amount_words(abs(one.more), held.prices)
    if one.refinish:
        if one.more < 0:
            return _("Spot by spot it would be %(amount)s less.", amount=told)
        return _("Spot by spot it would be %(amount)s more.", amount=told)
    if one.more < 0:
        return _("Refinished whole it would be %(amount)s less.", amount=told)
    return _("Refinished whole it would be %(amount)s more.", amount=told)


def _barred(held: Task, plan: UnitPlan, one: PartChoice) -> list[tuple[str, str]]:
    """The milder methods that are barred on a part, by the reason, told once."""
    chosen = {tag: doing.method for doing in plan.proposed.doings for tag in doing.markers}
    found: dict[str, dict[str, None]] = {}
    for tag in one.tags:
        barred = held.opened[tag].barred
        for method in _milder(held, held.rows[tag]["kind"], chosen[tag]):
            if method in barred:
                found.setdefault(barred[method][0], {})[_(held.catalogue.method(method).label)] = None
    return [(", ".join(methods), reason) for reason, methods in found.items()]


def _milder(held: Task, kind: str, method: str) -> tuple[str, ...]:
    """The methods that come into question for a kind before this one."""
    offers = held.catalogue.rule_book.selectors.offers
    offered = next((offer.methods for offer in offers if kind in offer.kinds), ())
    return offered[: offered.index(method)] if method in offered else ()


def _undecided(held: Task, plan: UnitPlan) -> Iterator[tuple[str, str]]:
    for tag in plan.undecided:
        reasons = {reason: None for some in held.opened[tag].barred.values() for reason in some}
        yield tag, "; ".join(reasons) or _("no method is offered for it")


def _way(held: Task, way: Way, proposed: bool) -> dict[str, Any]:
    label = _("With one booth visit") if way.booth else _("Without the booth")
    return {"label": label, "cost": amount_words(way.cost, held.prices), "why_not": way.why_not, "proposed": proposed}


def _joint(outline: Outline, pair: tuple[str, str]) -> str:
    one, other = (_(outline.part(part).label) for part in pair)
    return _("%(one)s and %(other)s", one=one, other=other)


def _hours(held: Task, way: Way) -> Iterator[tuple[str, str, str]]:
    """Each department, its minutes in words, and in a plan in money what they cost and at which price of an hour."""
    for key, minutes in (way.laid.by_department if way.laid else {}).items():
        told = ""
        if held.prices:
            hour = held.prices.hour(key)
            amount = amount_words(Fraction(minutes * hour, 60), held.prices)
            told = _("%(amount)s at %(hour)s an hour", amount=amount, hour=amount_words(Fraction(hour), held.prices))
        yield _(held.catalogue.departments[key].label), minutes_words(minutes), told


def _look_at(way: Way) -> int:
    """When it can be looked at again if it is begun now: the next quarter of an hour, for nothing finer is known."""
    ready = journal().clock() + (way.laid.second_look_minutes if way.laid else 0) * MINUTE_MS
    return -(-ready // QUARTER_MS) * QUARTER_MS


def set_minutes(way: Way) -> int:
    """The minutes of the mouldings of a way that are done as a set."""
    doings = [one for one in way.doings if one.method == SET]
    return sum(minutes for one in doings for _department, minutes, _text in one.steps)


def _waits(way: Way) -> int:
    return way.laid.second_look_minutes - way.laid.worked_minutes if way.laid else 0


def _order(held: Task, way: Way, outline: Outline) -> list[dict[str, Any]]:
    """The tasks in order, those of one department together."""
    found: list[dict[str, Any]] = []
    for one in way.laid.tasks if way.laid else ():
        if not found or found[-1]["key"] != one.department:
            label = _(held.catalogue.departments[one.department].label)
            found.append({"key": one.department, "label": label, "tasks": [], "minutes": 0})
        method = held.catalogue.methods.get(one.method)
        last = method is not None and method.chain[-1].department == one.department
        places = all_of([_name(outline, part) for part in one.parts])
        waits = minutes_words(method.wait_minutes) if method is not None and last and method.wait_minutes else ""
        found[-1]["minutes"] += one.minutes
        told = {"text": _(one.text), "tags": one.markers, "waits": waits}
        alike = (task for task in found[-1]["tasks"] if told == {name: task[name] for name in told})
        before = None if one.markers else next(alike, None)
        if before:  # one more joint to blend along
            before["places"].append(places)
            before["minutes"] += one.minutes
        else:
            found[-1]["tasks"].append({**told, "places": [places] if places else [], "minutes": one.minutes})
    return found


def _cautions(held: Task, way: Way) -> list[Caution]:
    """The cautions of all methods of a way, each once, in the order in which they are met."""
    keys = {key: None for one in way.doings if one.method for key in held.catalogue.method(one.method).cautions}
    return [held.catalogue.cautions[key] for key in keys if key in held.catalogue.cautions]
