"""The shapes of what lies on a side: glass, mouldings, doors in doors, handles, mirror."""

from __future__ import annotations

import math
from dataclasses import dataclass

from inspect_app.trade.outline_numbers.pen import Curve, arc, box, line, path, rounded
from inspect_app.trade.outline_numbers.plan import Plan
from inspect_app.trade.outline_numbers.side_edges import AXLE, AXLES, DOOR, DOOR_END, PILLAR, SLIDE, SLIDE_END

LAMP = path(
    "M 46 946 C 52 1000 66 1046 94 1078 C 200 1150 370 1232 556 1274 C 576 1278 582 1266 572 1250 "
    "C 480 1116 340 972 196 926 C 150 912 80 914 56 920 C 46 924 44 932 46 946 Z"
)
CAB_GLASS = rounded(
    (1602, 1330, 26), (2552, 1340, 50), (2552, 1996, 60), (1852, 1992, 70), (1752, 1830, 260), (1634, 1550, 260)
)
WINDOW = box(2775, 1376, 3862, 1980, 70)
FLAP = box(5486, 960, 5676, 1150, 44).stiff(PILLAR, 1055)
STEP = box(2700, 262, 3950, 338, 22)
STEP_LINE = line((2720, 345), (3930, 345))
HANDLE = box(2418, 1128, 2586, 1186, 26).stiff(DOOR_END, 1157)
SLIDE_HANDLE = box(2724, 1128, 2892, 1186, 26).stiff(SLIDE, 1157)
MIRROR = path(
    "M 1566 1366 L 1630 1366 C 1654 1366 1660 1380 1660 1402 C 1692 1406 1704 1426 1704 1462 L 1699 1716 "
    "C 1697 1760 1680 1778 1644 1776 L 1602 1773 C 1570 1769 1558 1750 1555 1708 L 1542 1472 "
    "C 1540 1432 1548 1412 1562 1404 C 1554 1384 1556 1368 1566 1366 Z"
)
MIRROR_FOOT = line((1566, 1368), (1632, 1368))


@dataclass(frozen=True)
class Shapes:
    """What is shaped otherwise on another van, not only placed otherwise."""

    plan: Plan

    @property
    def storage(self) -> Curve:
        """The storage door in the panel before the rear wheel."""
        return box(4012, self.plan.storage, 4428, 1206, 36).stiff(SLIDE_END)

    def beside_arch(self, z: float, rear: bool = False, away: float = 18.0) -> float:
        """How far along a level at `z` reaches that stays `away` from the rear wheel arch, before it or behind it."""
        half = math.sqrt((self.plan.outer + away) ** 2 - (z - AXLE) ** 2)
        return AXLES[1] + (half if rear else -half)

    def moulding(self, name: str) -> Curve:
        """A moulding by its name; what lies where the sliding door would be has its shape."""
        low, high = self.plan.mouldings
        if name == "cab_door":
            return self._moulding((DOOR + 14, DOOR_END - 10), (DOOR + 14, DOOR_END - 10))
        if name in ("sliding_door", "side_panel"):
            return self._moulding((SLIDE + 10, SLIDE_END - 6), (SLIDE + 10, SLIDE_END - 6))
        if name == "rear_panel":
            start = SLIDE_END + 6
            return self._moulding((start, self.beside_arch(low)), (start, self.beside_arch(high)), (14, 12))
        ends = self.beside_arch(low, True), self.beside_arch(high, True)
        return self._moulding((ends[0], PILLAR - 8), (ends[1], PILLAR - 8), (12, 14))

    def _moulding(
        self, low: tuple[float, float], high: tuple[float, float], radii: tuple[float, float] = (14, 14)
    ) -> Curve:
        (under, over), (front, rear) = self.plan.mouldings, radii
        return rounded((low[0], under, front), (low[1], under, rear), (high[1], over, rear), (high[0], over, front))

    def arch_gap(self, rear: bool) -> Curve:
        """The gap between a moulding's slanted end and the arch trim it follows, before the wheel or behind it."""
        radius = self.plan.outer + 9
        low, high = (math.degrees(math.asin((z - AXLE) / radius)) for z in self.plan.mouldings)
        low, high = round(low) + 2, round(high) - 2
        return arc(AXLES[1], AXLE, radius, low, high) if rear else arc(AXLES[1], AXLE, radius, 180 - high, 180 - low)
