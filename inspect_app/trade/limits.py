"""Verdicts: is a flaw of this kind and size still within the limit of its surface class?

client/limits.js says the same in the browser; tests/vectors/limits.json holds both to it.
"""

from dataclasses import dataclass
from typing import Literal, NamedTuple

from inspect_app.trade.busiest import busiest_circle, busiest_square
from inspect_app.trade.catalogue import Catalogue, CatalogueError
from inspect_app.trade.catalogue_rows import Kind, Limit
from inspect_app.words import N_, ngettext
from inspect_app.words import gettext as _
from inspect_app.words.figures import tenths
from inspect_app.words.listed import all_of
from inspect_app.words.remembered import remembered

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

REACH = {
    "gap": N_("%(size)s off"),
    "step": N_("%(size)s off"),
    "area": N_("%(size)s across"),
    "length": N_("%(size)s long"),
}
"""What a size in millimetres means for a measure; a plain size needs no word."""
SAID = {
    "over": N_("%(found)s on %(where)s: over the limit of %(bound)s"),
    "within": N_("%(found)s on %(where)s: within the limit of %(bound)s"),
}
GAP_SAID = {
    "over": N_("gap of %(gap)s mm: over the limit of %(bound)s"),
    "within": N_("gap of %(gap)s mm: within the limit of %(bound)s"),
}


@dataclass(frozen=True, kw_only=True)
class Verdict:
    """What the limit says, in a word, in a sentence, and the row it was read from (None: there is none)."""

    outcome: Outcome
    text: str
    limit: Limit | None


class _Held(NamedTuple):
    """One figure held against its bound, both in words."""

    found: str
    bound: str
    over: bool
    worth_saying: bool = True
    shared: bool = False  # counted together with other markers of the part


def limit_for(catalogue: Catalogue, kind: str, surface_class: str, paint: str | None = None) -> Limit | None:
    """Return the limit row for a kind (its key) on a surface class ("A" to "D"), or None when none is set.

    `paint` is whose paint the zone wears ("ours", "maker"; anything else: no matter whose).
    """
    return catalogue.limit(kind, surface_class, paint)


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
    return _amount(kind.unit, size)


@remembered
def _amount(unit: str, size: int) -> str:
    figure = tenths(size)
    if unit == "ΔE00":
        return _("ΔE00 %(figure)s", figure=figure)
    if unit == "mm":
        return _("%(n)s mm", n=figure)
    whole = size // 10 if size % 10 == 0 else max(2, size // 10 + 1)  # half a step is said as many are
    if unit == "steps":
        return ngettext("%(figure)s step", "%(figure)s steps", whole, figure=figure)
    return ngettext("%(figure)s gloss unit", "%(figure)s gloss units", whole, figure=figure)


def gap_steps(kind: Kind, nominal: int) -> tuple[int, ...]:
    """Return gaps to choose from at a joint of this nominal gap (tenths of mm): nominal and its buttons either side."""
    off = (0, *size_steps(kind))
    return tuple(sorted({nominal + sign * step for step in off for sign in (-1, 1) if nominal + sign * step >= 0}))


def gap_verdict(gap: int | None, *, nominal: int, tolerance: int) -> Verdict:
    """Judge a measured gap (tenths of mm) by its joint's own nominal and tolerance; at the tolerance is within."""
    bound = _("%(nominal)s ± %(tolerance)s mm", nominal=tenths(nominal), tolerance=tenths(tolerance))
    if gap is None:
        text = _("gap not measured; the limit is %(bound)s", bound=bound)
        return Verdict(outcome="unmeasured", text=text, limit=None)
    outcome: Outcome = "over" if abs(gap - nominal) > tolerance else "within"
    return Verdict(outcome=outcome, text=_(GAP_SAID[outcome], gap=tenths(gap), bound=bound), limit=None)


def verdict(
    catalogue: Catalogue,
    kind: str,
    surface_class: str,
    *,
    size: int | None = None,
    count: int | None = 1,
    others: int = 0,
    raking: bool = False,
    paint: str | None = None,
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
        paint: whose paint the zone wears, "ours" or "maker"; the chassis maker's may have a milder row of its own.

    Raises:
        CatalogueError: no such kind or class in this catalogue.
    """
    row = catalogue.kind(kind)
    if surface_class not in catalogue.classes:
        raise CatalogueError(f"there is no surface class '{surface_class}' in this catalogue")
    limit = limit_for(catalogue, kind, surface_class, paint)
    if limit is None:
        text = _(
            "%(kind)s on %(where)s: no limit is set; judge it by its severity",
            kind=_(row.label),
            where=_where(surface_class),
        )
        return Verdict(outcome="no_limit", text=text, limit=None)
    allowed = allowed_size(limit, raking=raking)
    raked = raking and limit.raking_max_size is not None
    counted = (1 if count is None else count, others)
    return _judge(row, limit, allowed, None if size is None else abs(size), counted, raked)


@remembered
def _where(surface_class: str, raked: bool = False, shared: bool = False) -> str:
    """Return on what a flaw was found; `raked`, by which light, and `shared`, with all of its kind on the part."""
    if shared and raked:
        return _("this part, class %(surface_class)s, seen only in raking light", surface_class=surface_class)
    if shared:
        return _("this part, class %(surface_class)s", surface_class=surface_class)
    if raked:
        return _("class %(surface_class)s, seen only in raking light", surface_class=surface_class)
    return _("class %(surface_class)s", surface_class=surface_class)


def _on(limit: Limit, raked: bool, shared: bool = False) -> str:
    where = _where(limit.surface_class, raked, shared)
    return _("%(where)s, the chassis maker's paint", where=where) if limit.paint == "maker" else where


def _judge(
    kind: Kind, limit: Limit, allowed: int | None, size: int | None, counted: tuple[int, int], raked: bool
) -> Verdict:
    if allowed == 0 or limit.max_count == 0:
        text = _("%(kind)s on %(where)s: none allowed", kind=_(kind.label), where=_on(limit, raked))
        return Verdict(outcome="over", text=text, limit=limit)
    held = _held(kind, limit, allowed, size, counted)
    if any(one.over for one in held):
        over = [one for one in held if one.over]
        return Verdict(outcome="over", text=_sentence(over, limit, raked, "over"), limit=limit)
    if allowed is not None and size is None:
        said_bound = size_words(kind, allowed)
        text = _(
            "%(kind)s on %(where)s: not measured; the limit is %(bound)s",
            kind=_(kind.label),
            where=_on(limit, raked),
            bound=said_bound,
        )
        return Verdict(outcome="unmeasured", text=text, limit=limit)
    said = [one for one in held if one.worth_saying] or held
    return Verdict(outcome="within", text=_sentence(said, limit, raked, "within"), limit=limit)


def _held(kind: Kind, limit: Limit, allowed: int | None, size: int | None, counted: tuple[int, int]) -> list[_Held]:
    held, count = [], sum(counted)
    if allowed is not None and size is not None:
        found = size_words(kind, size)
        if kind.unit == "mm" and kind.measure in REACH:
            found = _(REACH[kind.measure], size=found)
        held.append(_Held(found=found, bound=size_words(kind, allowed), over=size > allowed))
    if limit.max_count is not None:
        found = "1" if count == 1 else ngettext("%(n)s of them", "%(n)s of them", count)
        bound = ngettext("%(n)s on a part", "%(n)s on a part", limit.max_count)
        over, shared = count > limit.max_count, counted[1] > 0
        held.append(_Held(found=found, bound=bound, over=over, worth_saying=count > 1, shared=shared))
    return held


def _sentence(held: list[_Held], limit: Limit, raked: bool, side: str) -> str:
    where = _on(limit, raked, any(one.shared for one in held))
    return _(SAID[side], found=all_of(one.found for one in held), where=where, bound=all_of(one.bound for one in held))
