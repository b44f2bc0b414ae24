"""A spot that stands for a whole zone or joint, where nobody has touched the drawing."""

from __future__ import annotations

from typing import Any

from shapely import LineString
from shapely.geometry.base import BaseGeometry

from inspect_app.trade.outline import Outline
from inspect_app.trade.outline_parts import polygon

MOST = 20_000  # tenths of mm: no spot is further off than two metres


def of_zone(outline: Outline, key: str) -> dict[str, Any]:
    """Return view, x, y and spread (tenths of mm) of a spot inside a zone, off what lies on it.

    A zone of a list has no place: its view and itself. KeyError if there is no such zone.
    """
    zone = outline.zone(key)
    if not zone.rings:
        return {"view": zone.view, "zone": zone.id}
    whole = polygon(zone)
    shown: BaseGeometry = whole
    if not zone.overlay:
        for other in outline.view(zone.view).zones:
            if other.overlay and other.rings:
                shown = shown.difference(polygon(other))
    point = (whole if shown.is_empty else shown).representative_point()
    left, top, right, bottom = whole.bounds
    spread = min(MOST, round(max(right - left, bottom - top) * 5))
    return {"view": zone.view, "x": round(point.x * 10), "y": round(point.y * 10), "spread": spread}


def of_joint(outline: Outline, key: str) -> dict[str, Any]:
    """Return view, x, y and spread (tenths of mm) of the middle of a joint; KeyError if there is none."""
    joint = outline.joint(key)
    line = max((LineString(points) for points in joint.lines), key=lambda one: one.length)
    middle = line.interpolate(0.5, normalized=True)
    spread = min(MOST, round(line.length * 5))
    return {"view": joint.view, "x": round(middle.x * 10), "y": round(middle.y * 10), "spread": spread}
