"""Say where a spot is, as one would call it across the shop: "420 mm from its front edge, 310 mm up".

The browser makes the same words (client/outline words) from the same rings; tests/vectors/where.json runs in both.

The rule. Draw a level and a plumb line through the spot. Along each, the distances to the first crossing of the zone's
ring on either side count (where a side has none, because the spot was snapped in from outside, the ring's box counts,
and no distance is below nought). The nearer of the two edges is named; of two equally near the front, the left or the
lower one. Distances are rounded to a step that grows with the spread, half upwards.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass
from functools import lru_cache

from inspect_app.trade.outline_ring import Ring
from inspect_app.words import N_
from inspect_app.words import gettext as _
from inspect_app.words.remembered import remembered

# Names of the low-x, high-x, low-y and high-y edges, by where the nose points. Seen from the front, the van's left is
# on the viewer's right. The roof is the one view with its own sides up and down.
EDGES = {
    "left": ("front", "rear", "upper", "lower"),
    "right": ("rear", "front", "upper", "lower"),
    "front": ("right", "left", "upper", "lower"),
    "rear": ("left", "right", "upper", "lower"),
    "roof": ("front", "rear", "right", "left"),
}
FIRST_NAMED = ("front", "left", "lower")
# What is said of a spot on an edge, and of one away from it.
AT = {
    "front": N_("at its front edge"),
    "rear": N_("at its rear edge"),
    "left": N_("at its left edge"),
    "right": N_("at its right edge"),
    "upper": N_("at its upper edge"),
    "lower": N_("at its lower edge"),
}
AWAY = {
    "front": N_("%(size)s from its front edge"),
    "rear": N_("%(size)s from its rear edge"),
    "left": N_("%(size)s from its left edge"),
    "right": N_("%(size)s from its right edge"),
    "upper": N_("%(size)s below its upper edge"),
    "lower": N_("%(size)s up"),
}


@dataclass(frozen=True, kw_only=True, slots=True)
class Rounding:
    """Distances of spots known to `spread` tenths of mm are said in steps of `step` mm, in mm or, coarse, in cm."""

    spread: int
    step: int
    coarse: bool


ROUNDINGS = (
    Rounding(spread=50, step=5, coarse=False),
    Rounding(spread=299, step=10, coarse=False),
    Rounding(spread=999, step=50, coarse=True),
    Rounding(spread=10**9, step=100, coarse=True),
)


def describe(label: str, ring: Ring | None, side: str, x: int, y: int, spread: int) -> str:
    """Return the spot in words; `x`, `y` and `spread` in tenths of mm, `side` a key of EDGES, no ring for lists."""
    if ring is None:
        return _(label)
    rounding = _rounding(spread)
    names, px, py = EDGES[side], x / 10, y / 10
    along = _nearer(ring.across(py), px, (ring.left, ring.right), names[:2], rounding)
    plumb = _nearer(ring.down(px), py, (ring.top, ring.bottom), names[2:], rounding)
    return _(
        _sentence(along[0], plumb[0], rounding),
        label=_(label),
        along=_words(*along, rounding.coarse),
        plumb=_words(*plumb, rounding.coarse),
    )


@lru_cache(maxsize=1024)  # spreads follow from a finger's breadth and the magnification: a few dozen are met
def _rounding(spread: int) -> Rounding:
    return next(rounding for rounding in ROUNDINGS if spread <= rounding.spread)


def _nearer(
    crossings: list[float], at: float, box: tuple[float, float], names: tuple[str, ...], rounding: Rounding
) -> tuple[int, str]:
    beyond = bisect_right(crossings, at)  # they come sorted
    low = crossings[beyond - 1] if beyond else box[0]
    high = crossings[beyond] if beyond < len(crossings) else box[1]
    before, after = max(0.0, at - low), max(0.0, high - at)
    first = before < after or (before == after and names[0] in FIRST_NAMED)
    distance, name = (before, names[0]) if first else (after, names[1])
    return math.floor(distance / rounding.step + 0.5) * rounding.step, name


@remembered
def _words(distance: int, name: str, coarse: bool) -> str:
    if not distance:
        return _(AT[name])
    size = _("%(n)s cm", n=distance // 10) if coarse else _("%(n)s mm", n=distance)
    return _(AWAY[name], size=size)


def _sentence(along: int, plumb: int, rounding: Rounding) -> str:
    """Return the sentence for these distances; "about" stands before the first that is not nought."""
    if not rounding.coarse or not (along or plumb):
        return N_("%(label)s, %(along)s, %(plumb)s")
    return N_("%(label)s, about %(along)s, %(plumb)s") if along else N_("%(label)s, %(along)s, about %(plumb)s")
