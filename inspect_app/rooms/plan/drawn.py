"""The drawing of a plan: the views it touches, with the parts to refinish, the joints to blend and the spots."""

from __future__ import annotations

from typing import Any

from inspect_app.journal.planned import Task
from inspect_app.journal.resolve.plans import renewed
from inspect_app.trade.outline import Outline
from inspect_app.trade.repair import Way
from inspect_app.words import gettext as _

DOT, DOT_END = (
    0.011,
    0.022,
)  # of a view's width: a spot that can be seen on a phone; front and rear are drawn half as wide


def views(outline: Outline, held: Task, way: Way) -> list[dict[str, Any]]:
    """Return every drawn view that has anything to show: its zones by what is done there, joints, spots in mm."""
    whole, pairs = renewed(way), {frozenset(pair) for pair in way.blends}
    mended = {held.rows[tag]["part"] for one in way.doings for tag in one.markers} - whole
    found = []
    for view in outline.views:
        if view.listed:
            continue
        zones = [
            {"d": zone.d, "how": "whole" if zone.part in whole else "spots", "label": _(zone.label)}
            for zone in sorted(view.zones, key=lambda zone: zone.overlay)
            if zone.part in whole | mended
        ]
        joints = [{"d": one.d, "label": _(one.label)} for one in view.joints if frozenset(one.parts) in pairs]
        spots = [
            {"x": row["x"] / 10, "y": row["y"] / 10, "tag": tag, "whole": row["part"] in whole}
            for tag, row in held.rows.items()
            if row["view"] == view.id and row["x"] is not None
        ]
        if spots or joints or any(zone["how"] == "whole" for zone in zones):
            wide = view.width >= 1.4 * view.height
            r = round(view.width * (DOT if wide else DOT_END))
            found.append({"view": view, "zones": zones, "joints": joints, "spots": spots, "r": r, "wide": wide})
    return found
