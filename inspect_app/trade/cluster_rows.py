"""How many flaws may lie together: the rows of clusters.toml, and what is wrong with rows that could never fire."""

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from math import inf
from typing import Any, ClassVar, Literal

from pydantic import TypeAdapter, ValidationError

from inspect_app.trade.catalogue import Catalogue, CatalogueError
from inspect_app.trade.catalogue_rows import ClassKey, Limit

Within = Literal["square", "circle", "part", "m2", "pair"]
PLACED = ("square", "circle", "pair")
"""Rules that need to know where markers lie."""
ALWAYS = 2
"""How many the smallest part may have where so many a square metre are allowed: common practice, no source."""


@dataclass(frozen=True, kw_only=True)
class Cluster:
    """More than `max_count` flaws of these kinds, each of acceptable size, inside the named space reject all in it.

    `reach` is the side of a square, the diameter of a circle, or the distance of a pair, in tenths of mm. With
    `raking_max_count`, flaws seen only in raking light count against that figure, together with all others, and no
    longer against `max_count`.
    """

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    surface_class: ClassKey
    within: Within
    kinds: tuple[str, ...]
    reach: int | None = None
    max_count: int = 1
    raking_max_count: int | None = None
    text: str
    origin: str


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


def faults(catalogue: Catalogue, rows: Sequence[Cluster], smallest_m2: float = 0.16) -> list[str]:
    """Return what is wrong with the rows, each as a sentence with its place; an empty list when all of them can fire.

    `smallest_m2` is the area of the smallest part in square metres: a share of a square metre must be tighter than a
    part's count there at the latest. A row can fire when the counts of limits.toml let more through than it does.
    """
    return [
        f"cluster {number} (class {row.surface_class}, {row.within}) {fault}"
        for number, row in enumerate(rows, 1)
        for fault in _faults(catalogue, rows, row, smallest_m2)
    ]


def _faults(catalogue: Catalogue, rows: Sequence[Cluster], row: Cluster, smallest_m2: float) -> Iterator[str]:
    if not row.origin.strip():
        yield "does not say where its values come from; fill in its origin"
    if row.surface_class not in catalogue.classes:
        yield "names a surface class that does not exist"
    unknown = [key for key in row.kinds if key not in catalogue.kinds]
    yield from (f"names the kind '{key}', which does not exist" for key in unknown)
    if not row.kinds:
        yield "names no kind"
    if (row.within in PLACED) != (row.reach is not None):
        yield "must have a reach" if row.within in PLACED else "has a reach, but does not ask where flaws lie"
    elif row.reach is not None and row.reach <= 0:
        yield "needs a reach above zero"
    elif row.max_count < 1 or (row.within == "pair" and row.max_count != 1):
        yield (
            "must allow one"
            if row.within == "pair"
            else "must allow one at least; where none is allowed a limit says so"
        )
    elif not unknown:
        yield from _idle(catalogue, rows, row, smallest_m2)


def _idle(catalogue: Catalogue, rows: Sequence[Cluster], row: Cluster, smallest_m2: float) -> Iterator[str]:
    if row.raking_max_count is not None and row.raking_max_count <= row.max_count:
        yield "has a raking figure that never fires: it must be larger than the other"
    for name, bound, raking in (("count", row.max_count, row.raking_max_count is None),
                                ("raking count", row.raking_max_count, True)):  # fmt: skip
        most = _most(catalogue, rows, row, raking)
        if bound is not None and most <= bound:
            yield f"has a {name} of {bound} that can never fire: other limits let no more than {most:g} through"
    part = min((other.max_count for other in rows if _whole(other, row, "part")), default=None)
    if row.within in ("square", "circle") and part is not None and row.max_count >= part:
        yield f"has a count of {row.max_count} that can never fire: a part may have no more than {part}"
    if row.within == "m2" and part is not None and allowed_on(row.max_count, smallest_m2) >= part:
        yield f"can never fire: the smallest part has less than its share of {row.max_count} anyway"


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
