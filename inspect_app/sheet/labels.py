"""Finding a place for each tag beside its ring, hiding neither rings nor other tags where there is room."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

Box = tuple[float, float, float, float]
"""left, bottom, right, top in points."""


@dataclass(frozen=True, kw_only=True)
class Spot:
    """A ring's centre in points and the size of the tag to be written beside it."""

    x: float
    y: float
    radius: float
    wide: float
    high: float


@dataclass(frozen=True, kw_only=True)
class Place:
    """Where a tag goes.

    `far` is True when it stands off and wants a thin line to its ring, `free` is False when it hides something.
    """

    box: Box
    far: bool
    free: bool = True


_ANGLES = (20, -20, 160, 200, 55, -55, 125, 235, 90, 270)
_DISTANCES = (0.0, 4.0, 11.0, 19.0, 28.0)


def _candidates(spot: Spot) -> Iterator[Place]:
    for distance in _DISTANCES:
        for angle in _ANGLES:
            cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))
            reach = spot.radius * 1.3 + distance
            x, y = spot.x + cos * reach + (cos - 1) * spot.wide / 2, spot.y + sin * reach + (sin - 1) * spot.high / 2
            yield Place(box=(x, y, x + spot.wide, y + spot.high), far=distance > 6)


def _overlap(one: Box, two: Box) -> float:
    wide = min(one[2], two[2]) - max(one[0], two[0])
    high = min(one[3], two[3]) - max(one[1], two[1])
    return wide * high if wide > 0 and high > 0 else 0.0


def _outside(box: Box, bounds: Box) -> float:
    area = (box[2] - box[0]) * (box[3] - box[1])
    return max(0.0, area - _overlap(box, bounds))


class _Taken:
    """Boxes already used, in a coarse grid so that three hundred tags need not each be held against all others."""

    cell = 32.0

    def __init__(self) -> None:
        self.grid: dict[tuple[int, int], list[Box]] = {}

    def _cells(self, box: Box) -> Iterator[tuple[int, int]]:
        for column in range(int(box[0] // self.cell), int(box[2] // self.cell) + 1):
            for row in range(int(box[1] // self.cell), int(box[3] // self.cell) + 1):
                yield column, row

    def add(self, box: Box) -> None:
        for cell in self._cells(box):
            self.grid.setdefault(cell, []).append(box)

    def cost(self, box: Box) -> float:
        near = {other for cell in self._cells(box) for other in self.grid.get(cell, ())}
        return sum(_overlap(box, other) for other in near)


def place_tags(spots: Sequence[Spot], bounds: Box) -> list[Place]:
    """Return a place for each spot's tag, in order; with no free place left the one that hides least is taken."""
    taken = _Taken()
    for spot in spots:
        reach = spot.radius * 1.15
        taken.add((spot.x - reach, spot.y - reach, spot.x + reach, spot.y + reach))
    places = []
    for spot in spots:
        place = _best(spot, taken, bounds)
        taken.add(place.box)
        places.append(place)
    return places


def _best(spot: Spot, taken: _Taken, bounds: Box) -> Place:
    tried = []
    for place in _candidates(spot):
        cost = taken.cost(place.box) + 3 * _outside(place.box, bounds)
        if cost < 0.01:
            return place
        tried.append((cost, place))
    return replace(min(tried, key=lambda pair: pair[0])[1], free=False)
