"""What a limit would do: sizes on either side of it, and markers of the past held against it once more."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.catalogue_rows import Kind, Limit
from inspect_app.trade.limits import Outcome, allowed_size, size_words, verdict

SMALLEST, LARGEST = 3.0, 13.0  # radii of the dots as drawn


class Rung(NamedTuple):
    """One size beside a limit: tenths of the kind's unit, in words, whether it is over, and the radius of its dot."""

    size: int
    words: str
    over: bool
    r: float


@dataclass(frozen=True, kw_only=True)
class Fact:
    """What was found, as a limit asks for it; `others` stood on the part before."""

    kind: str
    surface_class: str
    size: int | None
    count: int
    others: int
    raking: bool
    paint: str | None


@dataclass(frozen=True, kw_only=True)
class Otherwise:
    """How many markers of how many two catalogues judge differently, by what the new one says of them."""

    of: int
    over: int
    within: int
    else_: int

    @property
    def n(self) -> int:
        """All that would be judged otherwise."""
        return self.over + self.within + self.else_


def ladder(kind: Kind, limit: Limit, *, raking: bool = False) -> tuple[Rung, ...]:
    """Return the kind's sizes and the limit among them, ascending; empty for what is not sized."""
    allowed = allowed_size(limit, raking=raking)
    none = limit.max_count == 0 or allowed == 0
    sizes = sorted({*kind.sizes, *((allowed,) if allowed else ())}) if kind.sizes else []
    largest = max(sizes, default=1)
    return tuple(
        Rung(
            size=size,
            words=size_words(kind, size),
            over=none or (allowed is not None and size > allowed),
            r=round(SMALLEST + (LARGEST - SMALLEST) * (size / largest) ** 0.5, 1),
        )
        for size in sizes
    )


def judged_otherwise(old: Catalogue, new: Catalogue, facts: Iterable[Fact]) -> Otherwise:
    """Return how many of these the new catalogue judges otherwise than the old one; nothing is changed by asking."""
    of, turned = 0, {"over": 0, "within": 0, "else": 0}
    for fact in facts:
        of += 1
        was, now = _outcome(old, fact), _outcome(new, fact)
        if was != now:
            turned[now if now in turned else "else"] += 1
    return Otherwise(of=of, over=turned["over"], within=turned["within"], else_=turned["else"])


def _outcome(catalogue: Catalogue, fact: Fact) -> Outcome:
    told = verdict(
        catalogue,
        fact.kind,
        fact.surface_class,
        size=fact.size,
        count=fact.count,
        others=fact.others,
        raking=fact.raking,
        paint=fact.paint,
    )
    return told.outcome
