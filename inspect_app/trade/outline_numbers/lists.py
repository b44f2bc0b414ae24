"""The two lists that no drawing shows: what is seen with the doors open, and what is seen from inside and below."""

from __future__ import annotations

from inspect_app.trade.outline_model import View, Zone
from inspect_app.trade.outline_numbers.plan import Plan

# name, part, label, class, laps, material
OPENINGS = (
    ("cab_door_left", "cab_door_left", "left cab door shut and jamb", "C", "lamp fit seal", "metal"),
    ("sliding_door_left", "sliding_door_left", "left sliding door shut and track", "C", "lamp fit seal", "metal"),
    ("rear_doors", "rear_door_left", "rear door shuts", "C", "lamp fit seal", "metal"),
    ("sliding_door_right", "sliding_door_right", "right sliding door shut and track", "C", "lamp fit seal", "metal"),
    ("cab_door_right", "cab_door_right", "right cab door shut and jamb", "C", "lamp fit seal", "metal"),
    ("bonnet_underside", "bonnet", "bonnet, underside", "D", "lamp fit", "metal"),
)
INSIDE = (
    ("moulding_backs", "moulding_backs", "backs of mouldings and clip holes", "D", "fit", "plastic"),
    ("linings", "linings", "linings and floor, signs of water", "D", "seal", "plastic"),
    ("underside", "underside", "underside", "D", "fit seal", "metal"),
)


def views(plan: Plan, x: int, y: int) -> tuple[View, View]:
    """Return both lists, set at a place on the sheet where nothing else lies."""
    shut = {f"sliding_door_{side}" for side in ("left", "right") if not plan.slides(side)}
    openings = tuple(row for row in OPENINGS if row[0] not in shut)
    return _view("openings", "Openings", openings, 700, x, y), _view("inside", "Inside and below", INSIDE, 750, x, y)


def _view(own: str, label: str, rows: tuple[tuple[str, ...], ...], order: int, x: int, y: int) -> View:
    zones = tuple(
        Zone(
            id=f"{own}.{name}",
            view=own,
            part=part,
            label=words,
            surface_class=look,
            laps=tuple(laps.split()),
            material=material,
            paint="maker" if material == "metal" else "none",
            overlay=False,
            order=order + i,
            path=(),
        )
        for i, (name, part, words, look, laps, material) in enumerate(rows)
    )
    return View(
        id=own, label=label, width=100, height=100, nose="left", listed=True, x=x, y=y, art=(), zones=zones, joints=()
    )
