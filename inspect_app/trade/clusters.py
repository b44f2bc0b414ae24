"""Clusters: flaws that would each be let through, but not so many so close together.

Markers of one part are held against the rows of clusters.toml, on each view by their distances in millimetres, across
the zones of the part, and class by class. Each marker brings its own uncertainty: "over" is said only where no place
within it could change that; where it could, the finding is "unsure" and asks to place those markers finely.
S1 and S2 are never let through, whatever the class, so they are not counted here; nor is what is over its own limit.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import hypot
from typing import TYPE_CHECKING, Any, Literal

from inspect_app.trade.busiest import RIM
from inspect_app.trade.catalogue import Catalogue, CatalogueError
from inspect_app.trade.cluster_rows import allowed_on
from inspect_app.trade.limits import allowed_size, limit_for
from inspect_app.trade.rule_rows import Cluster
from inspect_app.words import N_
from inspect_app.words import gettext as _
from inspect_app.words.figures import tenths
from inspect_app.words.listed import all_of

if TYPE_CHECKING:
    import numpy as np

    Array = np.ndarray[Any, Any]


Outcome = Literal["over", "unsure"]
SAID: dict[tuple[str, Outcome], str] = {
    ("square", "over"): N_(
        "%(kinds)s: %(count)s within %(reach)s mm on a class %(class)s part; the limit is %(limit)s"
    ),
    ("square", "unsure"): N_(
        "%(kinds)s: perhaps %(count)s within %(reach)s mm on a class %(class)s part, where the limit is %(limit)s; "
        "place %(tags)s finely"
    ),
    ("pair", "over"): N_(
        "%(kinds)s: two lie %(apart)s mm apart on a class %(class)s part; the limit is %(reach)s mm or more"
    ),
    ("pair", "unsure"): N_(
        "%(kinds)s: two lie about %(apart)s mm apart on a class %(class)s part, where the limit is %(reach)s mm "
        "or more; place %(tags)s finely"
    ),
    ("several", "over"): N_(
        "%(kinds)s: %(count)s in one place on a class %(class)s part; the limit is %(reach)s mm or more apart"
    ),
    ("part", "over"): N_("%(kinds)s: %(count)s on this class %(class)s part; the limit is %(limit)s"),
    ("m2", "over"): N_("%(kinds)s: %(count)s on this class %(class)s part; the limit for its size is %(limit)s"),
}
SAID |= {("circle", outcome): text for (within, outcome), text in SAID.items() if within == "square"}


@dataclass(frozen=True, kw_only=True)
class Spot:
    """One marker of a part. Lengths are tenths of mm; `spread` is how far off its place may be, in any direction.

    `x` and `y` are None in a view that is a list. `count` says how many flaws the marker stands for.
    """

    id: str
    kind: str
    surface_class: str
    view: str
    x: int | None = None
    y: int | None = None
    spread: int = 0
    size: int | None = None
    count: int = 1
    raking: bool = False
    severity: str | None = None
    paint: str | None = None


@dataclass(frozen=True, kw_only=True)
class Finding:
    """What a row found: "over" for these markers, or "unsure" until those of them in `place` lie exactly; in words."""

    outcome: Outcome
    markers: tuple[str, ...]
    row: Cluster
    count: int
    text: str
    place: tuple[str, ...] = ()


def clusters(
    catalogue: Catalogue,
    spots: Iterable[Spot],
    *,
    area_cm2: int | None = None,
    rows: Sequence[Cluster] | None = None,
) -> tuple[Finding, ...]:
    """Return what lies too close or is too many on one part; empty when nothing is.

    Args:
        catalogue: judges which flaws are of acceptable size; others are over already and do not count here.
        spots: the markers of one part, on all views and in all zones. A distance is only taken within one view.
        area_cm2: the part's area; None leaves out the rows for a square metre.
        rows: the cluster rows; None for those of the catalogue.

    Raises:
        CatalogueError: an unknown kind or class, a count below one, or a spread below zero; in one sentence.
    """
    counted = [_sound(catalogue, spot) for spot in spots]
    counted = [spot for spot in counted if acceptable(catalogue, spot)]
    found: list[Finding] = []
    for row in catalogue.rule_book.clusters if rows is None else rows:
        mine = [spot for spot in counted if spot.surface_class == row.surface_class and spot.kind in row.kinds]
        found += _held(catalogue, row, mine, area_cm2)
    return tuple(found)


def over_count(catalogue: Catalogue, spots: Iterable[Spot]) -> tuple[Finding, ...]:
    """Return where more of a kind stand on one part, in one class, than its limit lets through, whatever their sizes.

    The marker that came last was judged so when it came; this rejects those that were there before it as well.
    Raises CatalogueError as `clusters` does.
    """
    alike: dict[tuple[str, str, str | None], list[Spot]] = defaultdict(list)
    for spot in spots:
        alike[spot.kind, spot.surface_class, spot.paint].append(_sound(catalogue, spot))
    found = []
    for (kind, surface_class, paint), mine in alike.items():
        limit = limit_for(catalogue, kind, surface_class, paint)
        count = sum(spot.count for spot in mine)
        if limit is not None and limit.max_count and len(mine) > 1 and count > limit.max_count:
            row = Cluster(surface_class=limit.surface_class, within="part", kinds=(kind,), max_count=limit.max_count,
                          text=limit.text, origin=limit.origin)  # fmt: skip
            found.append(_finding(catalogue, row, "over", mine, count, limit.max_count))
    return tuple(found)


def _sound(catalogue: Catalogue, spot: Spot) -> Spot:
    catalogue.kind(spot.kind)
    if spot.surface_class not in catalogue.classes:
        raise CatalogueError(f"there is no surface class '{spot.surface_class}' in this catalogue")
    if spot.count < 1 or spot.spread < 0 or (spot.x is None) != (spot.y is None):
        raise CatalogueError(
            f"the marker '{spot.id}' needs a count of one or more, a spread of zero or more, and x with y"
        )
    return spot


def acceptable(catalogue: Catalogue, spot: Spot) -> bool:
    """Return whether a marker would be let through by itself: within its size, measured, and neither S1 nor S2."""
    limit = limit_for(catalogue, spot.kind, spot.surface_class, spot.paint)
    if limit is None or limit.max_count == 0 or spot.severity in ("S1", "S2"):
        return False
    most = allowed_size(limit, raking=spot.raking)
    return most is None or (most > 0 and spot.size is not None and abs(spot.size) <= most)


def _held(catalogue: Catalogue, row: Cluster, spots: list[Spot], area_cm2: int | None) -> list[Finding]:
    if row.within == "pair":
        return [one for a, b in combinations(spots, 2) for one in _pair(catalogue, row, a, b)] + [
            one for spot in spots if spot.count > 1 for one in _pair(catalogue, row, spot, spot)
        ]
    found = []
    for bound, mine in _columns(row, spots):
        if row.within in ("square", "circle"):
            found += [one for view in _by_view(mine) for one in _crowd(catalogue, row, bound, view)]
        elif row.within == "part" or area_cm2:
            most = bound if row.within == "part" else allowed_on(bound, (area_cm2 or 0) / 10_000)
            count = sum(spot.count for spot in mine)
            if count > most:
                found.append(_finding(catalogue, row, "over", mine, count, most))
    return found


def _columns(row: Cluster, spots: list[Spot]) -> list[tuple[int, list[Spot]]]:
    """The two columns of a row: what is seen in any light, and all of it together with what only raking light shows."""
    if row.raking_max_count is None:
        return [(row.max_count, spots)]
    return [(row.max_count, [spot for spot in spots if not spot.raking]), (row.raking_max_count, spots)]


def _by_view(spots: list[Spot]) -> list[list[Spot]]:
    views: dict[str, list[Spot]] = defaultdict(list)
    for spot in spots:
        if spot.x is not None:
            views[spot.view].append(spot)
    return list(views.values())


def _pair(catalogue: Catalogue, row: Cluster, a: Spot, b: Spot) -> list[Finding]:
    """A pair nearer than it may be; a marker that stands for several is a pair with itself."""
    if a.kind != b.kind or a.view != b.view or a.x is None or b.x is None or a.y is None or b.y is None:
        return []
    apart, off, reach = hypot(a.x - b.x, a.y - b.y), 0 if a is b else a.spread + b.spread, row.reach or 0
    if apart - off >= reach:
        return []
    pair = [a] if a is b else [a, b]
    count = a.count if a is b else 2
    sure = apart + off < reach
    said = int(apart) // 10 * 10 if sure else round(apart / 100) * 100  # whole mm; where nobody knows it so well, cm
    return [_finding(catalogue, row, "over" if sure else "unsure", pair, count, 1, said)]


def _crowd(catalogue: Catalogue, row: Cluster, bound: int, spots: list[Spot]) -> list[Finding]:
    """The markers of one view that lie in a space with too many: those that surely do, and if more, all that may."""
    if sum(spot.count for spot in spots) <= bound:
        return []
    found = []
    sure, most = _crowded(row, spots, bound, -1)
    if sure:
        found.append(_finding(catalogue, row, "over", sure, most, bound))
    perhaps, most = _crowded(row, spots, bound, +1)
    if len(perhaps) > len(sure):
        found.append(_finding(catalogue, row, "unsure", perhaps, most, bound))
    return found


def _crowded(row: Cluster, spots: list[Spot], bound: int, sense: int) -> tuple[list[Spot], int]:
    """Return all markers in any space that holds more than `bound`, and the most that one space holds.

    `sense` -1 counts only what lies inside wherever within its spread each marker is, +1 what could lie inside. The
    centres of a space that holds a marker fill a disk (a box) around it. A set of disks with a common place has one at
    a centre or where two rims cross; boxes have one where a left and a lower side meet.
    """
    import numpy as np

    reach = (row.reach or 0) / 2 * (1 + RIM)
    round_ = row.within == "circle"
    radii = np.array([reach + sense * spot.spread for spot in spots])
    kept = [spot for spot, radius in zip(spots, radii, strict=True) if radius >= 0]
    radii = radii[radii >= 0]
    if not kept:
        return [], 0
    places = np.array([(spot.x, spot.y) for spot in kept], float)
    weights = np.array([spot.count for spot in kept])
    tried = _crossings(places, radii) if round_ else _corners(places, radii)
    inside = np.zeros(len(kept), bool)
    most = 0
    for part in np.array_split(tried, len(tried) * len(kept) // 1_000_000 + 1):
        across = part[:, None] - places
        far = np.hypot(across[..., 0], across[..., 1]) if round_ else np.abs(across).max(axis=2)
        held = far <= radii * (1 + RIM) + 1e-6
        counts = held @ weights
        most = max(most, int(counts.max(initial=0)))
        inside |= held[counts > bound].any(axis=0)
    return [spot for spot, one in zip(kept, inside, strict=True) if one], most


def _crossings(places: Array, radii: Array) -> Array:
    import numpy as np

    a, b = np.triu_indices(len(places), 1)
    across = places[b] - places[a]
    apart = np.hypot(across[:, 0], across[:, 1])
    cross = (apart > 0) & (apart <= radii[a] + radii[b]) & (apart >= np.abs(radii[a] - radii[b]))
    a, b, across, apart = a[cross], b[cross], across[cross], apart[cross]
    along = (apart**2 + radii[a] ** 2 - radii[b] ** 2) / (2 * apart)
    aside = np.sqrt(np.maximum(radii[a] ** 2 - along**2, 0))
    ahead = across / apart[:, None]
    foot = places[a] + ahead * along[:, None]
    turned = np.column_stack([-ahead[:, 1], ahead[:, 0]]) * aside[:, None]
    return np.concatenate([places, foot + turned, foot - turned])


def _corners(places: Array, radii: Array) -> Array:
    import numpy as np

    lefts, lows = np.unique(places[:, 0] - radii), np.unique(places[:, 1] - radii)
    return np.stack(np.meshgrid(lefts, lows), axis=-1).reshape(-1, 2)


def _finding(
    catalogue: Catalogue,
    row: Cluster,
    outcome: Outcome,
    spots: Sequence[Spot],
    count: int,
    most: int,
    apart: int = 0,
) -> Finding:
    place = tuple(spot.id for spot in spots if spot.spread) if outcome == "unsure" else ()
    kinds = all_of(_(catalogue.kind(kind).label) for kind in dict.fromkeys(spot.kind for spot in spots))
    alone = row.within == "pair" and len(spots) == 1
    told = {"kinds": kinds, "count": count, "class": row.surface_class, "limit": most, "tags": all_of(place),
            "reach": tenths(row.reach or 0), "apart": tenths(apart)}  # fmt: skip
    text = _(SAID["several" if alone else row.within, outcome], **told)
    return Finding(
        outcome=outcome, markers=tuple(spot.id for spot in spots), row=row, count=count, text=text, place=place
    )
