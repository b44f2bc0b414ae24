"""Verdicts: is a flaw of this kind and size still within the limit of its surface class?

client/limits.js says the same in the browser; tests/vectors/limits.json holds both to it.
"""

from dataclasses import dataclass
from typing import Literal

from inspect_app.trade.busiest import busiest_circle, busiest_square
from inspect_app.trade.catalogue import Catalogue, CatalogueError
from inspect_app.trade.catalogue_rows import Kind, Limit

__all__ = [
    "Outcome",
    "Verdict",
    "allowed_size",
    "busiest_circle",
    "busiest_square",
    "gap_steps",
    "gap_verdict",
    "limit_for",
    "size_steps",
    "size_words",
    "verdict",
]

Outcome = Literal["within", "over", "unmeasured", "no_limit"]

REACH = {"gap": " off", "step": " off", "area": " across", "length": " long"}
"""What a size in millimetres means for a measure; a plain size needs no word."""


@dataclass(frozen=True, kw_only=True)
class Verdict:
    """What the limit says, in a word, in a sentence, and the row it was read from (None: there is none)."""

    outcome: Outcome
    text: str
    limit: Limit | None


@dataclass(frozen=True, kw_only=True)
class _Held:
    """One figure held against its bound, both in words."""

    found: str
    bound: str
    over: bool
    worth_saying: bool = True
    shared: bool = False  # counted together with other markers of the part


def limit_for(catalogue: Catalogue, kind: str, surface_class: str) -> Limit | None:
    """Return the limit row for a kind (its key) on a surface class ("A" to "D"), or None when none is set."""
    return catalogue.limit_rows.get((kind, surface_class))


def allowed_size(limit: Limit, *, raking: bool = False) -> int | None:
    """Return the largest size still within, in tenths of the kind's unit; 0 for none allowed, None for any size."""
    if raking and limit.raking_max_size is not None:
        return limit.raking_max_size
    return limit.max_size


def size_steps(kind: Kind) -> tuple[int, ...]:
    """Return the sizes of a kind's buttons, ascending, in tenths of its unit; empty for what is not sized."""
    return kind.sizes


def size_words(kind: Kind, size: int) -> str:
    """Return a size in words with its unit, as "0.8 mm", "2 steps", "ΔE00 1.5" or "5 gloss units"."""
    figure = _figure(size)
    if kind.unit == "ΔE00":
        return f"ΔE00 {figure}"
    if kind.unit == "mm":
        return f"{figure} mm"
    noun = "step" if kind.unit == "steps" else "gloss unit"
    return f"{figure} {noun}" if size == 10 else f"{figure} {noun}s"


def _figure(tenths: int) -> str:
    return f"{tenths // 10}" if tenths % 10 == 0 else f"{tenths // 10}.{tenths % 10}"


def gap_steps(kind: Kind, nominal: int) -> tuple[int, ...]:
    """Return gaps to choose from at a joint of this nominal gap (tenths of mm): nominal and its buttons either side."""
    off = (0, *size_steps(kind))
    return tuple(sorted({nominal + sign * step for step in off for sign in (-1, 1) if nominal + sign * step >= 0}))


def gap_verdict(gap: int | None, *, nominal: int, tolerance: int) -> Verdict:
    """Judge a measured gap (tenths of mm) by its joint's own nominal and tolerance; at the tolerance is within."""
    bound = f"{_figure(nominal)} ± {_figure(tolerance)} mm"
    if gap is None:
        return Verdict(outcome="unmeasured", text=f"gap not measured; the limit is {bound}", limit=None)
    over = abs(gap - nominal) > tolerance
    text = f"gap of {_figure(gap)} mm: {'over' if over else 'within'} the limit of {bound}"
    return Verdict(outcome="over" if over else "within", text=text, limit=None)


def verdict(
    catalogue: Catalogue,
    kind: str,
    surface_class: str,
    *,
    size: int | None = None,
    count: int | None = 1,
    others: int = 0,
    raking: bool = False,
) -> Verdict:
    """Judge a flaw against the limit of its class; a figure equal to its limit is within.

    Args:
        catalogue: the version to judge by.
        kind: key of the kind.
        surface_class: "A" to "D".
        size: tenths of the kind's unit, None when not measured; for gaps and steps how far off, the sign is ignored.
        count: how many of them the marker stands for; None is read as one.
        others: how many more of the kind stand on the part, in this class; a limit of so many counts them too.
        raking: seen only in raking light, for which a row may have a milder size.

    Raises:
        CatalogueError: no such kind or class in this catalogue.
    """
    row = catalogue.kind(kind)
    if surface_class not in catalogue.classes:
        raise CatalogueError(f"there is no surface class '{surface_class}' in this catalogue")
    limit = limit_for(catalogue, kind, surface_class)
    if limit is None:
        text = f"{row.label} on class {surface_class}: no limit is set; judge it by its severity"
        return Verdict(outcome="no_limit", text=text, limit=None)
    allowed = allowed_size(limit, raking=raking)
    light = ", seen only in raking light" if raking and limit.raking_max_size is not None else ""
    where = f"class {surface_class}{light}"
    counted = (1 if count is None else count, others)
    return _judge(row, limit, allowed, None if size is None else abs(size), counted, where)


def _judge(
    kind: Kind, limit: Limit, allowed: int | None, size: int | None, counted: tuple[int, int], where: str
) -> Verdict:
    if allowed == 0 or limit.max_count == 0:
        return Verdict(outcome="over", text=f"{kind.label} on {where}: none allowed", limit=limit)
    held = _held(kind, limit, allowed, size, counted)
    if any(one.over for one in held):
        return Verdict(outcome="over", text=_sentence([one for one in held if one.over], where, "over"), limit=limit)
    if allowed is not None and size is None:
        text = f"{kind.label} on {where}: not measured; the limit is {size_words(kind, allowed)}"
        return Verdict(outcome="unmeasured", text=text, limit=limit)
    said = [one for one in held if one.worth_saying] or held
    return Verdict(outcome="within", text=_sentence(said, where, "within"), limit=limit)


def _held(kind: Kind, limit: Limit, allowed: int | None, size: int | None, counted: tuple[int, int]) -> list[_Held]:
    held, count = [], sum(counted)
    if allowed is not None and size is not None:
        reach = REACH.get(kind.measure, "") if kind.unit == "mm" else ""
        held.append(
            _Held(found=size_words(kind, size) + reach, bound=size_words(kind, allowed), over=size > allowed),
        )
    if limit.max_count is not None:
        found = "1" if count == 1 else f"{count} of them"
        bound = f"{limit.max_count} on a part"
        over, shared = count > limit.max_count, counted[1] > 0
        held.append(_Held(found=found, bound=bound, over=over, worth_saying=count > 1, shared=shared))
    return held


def _sentence(held: list[_Held], where: str, side: str) -> str:
    found = " and ".join(one.found for one in held)
    bound = " and ".join(one.bound for one in held)
    part = "this part, " if any(one.shared for one in held) else ""
    return f"{found} on {part}{where}: {side} the limit of {bound}"
