"""The whole van: all views at their places on the sheet, their zones numbered in walking order."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from inspect_app.trade.outline_model import View
from inspect_app.trade.outline_numbers import front, lists, rear, roof, side
from inspect_app.trade.outline_numbers.plan import Plan


@lru_cache(maxsize=8)  # looked at first and kept then: the same van twice in a row
def views(plan: Plan) -> tuple[View, ...]:
    """Return all views, drawn and listed, in walking order."""
    beside, below = plan.long + 250, plan.tall + 140
    drawn = (
        front.draw(plan).view(beside, 0),
        side.draw("left", plan).view(0, 0),
        rear.draw(plan).view(beside, below),
        side.draw("right", plan).view(0, below),
        roof.draw(plan).view(0, 2 * below),
        *lists.views(plan, beside, 2 * below),
    )
    orders = sorted(zone.order for view in drawn for zone in view.zones)
    places = {order: place for place, order in enumerate(orders, 1)}
    if len(places) != len(orders):
        raise ValueError(f"two zones share a place in the walk: {[o for o in orders if orders.count(o) > 1]}")
    return tuple(
        replace(view, zones=tuple(replace(zone, order=places[zone.order]) for zone in view.zones)) for view in drawn
    )
