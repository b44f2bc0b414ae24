"""The catalogue: every kind, method, caution, limit and gate of a plant, as one immutable version named by its hash."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache, cached_property
from typing import Any, ClassVar, TypeVar

from inspect_app.trade import rule_rows
from inspect_app.trade.catalogue_rows import (
    Caution,
    Department,
    Gate,
    Group,
    Kind,
    Lap,
    Limit,
    Method,
    Option,
    Purpose,
    Row,
    Severity,
    Station,
    SurfaceClass,
)

__all__ = [
    "Catalogue",
    "CatalogueError",
    "Caution",
    "Department",
    "Gate",
    "Group",
    "Kind",
    "Lap",
    "Limit",
    "Method",
    "Option",
    "Purpose",
    "Severity",
    "Station",
    "SurfaceClass",
    "builtin",
    "check",
    "from_json",
]

R = TypeVar("R", bound=Row)

KEYED = (
    "groups",
    "departments",
    "kinds",
    "methods",
    "cautions",
    "severities",
    "classes",
    "gates",
    "walks",
    "laps",
    "options",
    "stations",
)
"""The parts of a catalogue that are looked up by key."""


class CatalogueError(ValueError):
    """A catalogue that cannot be used; its text says what is wrong and where."""


@dataclass(frozen=True, kw_only=True)
class Catalogue:
    """One version of all that the trade knows. Mappings go from key to row, in the order of their lists.

    `clause` is the sentence under every caution: data sheets, local codes and licensed practice come first. `rules` are
    None where a plant never changed them: then those that come with the program hold.
    """

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    name: str
    clause: str
    groups: Mapping[str, Group]
    departments: Mapping[str, Department]
    kinds: Mapping[str, Kind]
    methods: Mapping[str, Method]
    cautions: Mapping[str, Caution]
    severities: Mapping[str, Severity]
    classes: Mapping[str, SurfaceClass]
    gates: Mapping[str, Gate]
    walks: Mapping[str, Purpose]
    laps: Mapping[str, Lap]
    limits: tuple[Limit, ...]
    options: Mapping[str, Option] = field(default_factory=dict)  # catalogues of earlier versions have none
    stations: Mapping[str, Station] = field(default_factory=dict)  # in the line's order; earlier versions have none
    rules: rule_rows.Rules | None = None

    @cached_property
    def hash(self) -> str:
        """Return the sha256 (hex) of the canonical JSON; two catalogues with one hash hold the same values."""
        text = json.dumps(self.to_json(), sort_keys=True, separators=(",", ":"), ensure_ascii=False)
        return hashlib.sha256(text.encode()).hexdigest()

    def to_json(self) -> dict[str, Any]:
        """Return all of it as plain JSON values: keyed parts as objects by key, limits as a list."""
        from inspect_app.trade.catalogue_read import dump

        return dump(self)

    @cached_property
    def rule_book(self) -> rule_rows.Rules:
        """Return the rules that hold: this version's own, or those that come with the program."""
        from inspect_app.trade.rules import builtin as ours

        return ours() if self.rules is None else self.rules

    def kind(self, key: str) -> Kind:
        """Return the kind with that key.

        Raises:
            CatalogueError: there is no such kind in this version.
        """
        return _row(self.kinds, key, "kind")

    def method(self, key: str) -> Method:
        """Return the method with that key; raises CatalogueError like `kind`."""
        return _row(self.methods, key, "method")

    @cached_property
    def limit_rows(self) -> Mapping[tuple[str, str, str | None], Limit]:
        """Return the row for each (kind, surface class, paint); where two rows name the same, the first counts."""
        rows = reversed(self.limits)
        return {(kind, limit.surface_class, limit.paint): limit for limit in rows for kind in limit.kinds}

    def limit(self, kind: str, surface_class: str, paint: str | None = None) -> Limit | None:
        """Return the row that judges a kind on a class in this paint: the one for that paint, else the one for any."""
        rows = self.limit_rows
        return rows.get((kind, surface_class, paint)) or rows.get((kind, surface_class, None))

    def everyday(self) -> tuple[Kind, ...]:
        """Return the kinds with a fixed place among the large buttons, in the order of those places."""
        placed = [kind for kind in self.kinds.values() if kind.everyday is not None and not kind.retired]
        return tuple(sorted(placed, key=lambda kind: kind.everyday or 0))

    def kinds_in(self, group: str) -> tuple[Kind, ...]:
        """Return the kinds of one group in the order of the catalogue."""
        return tuple(kind for kind in self.kinds.values() if kind.group == group)

    def gates_by_default(self) -> tuple[Gate, ...]:
        """Return the gates a plant has unless it switches others on or off."""
        return tuple(gate for gate in self.gates.values() if gate.by_default)

    def cautions_of(self, method: str) -> tuple[Caution, ...]:
        """Return the cautions that must be read before work by this method is taken."""
        return tuple(self.cautions[key] for key in self.method(method).cautions)


def _row(rows: Mapping[str, R], key: str, noun: str) -> R:
    try:
        return rows[key]
    except KeyError:
        raise CatalogueError(f"there is no {noun} '{key}' in this catalogue") from None


@cache
def builtin() -> Catalogue:
    """Return the catalogue that comes with the program, read once from its TOML files."""
    from inspect_app.trade.catalogue_read import read_builtin

    return read_builtin()


def from_json(data: Mapping[str, Any]) -> Catalogue:
    """Return the catalogue that `to_json` described, whatever the order of its keys.

    Raises:
        CatalogueError: a field is missing, unknown or of the wrong type; the text names the place.
    """
    from inspect_app.trade.catalogue_read import load

    return load(data)


def check(catalogue: Catalogue) -> list[str]:
    """Return the faults of a catalogue as sentences; an empty list means that it can be published."""
    from inspect_app.trade.catalogue_check import faults

    return faults(catalogue)
