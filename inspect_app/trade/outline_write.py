"""Write an outline as the one canonical SVG that its hash is taken of."""

from __future__ import annotations

from xml.sax.saxutils import escape, quoteattr

from inspect_app.trade.outline_model import Joint, View, Zone

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
