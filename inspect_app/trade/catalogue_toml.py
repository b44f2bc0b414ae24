"""The whole catalogue as one TOML file, out and in: to keep, to change in an editor, to take to another plant."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

import tomli_w
from pydantic import ValidationError

from inspect_app.trade import rules
from inspect_app.trade.catalogue import KEYED, Catalogue, CatalogueError
from inspect_app.trade.catalogue_change import RETIRABLE, carried_on, left_out
from inspect_app.trade.catalogue_check import located
from inspect_app.trade.catalogue_lines import Lines, Place
from inspect_app.trade.catalogue_read import joined, validated
from inspect_app.words import N_
from inspect_app.words import gettext as _

HEAD = """\
# A catalogue of Lampwalk: all that a plant knows of its trade. docs/setup.md says how to change it and bring it in.
# Sizes are whole tenths of a kind's unit (5 is 0.5 mm), film is in tenths of a micrometre, times are whole minutes.
# Under [rules] stand clusters, open methods, clear-coat budgets, readings, stages of parts and what gates ask for.
# The order of the rows is the order in lists. What a part leaves out is retired; a part left out altogether stays.

"""
PARTS = (*KEYED, "limits")
STAGED: dict[str, Place] = {part: ("rules", "part_stages", part) for part in ("stages", "materials")}
LINE = re.compile(r"\(at line (\d+), column \d+\)$")
SAID = {
    "missing": N_("%(what)s is missing"),
    "unexpected_keyword_argument": N_("%(what)s is not known here; look for a slip of the pen, or leave it out"),
    "int_type": N_("%(what)s must be a whole number (got %(got)s)"),
    "int_from_float": N_("%(what)s must be a whole number (got %(got)s)"),
    "string_type": N_("%(what)s must be a text (got %(got)s)"),
    "bool_type": N_("%(what)s must be true or false (got %(got)s)"),
    "tuple_type": N_("%(what)s must be a list (got %(got)s)"),
    "mapping_type": N_("%(what)s must be a table (got %(got)s)"),
    "dataclass_type": N_("%(what)s must be a table (got %(got)s)"),
    "literal_error": N_("%(what)s must be %(expected)s (got %(got)s)"),
}


class FileFault(NamedTuple):
    """One fault of a file, as a sentence, with the line (from 1) of its cause; None where no line can be named."""

    line: int | None
    sentence: str


@dataclass(frozen=True, kw_only=True)
class Reading:
    """What a file holds: a catalogue that may be published, or its faults in the order of their lines."""

    catalogue: Catalogue | None
    faults: tuple[FileFault, ...] = ()


def write(catalogue: Catalogue) -> str:
    """Return the catalogue as TOML; `read` makes an equal one of it."""
    plain = catalogue.to_json()
    whole = {name: plain[name] for name in ("name", "clause")}
    for part in (part for part in KEYED if part in plain):
        whole[part] = {key: _row(row) for key, row in plain[part].items()}
    whole["limits"] = [_row(row) for row in plain["limits"]]
    whole["rules"] = _bare(rules.plain(catalogue.rule_book))
    return HEAD + tomli_w.dumps(whole)


def _row(row: Mapping[str, Any]) -> dict[str, Any]:
    return {name: _bare(held) for name, held in row.items() if name not in ("key", "order") and held is not None}


def _bare(held: Any) -> Any:
    """TOML knows no None: what is not said is left out."""
    if isinstance(held, Mapping):
        return {name: _bare(one) for name, one in held.items() if one is not None}
    return [_bare(one) for one in held] if isinstance(held, list | tuple) else held


def read(text: str, current: Catalogue) -> Reading:
    """Read a file as the catalogue that is to follow `current`.

    What the file leaves out of a part is retired where it can be, and kept otherwise; a part it does not name stays.
    """
    try:
        named = tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        return Reading(catalogue=None, faults=(_syntax(fault),))
    misshapen = list(_shapes(named))
    if misshapen:
        return _faulty(text, misshapen)
    try:
        made = _assembled(named, current)
    except ValidationError as error:
        found = [(tuple(one["loc"]), _sentence(one)) for one in error.errors(include_url=False)]
        return _faulty(text, found)
    except CatalogueError as fault:
        return Reading(catalogue=None, faults=(FileFault(None, str(fault)),))
    gone = left_out(current, made)
    stuck: list[tuple[Place, str]] = [
        (
            STAGED.get(part, (part,)),
            _("%(part)s: '%(key)s' is missing, and cannot be retired; put it back", part=part, key=key),
        )
        for part, keys in gone.items()
        if part not in RETIRABLE
        for key in keys
    ]
    if stuck:
        return _faulty(text, stuck)
    whole = carried_on(current, made)
    faults = located(whole)
    if faults:
        return _faulty(text, [(fault.place, fault.sentence) for fault in faults])
    return Reading(catalogue=whole)


def _shapes(named: Mapping[str, Any]) -> Iterator[tuple[Place, str]]:
    """Find what is no list of rows at all."""
    for part in KEYED:
        rows = named.get(part, {})
        if not isinstance(rows, Mapping):
            yield (part,), _("'%(part)s' must be tables, each with a key: [%(part)s.key]", part=part)
            continue
        for key, row in rows.items():
            if not isinstance(row, Mapping):
                yield (part, key), _("'%(part)s.%(key)s' must be a table: [%(part)s.%(key)s]", part=part, key=key)
    rows = named.get("limits", [])
    if not isinstance(rows, list) or not all(isinstance(row, Mapping) for row in rows):
        yield ("limits",), _("'limits' must be a list of tables: [[limits]]")
    yield from _rule_shapes(named.get("rules", {}))


def _rule_shapes(told: Any) -> Iterator[tuple[Place, str]]:
    if not isinstance(told, Mapping):
        yield ("rules",), _("'rules' must be a table: [rules]")
        return
    for part in told:
        if part not in rules.PARTS:
            known = ", ".join(rules.PARTS)
            yield ("rules", part), _("'%(part)s' is no part of the rules; they are %(known)s", part=part, known=known)


def _assembled(named: Mapping[str, Any], current: Catalogue) -> Catalogue:
    whole = joined([named])
    before = current.to_json()
    if "rules" in named:
        whole["rules"] = {**rules.plain(current.rule_book), **named["rules"]}
    elif "rules" in before:
        whole["rules"] = before["rules"]
    for part in (*PARTS, "name", "clause"):
        if part not in named and part in before:
            whole[part] = before[part]
    made = validated(whole)
    return replace(made, rules=current.rules) if made.rules == current.rule_book else made


def _faulty(text: str, found: Sequence[tuple[Place, str]]) -> Reading:
    lines = Lines(text)
    told = dict.fromkeys(FileFault(lines.of(place), sentence) for place, sentence in found)
    return Reading(catalogue=None, faults=tuple(sorted(told, key=lambda one: one.line or 0)))


def _syntax(fault: tomllib.TOMLDecodeError) -> FileFault:
    what = str(fault)
    at = LINE.search(what)
    said = LINE.sub("", what).strip()
    line = int(at[1]) if at else None
    return FileFault(line, _("this cannot be read as TOML: %(what)s", what=said[:1].lower() + said[1:]))


def _sentence(found: Mapping[str, Any]) -> str:
    """Say one fault of a value in words: where it is, what it must be, what was found."""
    place = [str(step + 1) if isinstance(step, int) else step for step in found["loc"]]
    got = repr(found["input"])[:40]
    values = {"what": f"'{'.'.join(place)}'", "got": got, "expected": (found.get("ctx") or {}).get("expected", "")}
    said = SAID.get(found["type"])
    return _(said, **values) if said else f"'{'.'.join(place)}': {found['msg'][:1].lower()}{found['msg'][1:]}"
