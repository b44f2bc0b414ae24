"""Where flaws lie: spots on zones and beside joints, looked for once and then moved a little for each flaw."""

from __future__ import annotations

import random
from typing import Any

from inspect_app.trade import outline as trade_outline
from inspect_app.trade.outline import Outline
from sample_units.marks import COARSE, FINE, beside, inside

EACH, EACH_JOINT = 9, 5  # spots looked for on a zone, beside a joint; each is used again, the former moved
MOVED = 900  # tenths of a mm, at most
Point = tuple[int, int]


class Spots:
    """Spots on the zones of the outline that ships; the same lots give the same spots."""

    def __init__(self, outline: Outline | None = None):
        self._outline = outline or trade_outline.builtin()
        self._inside: dict[str, list[Point]] = {}
        self._beside: dict[tuple[str, str], list[Point]] = {}

    def on(self, zone: str, lot: random.Random) -> dict[str, Any]:
        """A spot on a zone, as the body of `marker_made` names it; a listed zone has no place on a drawing."""
        found = self._outline.zone(zone)
        if not found.rings:
            return {"view": found.view, "zone": zone}
        x, y = lot.choice(self._of(zone))
        for _ in range(3):
            near = (x + lot.randint(-MOVED, MOVED), y + lot.randint(-MOVED, MOVED))
            hit = self._outline.locate(found.view, *near)
            if hit is not None and hit.id == zone:
                x, y = near
                break
        return {"view": found.view, "x": x, "y": y, "spread": _spread(lot)}

    def beside(self, zone: str, joint: str, lot: random.Random) -> dict[str, Any]:
        """A spot of a zone beside one of its joints."""
        view = self._outline.zone(zone).view
        if (zone, joint) not in self._beside:
            line = self._outline.joint(joint).lines[0]
            same = random.Random(f"beside {zone} {joint}")
            self._beside[zone, joint] = [beside(self._outline, zone, joint, line, same) for _ in range(EACH_JOINT)]
        x, y = lot.choice(self._beside[zone, joint])
        return {"view": view, "x": x, "y": y, "spread": _spread(lot)}

    def nominal(self, joint: str) -> int:
        """How wide a joint is meant to be, in tenths of a millimetre."""
        return self._outline.joint(joint).nominal

    def _of(self, zone: str) -> list[Point]:
        if zone not in self._inside:
            same = random.Random(f"inside {zone}")
            self._inside[zone] = [inside(self._outline, zone, same) for _ in range(EACH)]
        return self._inside[zone]


def _spread(lot: random.Random) -> int:
    return COARSE if lot.random() < 0.12 else lot.choice(FINE)
