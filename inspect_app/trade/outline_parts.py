"""Gather the zones of each part and find which parts meet; check that the zones of a view do not overlap.

Shapely is imported when first needed: most commands never ask.
"""

from __future__ import annotations

from collections import defaultdict
from itertools import combinations
from typing import TYPE_CHECKING

from inspect_app.trade.outline_model import OutlineError, Part, View, Zone, part_label
from inspect_app.words import gettext as _

if TYPE_CHECKING:
    from shapely import Polygon

TOUCH = 1.0  # mm: edges this near to each other are the same edge
SHORTEST = 15.0  # mm: parts that only meet at a corner are no neighbours
SLIVER = 1.0  # mm: base zones may overlap by less than this across


def collect(zones: tuple[Zone, ...], views: tuple[View, ...]) -> tuple[Part, ...]:
    """Return all parts in the order of `zones`; parts that share an edge or a joint are neighbours, either way."""
    by_part: dict[str, list[Zone]] = defaultdict(list)
    for zone in zones:
        by_part[zone.part].append(zone)
    met = _met(views)
    return tuple(_part(part, shown, met[part]) for part, shown in by_part.items())


def _part(part: str, shown: list[Zone], met: set[str]) -> Part:
    return Part(
        id=part,
        label=part_label(part),
        zones=tuple(zone.id for zone in shown),
        neighbours=tuple(sorted(met)),
        paint=shown[0].paint,
        area_cm2=round(sum(ring.area for zone in shown for ring in zone.rings) / 100),
    )


def _met(views: tuple[View, ...]) -> dict[str, set[str]]:
    pairs = {joint.parts for view in views for joint in view.joints}
    pairs |= {(a.part, b.part) for view in views for a, b in _sharing(_base_pairs(view))}
    met: dict[str, set[str]] = defaultdict(set)
    for one, other in pairs:
        if one != other:
            met[one].add(other)
            met[other].add(one)
    return met


def _base_pairs(view: View) -> list[tuple[Zone, Zone]]:
    """Return the pairs of base zones whose boxes touch."""
    base = [zone for zone in view.zones if zone.rings and not zone.overlay]
    return [(a, b) for a, b in combinations(base, 2) if _boxes_touch(a, b)]


def _boxes_touch(a: Zone, b: Zone) -> bool:
    one, other = a.rings[0], b.rings[0]
    return (
        one.left <= other.right + TOUCH
        and other.left <= one.right + TOUCH
        and one.top <= other.bottom + TOUCH
        and other.top <= one.bottom + TOUCH
    )


def polygon(zone: Zone) -> Polygon:
    """Return the flattened zone as a shapely polygon in mm."""
    return zone.rings[0].polygon


def _sharing(pairs: list[tuple[Zone, Zone]]) -> list[tuple[Zone, Zone]]:
    """Return the pairs that have a piece of their edges in common."""
    import shapely

    edges = {zone.id: polygon(zone).exterior for pair in pairs for zone in pair}
    beside = dict(zip(edges, shapely.buffer([*edges.values()], TOUCH), strict=True))
    along = shapely.intersection([edges[a.id] for a, _ in pairs], [beside[b.id] for _, b in pairs])
    return [pair for pair, length in zip(pairs, shapely.length(along), strict=True) if length >= SHORTEST]


def check(views: tuple[View, ...]) -> None:
    """Raise OutlineError for zones that cross themselves and for pairs of base zones that overlap."""
    import shapely

    drawn = [zone for view in views for zone in view.zones if zone.rings]
    valid = shapely.is_valid([polygon(zone) for zone in drawn])
    loops = [zone.id for zone, sound in zip(drawn, valid, strict=True) if not sound]
    if loops:
        raise OutlineError(
            *(_("'%(zone)s' crosses itself; draw it once round without a loop.", zone=zone) for zone in loops)
        )
    pairs = [pair for view in views for pair in _base_pairs(view)]
    both = shapely.intersection([polygon(a) for a, _ in pairs], [polygon(b) for _, b in pairs])
    faults = [
        _("'%(one)s' and '%(other)s' overlap; only overlays may lie on other zones.", one=a.id, other=b.id)
        for (a, b), shape in zip(pairs, both, strict=True)
        if shape.area and not shape.buffer(-SLIVER / 2).is_empty
    ]
    if faults:
        raise OutlineError(*faults)
