"""A catalogue with something changed: always a whole new one, for a published version never changes."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Container, Iterable
from dataclasses import replace
from itertools import chain
from typing import Any, TypeVar

from inspect_app.trade.catalogue import KEYED, Catalogue
from inspect_app.trade.catalogue_rows import Limit, Row

OWN = "set by this plant"
RETIRABLE = ("departments", "kinds", "methods", "options", "stations", "cautions")
"""The parts whose rows can be retired: they keep their label in the history and are offered nowhere."""

STAGED = ("stages", "materials")
"""What parts that leave the van name for ever; they stand among the rules."""

R = TypeVar("R", bound=Row)


def with_row(catalogue: Catalogue, part: str, row: Row) -> Catalogue:
    """Return the catalogue with a row put in, or in the place of the one with its key; a new one comes last."""
    rows = dict(getattr(catalogue, part))
    if row.key not in rows:
        row = replace(row, order=1 + max((one.order for one in rows.values()), default=-1))
    changed: Any = {part: {**rows, row.key: row}}
    return replace(catalogue, **changed)


def retired(catalogue: Catalogue, part: str, key: str, away: bool = True) -> Catalogue:
    """Return the catalogue with a row retired, or offered again; KeyError when there is no such row.

    A kind that is retired gives its everyday place back.
    """
    row = getattr(catalogue, part)[key]
    more: Any = {"everyday": None} if part == "kinds" and away else {}
    return with_row(catalogue, part, replace(row, retired=away, **more))


def placed(catalogue: Catalogue, part: str, key: str, after: str | None) -> Catalogue:
    """Return the catalogue with a row moved behind another one of its part, or to the front for None.

    Raises KeyError when there is no such row.
    """
    rows = dict(getattr(catalogue, part))
    row = rows.pop(key)
    line = list(rows.values())
    at = 0 if after is None else 1 + list(rows).index(rows[after].key)
    line.insert(at, row)
    changed: Any = {part: {one.key: replace(one, order=number) for number, one in enumerate(line)}}
    return replace(catalogue, **changed)


def own_origin(old: R, new: R) -> R:
    """Say that the values of a row are the plant's own, where they changed and nobody said where they come from."""
    if new.origin != old.origin or replace(new, origin=old.origin) == old:
        return new
    return replace(new, origin=OWN)


def free_key(catalogue: Catalogue, part: str, label: str) -> str:
    """Return a key for a new row of a part, made of its label, that is not taken yet."""
    return key_of(label, getattr(catalogue, part))


def key_of(label: str, taken: Container[str]) -> str:
    """Return a key made of a label: small letters, digits and underscores, none of those taken."""
    plain = unicodedata.normalize("NFKD", label).encode("ascii", "ignore").decode().lower()
    stem = re.sub(r"[^a-z0-9]+", "_", plain).strip("_")[:32] or "own"
    numbered = (f"{stem}_{n}" for n in range(2, 10_000))
    return next(key for key in chain([stem], numbered) if key not in taken)


# ---------------------------------------------------------------------- limits


def limits_of(catalogue: Catalogue, kind: str) -> tuple[Limit, ...]:
    """Return the rows of one kind, each naming that kind alone, in the order of the catalogue."""
    return tuple(replace(limit, kinds=(kind,)) for limit in catalogue.limits if kind in limit.kinds)


def with_limits(catalogue: Catalogue, kind: str, rows: Iterable[Limit]) -> Catalogue:
    """Return the catalogue with these rows for a kind, and no others for it; other kinds keep theirs.

    The new rows stand where the kind's first row stood, else last. A row that is as it was stays where it is, so that
    kinds which share a row go on sharing it.
    """
    wanted = {_place(row): row for row in rows}
    kept: list[Limit] = []
    first: int | None = None
    for limit in catalogue.limits:
        if kind not in limit.kinds:
            kept.append(limit)
            continue
        mine = wanted.get(_place(limit))
        first = len(kept) if first is None else first
        if mine is not None and replace(mine, kinds=limit.kinds) == limit:
            kept.append(limit)
            del wanted[_place(limit)]
        elif others := tuple(key for key in limit.kinds if key != kind):
            kept.append(replace(limit, kinds=others))
    place = len(kept) if first is None else first
    return replace(catalogue, limits=(*kept[:place], *wanted.values(), *kept[place:]))


def _place(limit: Limit) -> tuple[str, str | None]:
    return limit.surface_class, limit.paint


# ---------------------------------------------------------------------- what history names


def carried_on(old: Catalogue, new: Catalogue) -> Catalogue:
    """Return a catalogue that comes from elsewhere with everything in it that the one before had.

    Markers, jobs and looks name their kind, method, department, severity, class, lap and gate by key for ever. Rows
    of `RETIRABLE` that the new one leaves out are kept and retired; of the other parts they are kept.
    """
    for part in KEYED:
        for key, row in getattr(old, part).items():
            if key not in getattr(new, part):
                new = with_row(new, part, row)
                if part in RETIRABLE:
                    new = retired(new, part, key)
    return _with_stages(old, new)


def _with_stages(old: Catalogue, new: Catalogue) -> Catalogue:
    """Parts that left a van name their material and their stages by key for ever."""
    was, now = old.rule_book.part_stages, new.rule_book.part_stages
    if set(was.stages) <= set(now.stages) and set(was.materials) <= set(now.materials):
        return new
    kept = replace(now, stages={**was.stages, **now.stages}, materials={**was.materials, **now.materials})
    return replace(new, rules=replace(new.rule_book, part_stages=kept))


def left_out(old: Catalogue, new: Catalogue) -> dict[str, list[str]]:
    """Return the keys that a new catalogue no longer has, by part; no such catalogue may be published."""
    gone = {part: [key for key in getattr(old, part) if key not in getattr(new, part)] for part in KEYED}
    was, now = old.rule_book.part_stages, new.rule_book.part_stages
    gone |= {part: [key for key in getattr(was, part) if key not in getattr(now, part)] for part in STAGED}
    return {part: keys for part, keys in gone.items() if keys}
