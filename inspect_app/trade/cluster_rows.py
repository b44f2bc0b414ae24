"""How many flaws may lie together: the rows of clusters.toml, and what is wrong with rows that could never fire."""

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from importlib.resources import files
from math import inf
from typing import Any

from pydantic import TypeAdapter, ValidationError

from inspect_app.trade.catalogue import Catalogue, CatalogueError
from inspect_app.trade.catalogue_rows import Limit
from inspect_app.trade.rule_rows import Cluster, Within
from inspect_app.words import gettext as _

PLACED = ("square", "circle", "pair")
"""Rules that need to know where markers lie."""
ALWAYS = 2
"""How many the smallest part may have where so many a square metre are allowed: common practice, no source."""


@cache
def builtin() -> tuple[Cluster, ...]:
    """Return the rows that come with the program, read once from clusters.toml."""
    text = (files("inspect_app.trade") / "catalogue" / "clusters.toml").read_text("utf-8")
    return load(tomllib.loads(text)["clusters"])


def load(rows: Sequence[Mapping[str, Any]]) -> tuple[Cluster, ...]:
    """Return rows from their plain form; raises CatalogueError with one sentence that names the row and its fault."""
    try:
        return TypeAdapter(tuple[Cluster, ...]).validate_python(rows)
    except ValidationError as fault:
        first = fault.errors(include_url=False)[0]
        place = int(first["loc"][0]) + 1
        message = first["msg"][:1].lower() + first["msg"][1:]
        raise CatalogueError(f"cluster {place}: {'.'.join(map(str, first['loc'][1:]))}: {message}") from fault


Found = Iterator[tuple[tuple[str | int, ...], str]]


def faults(catalogue: Catalogue, rows: Sequence[Cluster], smallest_m2: float = 0.16) -> list[str]:
    """Return what is wrong with the rows, each as a sentence with its place; an empty list when all of them can fire.

    `smallest_m2` is the area of the smallest part in square metres: a share of a square metre must be tighter than a
    part's count there at the latest. A row can fire when the counts of limits.toml let more through than it does.
    """
    return [sentence for _place, sentence in located(catalogue, rows, smallest_m2)]


def located(catalogue: Catalogue, rows: Sequence[Cluster], smallest_m2: float = 0.16) -> Found:
    """Yield the faults like `faults`, each with the number of its row (from 0) and its field."""
    for number, row in enumerate(rows):
        where = _("cluster %(number)s (class %(class_)s, %(within)s)", number=number + 1, class_=row.surface_class,
                  within=row.within)  # fmt: skip
        for field, fault in _faults(catalogue, rows, row, smallest_m2):
            yield (number, field), f"{where} {fault}"
    yield from _milder(rows)


def _faults(
    catalogue: Catalogue, rows: Sequence[Cluster], row: Cluster, smallest_m2: float
) -> Iterator[tuple[str, str]]:
    if not row.origin.strip():
        yield "origin", _("does not say where its values come from; fill in its origin")
    if row.surface_class not in catalogue.classes:
        yield "surface_class", _("names a surface class that does not exist")
    unknown = [key for key in row.kinds if key not in catalogue.kinds]
    yield from (("kinds", _("names the kind '%(key)s', which does not exist", key=key)) for key in unknown)
    if not row.kinds:
        yield "kinds", _("names no kind")
    if row.within in PLACED and row.reach is None:
        yield "reach", _("must have a reach")
    elif row.within not in PLACED and row.reach is not None:
        yield "reach", _("has a reach, but does not ask where flaws lie")
    elif row.reach is not None and row.reach <= 0:
        yield "reach", _("needs a reach above zero")
    elif row.within == "pair" and row.max_count != 1:
        yield "max_count", _("must allow one")
    elif row.max_count < 1:
        yield "max_count", _("must allow one at least; where none is allowed a limit says so")
    elif not unknown:
        yield from _idle(catalogue, rows, row, smallest_m2)


def _idle(catalogue: Catalogue, rows: Sequence[Cluster], row: Cluster, smallest_m2: float) -> Iterator[tuple[str, str]]:
    if row.raking_max_count is not None and row.raking_max_count <= row.max_count:
        yield "raking_max_count", _("has a raking figure that never fires: it must be larger than the other")
    said = "{:g}".format
    most = _most(catalogue, rows, row, row.raking_max_count is None)
    if most <= row.max_count:
        yield "max_count", _(
            "has a count of %(n)s that can never fire: other limits let no more than %(most)s through",
            n=row.max_count, most=said(most),
        )  # fmt: skip
    most = _most(catalogue, rows, row, True)
    if row.raking_max_count is not None and most <= row.raking_max_count:
        yield "raking_max_count", _(
            "has a raking count of %(n)s that can never fire: other limits let no more than %(most)s through",
            n=row.raking_max_count, most=said(most),
        )  # fmt: skip
    part = min((other.max_count for other in rows if _whole(other, row, "part")), default=None)
    if row.within in ("square", "circle") and part is not None and row.max_count >= part:
        yield (
            "max_count",
            _(
                "has a count of %(n)s that can never fire: a part may have no more than %(part)s",
                n=row.max_count,
                part=part,
            ),
        )
    if row.within == "m2" and part is not None and allowed_on(row.max_count, smallest_m2) >= part:
        yield (
            "max_count",
            _("can never fire: the smallest part has less than its share of %(n)s anyway", n=row.max_count),
        )


def _milder(rows: Sequence[Cluster]) -> Found:
    """What is seen less may not be judged harder: fewer let through, or nearer together, by a row of the same space."""
    for number, hidden in enumerate(rows):
        for plain in rows:
            same = plain.within == hidden.within and set(plain.kinds) & set(hidden.kinds)
            if not same or plain.surface_class >= hidden.surface_class:
                continue
            field = ""
            if hidden.within == "pair":
                field = "reach" if (hidden.reach or 0) > (plain.reach or 0) else ""
            elif hidden.max_count < plain.max_count and (hidden.reach or 0) >= (plain.reach or 0):
                field = "max_count"
            if field:
                yield (number, field), _(
                    "cluster %(number)s judges class %(hidden)s harder than class %(plain)s is judged by another row",
                    number=number + 1, hidden=hidden.surface_class, plain=plain.surface_class,
                )  # fmt: skip


def _whole(other: Cluster, row: Cluster, within: Within) -> bool:
    return other.within == within and other.surface_class == row.surface_class and set(row.kinds) <= set(other.kinds)


def _most(catalogue: Catalogue, rows: Sequence[Cluster], row: Cluster, raking: bool) -> float:
    """How many flaws of acceptable size the counts of limits.toml and the pairs let through at most."""
    return sum(_most_of(catalogue, rows, row, kind, raking) for kind in row.kinds)


def _most_of(catalogue: Catalogue, rows: Sequence[Cluster], row: Cluster, kind: str, raking: bool) -> float:
    limits = [catalogue.limit(kind, row.surface_class, paint) for paint in (None, "ours", "maker")]
    through = [limit for limit in limits if limit is not None and _lets_through(limit, raking)]
    if not through:
        return 0
    apart = max((other.reach or 0 for other in rows if other.surface_class == row.surface_class
                 and other.within == "pair" and kind in other.kinds), default=0)  # fmt: skip
    across = {"square": (row.reach or 0) * 2**0.5, "circle": row.reach or 0}.get(row.within, inf)
    if apart > across:
        return 1
    return max(inf if limit.max_count is None else limit.max_count for limit in through)


def _lets_through(limit: Limit, raking: bool) -> bool:
    size = limit.raking_max_size if raking and limit.raking_max_size is not None else limit.max_size
    return size != 0 and limit.max_count != 0


def allowed_on(per_m2: int, area_m2: float) -> int:
    """Return a part's share of so many a square metre: rounded down, but always ALWAYS."""
    return max(ALWAYS, int(per_m2 * area_m2 + 1e-9))
