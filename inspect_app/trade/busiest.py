"""Where most spots lie together: the busiest circle of a given diameter, the busiest square of a given side, exactly.

No grid: a best circle can be moved until one of the points lies on its rim, so it is enough to turn a circle once
round each point and to count at every turn what it holds (Chazelle and Lee 1986 place a disk over most points in this
way, from memory). A best square can be moved until its left and lower sides touch points. With many points the plane is
first cut into cells, and cut again, where a cell could still hold a better centre than the best one met; only circles
that pass through what is left are turned.

A point on the rim counts. Lengths are numbers with a rounding of their own, so "on the rim" means within RIM (one part
in 10⁹) of the size asked for: 0.1 µm on a 100 mm square, far below what anybody can place or measure.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import isfinite, pi
from numbers import Real
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import numpy as np

    Array = np.ndarray[Any, Any]

Point = tuple[float, float]
MANY = 200  # points: with fewer, cutting the plane costs more than it saves
CUTS = 14  # times that cells are halved: down to less than a ten-thousandth of the radius
FEW = 2000  # cells: with more than this left, nothing was narrowed down
RIM = 1e-9  # of the size asked for: what lies that little outside counts as on the rim


def busiest_circle(points: Iterable[Sequence[float]], diameter: float) -> tuple[int, Point | None]:
    """Return how many points the best circle of this diameter holds, and its centre; all in one unit, as mm.

    A point on the rim counts and equal points count each. Without points it is (0, None). The time is n² log n at
    worst, and far less when the points are spread out.

    Raises:
        ValueError: the diameter is not a number above zero, or a point is not two finite numbers.
    """
    spots = _spots(points)
    radius = _size(diameter, "diameter") / 2
    if not len(spots):
        return 0, None
    centre = deepest(spots, [radius * (1 + RIM / 2)] * len(spots))[1]
    held = spots[_distances(spots, centre) <= radius * (1 + RIM) + _fuzz(spots)]
    middle = _middle(held)
    # The smallest circle around them is the best centre there is; it may only not lose a point by its own rounding.
    if _distances(held, middle).max() <= radius * (1 + RIM) + _fuzz(spots):
        centre = middle
    return len(held), centre


def busiest_square(points: Iterable[Sequence[float]], side: float) -> tuple[int, Point | None]:
    """Return how many points the best square of this side holds, its sides along the axes, and its centre.

    A point on an edge counts and equal points count each. Without points it is (0, None).

    Raises:
        ValueError: the side is not a number above zero, or a point is not two finite numbers.
    """
    import numpy as np

    spots = _spots(points)
    reach = _size(side, "side")
    if not len(spots):
        return 0, None
    reach = reach * (1 + RIM) + _fuzz(spots)
    upwards = spots[np.argsort(spots[:, 1], kind="stable")]
    best, held = 0, upwards
    for left in np.unique(upwards[:, 0]):
        column = upwards[(upwards[:, 0] >= left) & (upwards[:, 0] <= left + reach)]
        if len(column) <= best:
            continue
        heights = column[:, 1]
        counts = np.searchsorted(heights, heights + reach, side="right") - np.arange(len(heights))
        first = int(counts.argmax())
        if counts[first] > best:
            best, held = int(counts[first]), column[first : first + int(counts[first])]
    low, high = held.min(axis=0), held.max(axis=0)
    return best, (float(low[0] + high[0]) / 2, float(low[1] + high[1]) / 2)


def deepest(spots: Array, radii: Sequence[float] | Array) -> tuple[int, Point]:
    """Return how many of these disks share a place, and such a place; `spots` are their centres, shape (n, 2), n ≥ 1.

    A disk round each point with the radius of a circle holds the centres from which that circle reaches the point.
    With one radius for all this is the busiest circle; a larger one stands for a spot that is not known so well.
    """
    import numpy as np

    reach = np.asarray(radii, float)
    best, place = 0, (float(spots[0, 0]), float(spots[0, 1]))
    rims = np.arange(len(spots))
    if len(spots) > MANY and (reach == reach[0]).all():
        best, place, rims = _narrowed(spots, float(reach[0]))
    _, firsts = np.unique(np.column_stack([spots, reach])[rims], axis=0, return_index=True)
    rims = rims[firsts]
    hopes = _hopes(spots, reach)[rims]
    for one in np.argsort(-hopes, kind="stable"):
        if hopes[one] <= best:
            break
        count, turn = _round_rim(spots, reach, int(rims[one]))
        if count > best:
            (x, y), radius = spots[rims[one]], reach[rims[one]]
            best, place = count, (float(x + radius * np.cos(turn)), float(y + radius * np.sin(turn)))
    return best, place


def _narrowed(spots: Array, radius: float) -> tuple[int, Point, Array]:
    """Return the best circle met while cutting cells, its centre, and the points whose rims pass what may be better."""
    import numpy as np
    from scipy.spatial import cKDTree

    tree = cKDTree(spots)
    best, place = 0, (0.0, 0.0)
    side = radius
    low = spots.min(axis=0)
    around = np.array([(x, y) for x in (-1, 0, 1) for y in (-1, 0, 1)])
    cells = np.unique((np.floor((spots - low) / side)[:, None] + around).reshape(-1, 2), axis=0)
    for _ in range(CUTS):
        centres, half = low + (cells + 0.5) * side, side * 0.5**0.5 * (1 + RIM) + _fuzz(spots)
        held = tree.query_ball_point(centres, radius, return_length=True)
        if held.max() > best:
            best, place = int(held.max()), (float(centres[held.argmax(), 0]), float(centres[held.argmax(), 1]))
        left = tree.query_ball_point(centres, radius + half, return_length=True) > best
        cells, centres, side = cells[left], centres[left], side / 2
        if not len(cells):
            return best, place, np.arange(0)  # nothing can be better
        if len(cells) > FEW:
            return best, place, np.arange(len(spots))
        cells = (2 * cells[:, None] + np.array([(0, 0), (0, 1), (1, 0), (1, 1)])).reshape(-1, 2)
    passing = [np.flatnonzero(np.abs(_distances(spots, (x, y)) - radius) <= half) for x, y in centres]
    return best, place, np.unique(np.concatenate(passing))


def _hopes(spots: Array, reach: Array) -> Array:
    """How many disks each disk meets: no place on its rim can lie in more."""
    import numpy as np
    from scipy.spatial import cKDTree

    counts = cKDTree(spots).query_ball_point(spots, reach + reach.max() + _fuzz(spots), return_length=True)
    return np.asarray(counts)


def _round_rim(spots: Array, reach: Array, one: int) -> tuple[int, float]:
    """Return the most disks that share a place on the rim of this one, and at which angle that is."""
    import numpy as np

    across = spots - spots[one]
    apart = np.hypot(across[:, 0], across[:, 1])
    mine = reach[one]
    whole = apart + mine <= reach  # all round inside, as for itself and its equals
    part = (apart <= mine + reach) & ~whole & (apart + reach >= mine)
    if not part.any():
        return int(whole.sum()), 0.0
    across, apart, theirs = across[part], apart[part], reach[part]
    cosine = (apart**2 + mine**2 - theirs**2) / (2 * apart * mine)
    half = np.arccos(np.clip(cosine, -1, 1))
    towards = np.arctan2(across[:, 1], across[:, 0])
    begins, ends = np.sort((towards - half) % (2 * pi)), np.sort((towards + half) % (2 * pi))
    over = int(((towards - half) % (2 * pi) > (towards + half) % (2 * pi)).sum())  # arcs that pass angle 0
    depths = over + np.arange(1, len(begins) + 1) - np.searchsorted(ends, begins, side="left")
    most = int(depths.argmax())
    following = ends[np.searchsorted(ends, begins[most], side="left") % len(ends)]
    middle = begins[most] + ((following - begins[most]) % (2 * pi)) / 2
    return int(whole.sum()) + int(depths[most]), float(middle)


def _middle(held: Array) -> Point:
    """The centre of the smallest circle around these points, by shapely (GEOS)."""
    import numpy as np
    from shapely import MultiPoint, minimum_bounding_circle

    spots = MultiPoint(held)
    with np.errstate(invalid="ignore"):  # points a hair apart: it divides by nothing on its way
        circle = minimum_bounding_circle(spots)
    centre = (spots if circle.is_empty else circle).centroid  # of equal points it makes nothing
    return float(centre.x), float(centre.y)


def _distances(spots: Array, centre: Point) -> Array:
    import numpy as np

    return np.asarray(np.hypot(spots[:, 0] - centre[0], spots[:, 1] - centre[1]))


def _fuzz(spots: Array) -> float:
    """What the last digits of these coordinates may be off by."""
    import numpy as np

    return float(8 * np.finfo(float).eps * np.abs(spots).max(initial=0.0))


def _spots(points: Iterable[Sequence[float]]) -> Array:
    import numpy as np

    try:
        spots = np.asarray([(float(x), float(y)) for x, y in points], float).reshape(-1, 2)
    except (TypeError, ValueError):
        raise ValueError("each point must be two numbers, x and y") from None
    if not np.isfinite(spots).all():
        raise ValueError("each point must be two finite numbers, x and y")
    return spots


def _size(size: float, noun: str) -> float:
    if not isinstance(size, Real) or not isfinite(size) or size <= 0:
        raise ValueError(f"the {noun} must be a number above zero (got {size!r})")
    return float(size)
