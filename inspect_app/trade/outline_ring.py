"""A flattened zone as a ring of points, and the few questions asked of it a thousand times a walk.

Plain Python on purpose: the ring sorts its edges into bands by height once, so that a question looks at a handful of
edges and is answered in a few microseconds, where building a library's point would already cost as much.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from inspect_app.trade.outline_path import Point

if TYPE_CHECKING:
    from shapely import Polygon

Edge = tuple[float, float, float, float]
BAND = 40.0  # mm


class Ring:
    """A closed ring in mm, given without its repeated last point.

    A point on an edge belongs to the ring for which the edge is the left or upper one, so that of two rings that share
    an edge exactly one holds it.
    """

    def __init__(self, points: Sequence[Point]) -> None:
        self.points = tuple(points)
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        self.left, self.right, self.top, self.bottom = min(xs), max(xs), min(ys), max(ys)

    @cached_property
    def edges(self) -> tuple[Edge, ...]:
        """The edges, the last one closing the ring."""
        pairs = zip(self.points, (*self.points[1:], self.points[0]), strict=True)
        return tuple((a[0], a[1], b[0], b[1]) for a, b in pairs)

    @cached_property
    def _rows(self) -> tuple[tuple[Edge, ...], ...]:
        return _bands(self.edges, self.top, self.bottom, 1)

    @cached_property
    def _columns(self) -> tuple[tuple[Edge, ...], ...]:
        turned = [(y1, x1, y2, x2) for x1, y1, x2, y2 in self.edges]
        return _bands(turned, self.left, self.right, 1)

    @cached_property
    def polygon(self) -> Polygon:
        """The ring as a polygon of shapely's, which is imported when first needed: most commands never ask."""
        from shapely import Polygon

        return Polygon(self.points)

    @cached_property
    def area(self) -> float:
        """The enclosed area in mm²."""
        return abs(sum(x1 * y2 - x2 * y1 for x1, y1, x2, y2 in self.edges)) / 2

    def across(self, y: float) -> list[float]:
        """Return where the level line at `y` crosses the ring, sorted, in mm."""
        return _crossings(self._rows, self.top, y)

    def down(self, x: float) -> list[float]:
        """Return where the plumb line at `x` crosses the ring, sorted, in mm."""
        return _crossings(self._columns, self.left, x)

    def holds(self, x: float, y: float) -> bool:
        """Say whether the point lies in the ring; on an edge, see the class."""
        if not (self.left <= x <= self.right and self.top <= y <= self.bottom):
            return False
        return bisect_right(self.across(y), x) % 2 == 1

    def distance(self, x: float, y: float) -> float:
        """Return the distance in mm to the ring's edge, from inside or outside."""
        return min(to_edge(edge, x, y) for edge in self.edges)


def _bands(edges: Iterable[Edge], low: float, high: float, axis: int) -> tuple[tuple[Edge, ...], ...]:
    bands: list[list[Edge]] = [[] for _ in range(int((high - low) // BAND) + 1)]
    for edge in edges:
        first, last = sorted((edge[axis], edge[axis + 2]))
        if first == last:
            continue  # a level edge is never crossed by a level line
        for band in range(int((first - low) // BAND), int((last - low) // BAND) + 1):
            bands[band].append(edge)
    return tuple(map(tuple, bands))


def _crossings(bands: tuple[tuple[Edge, ...], ...], low: float, y: float) -> list[float]:
    band = int((y - low) // BAND)
    if not 0 <= band < len(bands):
        return []
    crossings = [
        x1 + (y - y1) * (x2 - x1) / (y2 - y1) if y1 < y2 else x2 + (y - y2) * (x1 - x2) / (y1 - y2)
        for x1, y1, x2, y2 in bands[band]
        if (y1 <= y) != (y2 <= y)
    ]
    crossings.sort()
    return crossings


def to_edge(edge: Edge, x: float, y: float) -> float:
    """Return the distance in mm from a point to a straight edge."""
    x1, y1, x2, y2 = edge
    dx, dy = x2 - x1, y2 - y1
    reach = dx * dx + dy * dy
    t = max(0.0, min(1.0, ((x - x1) * dx + (y - y1) * dy) / reach)) if reach else 0.0
    return math.hypot(x - x1 - t * dx, y - y1 - t * dy)
