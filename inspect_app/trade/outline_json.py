"""Write an outline as JSON: for the browser, which gets it over a bad radio link, and for the sheet, which draws it.

For the browser paths are short (outline_short), what follows from them (rings, lines) is left to client/curves.js, and
a side that is the other side in a mirror is not sent a second time.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from inspect_app.trade.outline_model import Joint, Part, View, Zone
from inspect_app.trade.outline_short import mirrored, settled, short


def for_browser(views: Sequence[View], parts: Sequence[Part]) -> dict[str, Any]:
    """Return views and parts as the browser reads them; the order of zones is the order in which they are drawn."""
    told = {part.id: {"label": part.label} for part in parts}
    return {"views": [_view(view, views[:place]) for place, view in enumerate(views)], "parts": told}


def for_sheet(views: Sequence[View]) -> list[dict[str, Any]]:
    """Return of the views what a drawing on paper needs, paths absolute in mm."""
    return [{**_head(view), "art": [{"class": art.kind, "d": art.d} for art in view.art]} for view in views]


def _head(view: View) -> dict[str, Any]:
    return {
        "id": view.id,
        "label": view.label,
        "width": view.width,
        "height": view.height,
        "nose": view.nose,
        "listed": view.listed,
    }


def _view(view: View, before: Sequence[View]) -> dict[str, Any]:
    return {
        **_head(view),
        **_art(view, before),
        "zones": [_zone(zone) for zone in view.zones],
        "joints": [_joint(joint) for joint in view.joints],
    }


def _art(view: View, before: Sequence[View]) -> dict[str, Any]:
    """Return the art, or which earlier view's art shows it when turned round."""
    twin = next((one.id for one in before if view.art and _is_mirror(view, one)), None)
    if twin is not None:
        return {"art": [], "mirror": twin}
    return {"art": [{"class": art.kind, "d": short(art.path)} for art in view.art]}


def _is_mirror(view: View, other: View) -> bool:
    return (
        view.width == other.width
        and [art.kind for art in view.art] == [art.kind for art in other.art]
        and all(
            settled(one.path) == mirrored(two.path, other.width) for one, two in zip(view.art, other.art, strict=True)
        )
    )


def _zone(zone: Zone) -> dict[str, Any]:
    return {
        "id": zone.id,
        "part": zone.part,
        "label": zone.label,
        "class": zone.surface_class,
        "laps": list(zone.laps),
        "material": zone.material,
        "paint": zone.paint,
        "overlay": zone.overlay,
        "order": zone.order,
        "d": short(zone.path),
    }


def _joint(joint: Joint) -> dict[str, Any]:
    return {
        "id": joint.id,
        "parts": list(joint.parts),
        "label": joint.label,
        "nominal": joint.nominal,
        "tolerance": joint.tolerance,
        "d": short(joint.path),
    }
