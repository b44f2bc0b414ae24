"""Write an outline: as the one canonical SVG its hash is taken of, and as the JSON the browser draws from."""

from __future__ import annotations

from typing import Any
from xml.sax.saxutils import escape, quoteattr

from inspect_app.trade.outline_model import Joint, Part, View, Zone

# Enough ink that the file opens as a line drawing in any viewer; screens and sheets bring their own.
INK = 'fill="none" stroke="#2c343b" stroke-width="5" stroke-linejoin="round" stroke-linecap="round"'


def svg(own: str, label: str, views: tuple[View, ...]) -> str:
    """Return the whole outline as SVG text, always the same for the same outline."""
    width = max((view.x + view.width for view in views), default=0)
    height = max((view.y + view.height for view in views), default=0)
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" id="{own}" viewBox="0 0 {width} {height}" {INK}>',
        f"<title>{escape(label)}</title>",
    ]
    for view in views:
        lines += _view(view)
    return "\n".join([*lines, "</svg>", ""])


def _view(view: View) -> list[str]:
    kind = "view list" if view.listed else "view"
    start = (
        f'<g class="{kind}" id="{view.id}" data-label={quoteattr(view.label)} data-width="{view.width}"'
        f' data-height="{view.height}" data-nose="{view.nose}" transform="translate({view.x} {view.y})">'
    )
    art = [f'<path class="{art.kind}" d="{art.d}"/>' for art in view.art]
    return [
        start,
        *_group('<g class="art">', art),
        *_group('<g class="zones" stroke="none">', [_zone(zone) for zone in view.zones]),
        *_group('<g class="joints" stroke="none">', [_joint(joint) for joint in view.joints]),
        "</g>",
    ]


def _group(start: str, lines: list[str]) -> list[str]:
    return [start, *lines, "</g>"] if lines else []


def _zone(zone: Zone) -> str:
    overlay = ' data-overlay="1"' if zone.overlay else ""
    return (
        f'<path id="{zone.id}" data-part="{zone.part}" data-label={quoteattr(zone.label)}'
        f' data-class="{zone.surface_class}" data-laps="{" ".join(zone.laps)}" data-material="{zone.material}"'
        f' data-paint="{zone.paint}"{overlay} data-order="{zone.order}" d="{zone.d}"/>'
    )


def _joint(joint: Joint) -> str:
    return (
        f'<path id="{joint.id}" data-parts="{" ".join(joint.parts)}" data-label={quoteattr(joint.label)}'
        f' data-nominal="{joint.nominal}" data-tolerance="{joint.tolerance}" d="{joint.d}"/>'
    )


def view_json(view: View) -> dict[str, Any]:
    """Return a view as the browser reads it; the order of the zones is the order in which they are drawn."""
    return {
        "id": view.id,
        "label": view.label,
        "width": view.width,
        "height": view.height,
        "nose": view.nose,
        "listed": view.listed,
        "art": [{"class": art.kind, "d": art.d} for art in view.art],
        "zones": [_zone_json(zone) for zone in view.zones],
        "joints": [_joint_json(joint) for joint in view.joints],
    }


def _zone_json(zone: Zone) -> dict[str, Any]:
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
        "d": zone.d,
        "rings": [[[x, y] for x, y in ring.points] for ring in zone.rings],
    }


def _joint_json(joint: Joint) -> dict[str, Any]:
    return {
        "id": joint.id,
        "parts": list(joint.parts),
        "label": joint.label,
        "nominal": joint.nominal,
        "tolerance": joint.tolerance,
        "line": [[x, y] for x, y in joint.lines[0]],
    }


def part_json(part: Part) -> dict[str, Any]:
    """Return a part as the browser reads it."""
    return {
        "label": part.label,
        "zones": list(part.zones),
        "neighbours": list(part.neighbours),
        "paint": part.paint,
        "area_cm2": part.area_cm2,
    }
