"""The one state machine: who may do what to which thing in which state.

The table is data (`lifecycle.toml`); this module and `client/lifecycle.js` interpret it, and the vectors in
`tests/vectors/lifecycle.json` are run through both.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from importlib.resources import files
from typing import Any

from inspect_app.words import N_
from inspect_app.words import gettext as _
from inspect_app.words.listed import one_of

Facts = Mapping[str, Any]
UNKNOWN = N_("'%(event)s' is not something a %(entity)s knows.")
NEEDS = N_("This needs the role %(roles)s.")
ROLES = (N_("inspector"), N_("manager"), N_("technician"))


class LifecycleError(ValueError):
    """The table itself is faulty; the message names the row or guard."""


@dataclass(frozen=True, kw_only=True)
class Guard:
    """One question about one fact. `value` may name another fact by `@fact`."""

    name: str
    fact: str
    op: str
    value: Any
    sentence: str

    def holds(self, facts: Facts) -> bool:
        """Tell whether the fact passes; a missing fact counts as None."""
        value = facts.get(self.value[1:]) if isinstance(self.value, str) and self.value.startswith("@") else self.value
        return bool(OPERATORS[self.op](facts.get(self.fact), value))


@dataclass(frozen=True, kw_only=True)
class Row:
    """One line of the table, for one event."""

    entity: str
    event: str
    sources: frozenset[str]
    to: str
    roles: frozenset[str]
    guards: tuple[str, ...]
    late: str
    late_sentence: str


@dataclass(frozen=True, kw_only=True)
class Decision:
    """What the table says: applied, flagged or refused; the state after; the sentence; the guard that failed."""

    outcome: str
    to: str | None
    sentence: str | None = None
    guard: str | None = None


OPERATORS: dict[str, Callable[[Any, Any], bool]] = {
    "is": lambda fact, value: fact == value,
    "is_not": lambda fact, value: fact != value,
    "in": lambda fact, value: fact in value,
    "not_in": lambda fact, value: fact not in value,
    "given": lambda fact, _: fact is not None and str(fact).strip() != "",
    "at_least": lambda fact, value: fact is not None and fact >= value,
    "at_most": lambda fact, value: fact is not None and fact <= value,
    "has": lambda fact, value: value in (fact or ()),
}


class Lifecycle:
    """The loaded table. `decide` is its only verb."""

    def __init__(self, guards: Mapping[str, Guard], rows: tuple[Row, ...]):
        self.guards = guards
        self.rows = rows
        self._by_event: dict[tuple[str, str], list[Row]] = {}
        for row in rows:
            self._by_event.setdefault((row.entity, row.event), []).append(row)
        self._fit = lru_cache(maxsize=4096)(self._fitting)  # a few hundred are met; the bound is for made-up names

    def knows(self, entity: str, event: str) -> bool:
        """Tell whether the table has a row for this event of this entity."""
        return (entity, event) in self._by_event

    def decide(self, entity: str, event: str, state: str, facts: Facts) -> Decision:
        """Hold one event against the table: roles, then state, then guards in their order."""
        guards, decision = self._fit(entity, event, state, frozenset(facts.get("roles") or ()))
        for guard in guards:
            if not guard.holds(facts):
                return Decision(outcome="refused", to=None, sentence=_(guard.sentence), guard=guard.name)
        return self._said(decision, decision.sentence, entity, event) if decision.sentence else decision

    def _said(self, decision: Decision, sentence: str, entity: str, event: str) -> Decision:
        """Put the sentence of a decision, which stands in the table as English, into the language now spoken."""
        if decision.guard == "unknown":
            return replace(decision, sentence=_(UNKNOWN, event=event, entity=entity))
        if decision.guard == "roles":
            roles = sorted({role for row in self._by_event[(entity, event)] for role in row.roles})
            return replace(decision, sentence=_(NEEDS, roles=one_of(_(role) for role in roles)))
        return replace(decision, sentence=_(sentence))

    def _fitting(self, entity: str, event: str, state: str, held: frozenset[str]) -> tuple[tuple[Guard, ...], Decision]:
        """Find what roles and state decide by themselves: the guards still to ask, and the decision if all hold."""
        rows = self._by_event.get((entity, event))
        if not rows:
            return (), Decision(outcome="refused", to=None, sentence=UNKNOWN, guard="unknown")
        allowed = [row for row in rows if not row.roles or row.roles & held]
        if not allowed:
            return (), Decision(outcome="refused", to=None, sentence=NEEDS, guard="roles")
        row = next((row for row in allowed if "*" in row.sources or state in row.sources), None)
        if row is None:
            outcome = "flagged" if allowed[0].late == "flag" else "refused"
            return (), Decision(outcome=outcome, to=None, sentence=allowed[0].late_sentence, guard="state")
        guards = tuple(self.guards[name] for name in row.guards)
        return guards, Decision(outcome="applied", to=state if row.to == "=" else row.to)

    def to_json(self) -> dict[str, Any]:
        """Shape the table for the browser."""
        guards = {
            g.name: {"fact": g.fact, "op": g.op, "value": g.value, "sentence": g.sentence} for g in self.guards.values()
        }
        rows = [
            {
                "entity": r.entity,
                "event": r.event,
                "from": sorted(r.sources),
                "to": r.to,
                "roles": sorted(r.roles),
                "guards": list(r.guards),
                "late": r.late,
                "late_sentence": r.late_sentence,
            }
            for r in self.rows
        ]
        return {"guards": guards, "rows": rows}


def load(text: str) -> Lifecycle:
    """Read a table from TOML.

    Raises LifecycleError naming the guard or row that is faulty.
    """
    raw = tomllib.loads(text)
    guards = {name: _guard(name, body) for name, body in raw["guards"].items()}
    rows = tuple(row for body in raw["rows"] for row in _rows(body, guards))
    return Lifecycle(guards, rows)


def _guard(name: str, body: Mapping[str, Any]) -> Guard:
    if body["op"] not in OPERATORS:
        raise LifecycleError(f"guard '{name}': 'op' must be one of {', '.join(OPERATORS)} (got '{body['op']}')")
    return Guard(name=name, fact=body["fact"], op=body["op"], value=body.get("value"), sentence=body["sentence"])


def _rows(body: Mapping[str, Any], guards: Mapping[str, Guard]) -> list[Row]:
    events = body["event"] if isinstance(body["event"], list) else [body["event"]]
    for name in body.get("guards", []):
        if name not in guards:
            raise LifecycleError(f"row {body['entity']}/{events[0]}: guard '{name}' is not in the table")
    return [
        Row(
            entity=body["entity"],
            event=event,
            sources=frozenset(body["from"]),
            to=body["to"],
            roles=frozenset(body.get("roles", [])),
            guards=tuple(body.get("guards", [])),
            late=body.get("late", "refuse"),
            late_sentence=body.get("late_sentence", N_("This is not possible in its present state.")),
        )
        for event in events
    ]


@cache
def builtin() -> Lifecycle:
    """Load the table that ships with Lampwalk."""
    return load(files("inspect_app.trade").joinpath("lifecycle.toml").read_text("utf-8"))
