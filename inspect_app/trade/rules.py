"""The rules beside the limits: those that come with the program, and those of a catalogue as plain values and back."""

import json
from dataclasses import replace
from functools import cache
from typing import Any

from pydantic import TypeAdapter, ValidationError

from inspect_app.trade import budget, cluster_rows, gate_values, part_stages, readings, selectors
from inspect_app.trade.catalogue import Catalogue, CatalogueError
from inspect_app.trade.rule_rows import Rules

PARTS = ("clusters", "selectors", "budgets", "readings", "part_stages", "gate_values")


@cache
def builtin() -> Rules:
    """Return the rules that come with the program."""
    return Rules(
        clusters=cluster_rows.builtin(),
        selectors=selectors.builtin(),
        budgets=budget.builtin(),
        readings=readings.builtin(),
        part_stages=part_stages.builtin(),
        gate_values=gate_values.builtin(),
    )


def plain(rules: Rules) -> dict[str, Any]:
    """Return rules as JSON values, without what says nothing."""
    told: dict[str, Any] = _adapter().dump_python(rules, mode="json", exclude_defaults=True)
    return told


def from_plain(told: dict[str, Any]) -> Rules:
    """Return the rules that `plain` described; raises CatalogueError with one sentence that names the place."""
    try:
        return _adapter().validate_json(json.dumps(told), strict=True)
    except ValidationError as fault:
        first = fault.errors(include_url=False)[0]
        where = ".".join(str(step) for step in first["loc"])
        raise CatalogueError(f"rules.{where}: {first['msg'][:1].lower()}{first['msg'][1:]}") from fault


def with_rules(catalogue: Catalogue, rules: Rules) -> Catalogue:
    """Return the catalogue with these rules; one that has all of the program's follows the program."""
    if rules == catalogue.rule_book:
        return catalogue
    return replace(catalogue, rules=None if rules == builtin() else rules)


def own_parts(catalogue: Catalogue) -> tuple[str, ...]:
    """Return the parts (of PARTS) in which the rules of a catalogue differ from those that come with the program."""
    held, ours = catalogue.rule_book, builtin()
    return tuple(part for part in PARTS if getattr(held, part) != getattr(ours, part))


def as_program(catalogue: Catalogue, part: str) -> Catalogue:
    """Return the catalogue with one part of its rules (of PARTS) as it comes with the program; the others stay."""
    told: Any = {part: getattr(builtin(), part)}
    return with_rules(catalogue, replace(catalogue.rule_book, **told))


@cache
def _adapter() -> TypeAdapter[Rules]:
    return TypeAdapter(Rules)
