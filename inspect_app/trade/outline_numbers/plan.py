"""How a van of other numbers is drawn: as our own one on rubber, with stiff pieces where nothing may be stretched.

All curves are written in the millimetres of our own van. A plan says where each place of it comes to lie: wheels,
arches and nose move as they are, the doors and the panels between them give way. With our own numbers nothing moves.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from inspect_app.trade.outline_numbers import numbers
from inspect_app.trade.outline_numbers.numbers import OURS, Numbers

Place = Callable[[float, float], tuple[float, float]]
SPLIT = 2200.0  # mm above the ground: what is higher is of a lower class; common practice, no source
THINNEST = 180.0  # mm: a strip above the split that is thinner than this is no zone of its own
STEP = 65.0  # mm by which a wide body stands out beyond its cab, on each side


class Bend:
    """A way from our own van's millimetres to another's: straight between knots, and beyond the last as at its end."""

    def __init__(self, *knots: tuple[float, float]):
        self.ours, self.theirs = [k[0] for k in knots], [k[1] for k in knots]
        self._spans = [(a, c, (d - c) / (b - a)) for (a, c), (b, d) in pairwise(knots)]
        self._within = self.ours[1:-1]

    def __call__(self, at: float) -> float:
        a, c, slope = self._spans[bisect_right(self._within, at)]
        if slope == 1:
            return at + (c - a)  # to the last digit, so that our own numbers give our own van
        return c + (at - a) * slope


@dataclass(frozen=True)
class Plan:
    """What follows from the numbers. Lengths in mm; `along`, `over`, `up`, `across` turn our own van's into its own."""

    numbers: Numbers

    # ------------------------------------------------------------------ what it has

    @property
    def wide(self) -> bool:
        """Whether its body is wider than its cab."""
        return self.numbers.body == "wide"

    def slides(self, side: str) -> bool:
        """Whether there is a sliding door on a side."""
        return self.numbers.sliding_door in (side, "both")

    @property
    def split(self) -> bool:
        """Whether so much of it lies above 2.2 m that this is a zone of its own."""
        return self.numbers.height_mm - SPLIT >= THINNEST

    @property
    def outer(self) -> float:
        """The radius of the wheel arch trims' outer edge."""
        return 528.0 if self.wide else 492.0

    @property
    def mouldings(self) -> tuple[float, float]:
        """The lower and the upper edge of the mouldings along the side."""
        return (606.0, 778.0) if self.wide else (628.0, 742.0)

    @property
    def storage(self) -> float:
        """The lower edge of the storage door: over the wheel arch where there is no room before it."""
        return 806.0 if self._shares[2] > -100 else 926.0

    # ------------------------------------------------------------------ the paper

    @property
    def long(self) -> int:
        """The width of the paper for a side or the roof."""
        return self.numbers.length_mm + 200

    @property
    def tall(self) -> int:
        """The height of the paper for sides and ends."""
        return self.numbers.height_mm + 160

    @property
    def broad(self) -> int:
        """The width of the paper for the ends, with room for mirrors; always even, so that its middle is a whole mm."""
        return self.numbers.width_mm // 2 * 2 + 640

    @property
    def ground(self) -> float:
        """Where the ground lies on the paper of sides and ends."""
        return self.numbers.height_mm + 100.0

    # ------------------------------------------------------------------ how long it is

    @cached_property
    def _longer(self) -> float:
        return float(self.numbers.length_mm - OURS.length_mm)

    @cached_property
    def _apart(self) -> float:
        """How much further apart its axles are than ours."""
        return float(self.numbers.wheelbase_mm - OURS.wheelbase_mm)

    @cached_property
    def _nose(self) -> float:
        """How much longer its front overhang is than ours; most of what is left over goes to the tail."""
        return max(-120.0, min(40.0, 0.3 * (self._longer - self._apart)))

    @cached_property
    def _shares(self) -> tuple[float, float, float]:
        """How much longer cab door, sliding door and the panel before the rear wheel are than ours."""
        door, slide, panel = (0.165, 0.365, 0.47) if self._apart < 0 else (0.06, 0.12, 0.82)
        return door * self._apart, slide * self._apart, panel * self._apart

    @cached_property
    def along(self) -> Bend:
        """Along its sides."""
        nose, (door, slide, _panel), tail = self._nose, self._shares, self._nose + self._apart
        return Bend(
            (0, 0),
            (440, 440 + nose),
            (1580, 1580 + nose),
            (2600, 2600 + nose + door),
            (2700, 2700 + nose + door),
            (3925, 3925 + nose + door + slide),
            (3965, 3965 + nose + door + slide),
            (4420, 4420 + tail),
            (5500, 5500 + tail),
            (5775, 5775 + self._longer),
            (6000, 6000 + self._longer),
        )

    @cached_property
    def over(self) -> Bend:
        """Along its roof, whose bays are alike."""
        nose = self._nose
        return Bend(
            (0, 0),
            (440, 440 + nose),
            (1960, 1960 + nose),
            (5560, 5560 + self._longer),
            (6000, 6000 + self._longer),
        )

    # ------------------------------------------------------------------ how high it is

    @cached_property
    def up(self) -> Bend:
        """Up from the ground, on the sides."""
        high = float(self.numbers.height_mm)
        return Bend((0, 0), (900, 900), (2072, self._eaves), (2700, high), (3000, high + 300))

    @cached_property
    def up_end(self) -> Bend:
        """Up from the ground, at front and rear, where the shoulders of the roof keep their roundness."""
        high, eaves = float(self.numbers.height_mm), self._eaves
        crown = min(230.0, 0.6 * (high - eaves))
        return Bend((0, 0), (900, 900), (2072, eaves), (2470, high - crown), (2700, high), (3000, high + 300))

    @property
    def split_rise(self) -> float:
        """How much higher on our own van the line lies that comes to lie 2.2 m above this one's ground."""
        return Bend(*zip(self.up.theirs, self.up.ours, strict=True))(SPLIT) - SPLIT if self.split else 0.0

    @cached_property
    def _eaves(self) -> float:
        """How high its cantrails are: where the roof begins, and the windscreen ends."""
        roof = {"low": 220.0, "mid": 380.0, "high": 560.0}[self.numbers.roof]
        return min(2072.0, self.numbers.height_mm - roof)

    # ------------------------------------------------------------------ how wide it is

    @cached_property
    def across(self) -> Bend:
        """From its middle line to its sides, of the body."""
        return self._wider(self.numbers.width_mm / 2)

    @cached_property
    def across_cab(self) -> Bend:
        """The same of the cab."""
        return self._wider(self.numbers.width_mm / 2 - (STEP if self.wide else 0))

    def _wider(self, half: float) -> Bend:
        ours = OURS.width_mm / 2
        return Bend((-2 * ours, -2 * half), (0, 0), (2 * ours, 2 * half))

    # ------------------------------------------------------------------ as the boards ask

    @property
    def side(self) -> Place:
        """Where a place on a side lies."""
        return lambda x, z: (self.along(x), self.up(z))

    @property
    def front(self) -> Place:
        """Where a place on the front lies."""
        return lambda y, z: (self.across_cab(y), self.up_end(z))

    @property
    def rear(self) -> Place:
        """Where a place on the rear lies."""
        return lambda y, z: (self.across(y), self.up_end(z))

    @property
    def roof(self) -> Place:
        """Where a place on the roof lies."""
        return lambda x, y: (self.over(x), self.across(y))


def plan(own: Numbers) -> Plan:
    """Return the plan of a van; raise NumbersError for numbers out of range."""
    numbers.check(own)
    return Plan(own)
