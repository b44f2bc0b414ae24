"""The whole van: all views at their places on the sheet, their zones numbered in walking order."""

from __future__ import annotations

from dataclasses import replace

from inspect_app.trade.outline_model import View
from inspect_app.trade.outline_numbers import front, lists, rear, roof, side


def views() -> tuple[View, ...]:
    """Return all views, drawn and listed, in walking order."""
    drawn = (
        front.draw().view(6400, 0),
        side.draw("left").view(0, 0),
        rear.draw().view(6400, 3000),
        side.draw("right").view(0, 3000),
        roof.draw().view(0, 6000),
        *lists.views(6400, 6000),
    )
    orders = sorted(zone.order for view in drawn for zone in view.zones)
    places = {order: place for place, order in enumerate(orders, 1)}
    if len(places) != len(orders):
        raise ValueError(f"two zones share a place in the walk: {[o for o in orders if orders.count(o) > 1]}")
    return tuple(
        replace(view, zones=tuple(replace(zone, order=places[zone.order]) for zone in view.zones)) for view in drawn
    )
