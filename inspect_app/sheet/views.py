"""The views of the van with their rings: each drawing is stored once in the file and shown at any size."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from reportlab.pdfgen.pathobject import PDFPathObject

from inspect_app.sheet.data import Marker, SheetError
from inspect_app.sheet.labels import Place, Spot, place_tags
from inspect_app.sheet.rings import draw_ring, draw_run
from inspect_app.sheet.text import BOLD, INK, QUIET, SMALL, STRONG, WAX, Colour, Style, put, width
from inspect_app.trade.outline_path import to_curves
from inspect_app.words import N_
from inspect_app.words import gettext as _

_DARK: Colour = (0.22, 0.25, 0.29)
_SOFT: Colour = (0.50, 0.54, 0.58)
# class of art: fill, stroke, weight in mm of the van (9 mm is half a point at the cover's size)
_ART: dict[str, tuple[Colour | None, Colour | None, float]] = {
    "body": ((1.0, 1.0, 1.0), _DARK, 9.0),
    "line": (None, _DARK, 5.5),
    "thin": (None, _SOFT, 3.5),
    "glass": ((0.905, 0.93, 0.945), _DARK, 5.0),
    "tyre": ((0.80, 0.815, 0.83), _DARK, 6.0),
    "rim": ((0.97, 0.975, 0.98), _DARK, 4.0),
    "lamp": ((0.955, 0.945, 0.915), _DARK, 4.0),
    "trim": ((0.90, 0.91, 0.92), _DARK, 4.5),
    "shade": ((0.945, 0.95, 0.957), None, 0.0),
}
_NOSE = {"left": N_("← nose"), "right": N_("nose →")}
CAPTION = Style(size=6.6, leading=9, colour=QUIET)
LABEL_ROOM = 13.0
"""Points above each view for its name."""


@dataclass(frozen=True, kw_only=True)
class Placed:
    """A view's place in a drawing: its upper left corner in points from the drawing's, y down, and points per mm."""

    view: dict[str, Any]
    x: float
    y: float
    scale: float

    @property
    def wide(self) -> float:
        """Return the width in points."""
        return float(self.view["width"]) * self.scale

    @property
    def high(self) -> float:
        """Return the height in points without the name."""
        return float(self.view["height"]) * self.scale


def drawn_views(outline: dict[str, Any]) -> list[dict[str, Any]]:
    """Return the views that have a drawing, in the outline's order."""
    return [view for view in outline.get("views", ()) if not view.get("listed")]


@lru_cache(maxsize=4_000)
def _trace(d: str) -> PDFPathObject:
    """Return a path ready to be drawn; the same outline is on every sheet, so it is kept."""
    path = PDFPathObject()
    for command, *numbers in to_curves(d):
        if command == "M":
            path.moveTo(*numbers)
        elif command == "L":
            path.lineTo(*numbers)
        elif command == "C":
            path.curveTo(*numbers)
        else:
            path.close()
    return path


def _form_name(view: dict[str, Any]) -> str:
    return f"view_{view['id']}"


def define_views(canvas: Any, outline: dict[str, Any]) -> None:
    """Store each drawn view in the file once, in mm with y down; raises SheetError when a path cannot be read."""
    for view in drawn_views(outline):
        margin = 60
        canvas.beginForm(_form_name(view), -margin, -margin, view["width"] + margin, view["height"] + margin)
        canvas.setLineJoin(1)
        canvas.setLineCap(1)
        for art in view["art"]:
            _draw_art(canvas, view, art)
        canvas.endForm()


def _draw_art(canvas: Any, view: dict[str, Any], art: dict[str, Any]) -> None:
    fill, stroke, weight = _ART.get(art["class"], _ART["line"])
    try:
        path = _trace(art["d"])
    except ValueError as error:
        told = _(
            "The outline's view %(view)s has a line that %(fault)s; check the outline.",
            view=repr(view["id"]),
            fault=error,
        )
        raise SheetError(told) from error
    if fill:
        canvas.setFillColorRGB(*fill)
    if stroke:
        canvas.setStrokeColorRGB(*stroke)
        canvas.setLineWidth(weight)
    canvas.drawPath(path, stroke=int(stroke is not None), fill=int(fill is not None), fillMode=1)


def draw_view(
    canvas: Any,
    left: float,
    top: float,
    placed: Placed,
    markers: Sequence[tuple[int, Marker]],
    *,
    radius: float,
    all_tags: bool,
) -> None:
    """Draw one view with its name, its rings and their tags, from the drawing's upper left corner.

    `markers` come with their running number. Unless `all_tags`, a tag that finds no free place is left out, for a
    view that is shown again at a larger size.
    """
    x, y = left + placed.x, top - placed.y
    view = placed.view
    name, nose = _(view["label"]), _NOSE.get(view.get("nose", ""))
    put(canvas, x, y - 8, name, STRONG.but(size=7.2))
    if nose:
        put(canvas, x + width(name, STRONG.but(size=7.2)) + 5, y - 8, _(nose), CAPTION)
    base = y - LABEL_ROOM
    canvas.saveState()
    canvas.transform(placed.scale, 0, 0, -placed.scale, x, base)
    canvas.doForm(_form_name(view))
    canvas.restoreState()
    _draw_marks(canvas, x, base, placed, markers, radius, all_tags)


def _draw_marks(
    canvas: Any,
    x: float,
    base: float,
    placed: Placed,
    markers: Sequence[tuple[int, Marker]],
    radius: float,
    all_tags: bool,
) -> None:
    style = Style(font=BOLD, size=radius * 1.22, leading=radius * 1.4)
    points = [_point(x, base, placed, marker.x, marker.y) for _, marker in markers]
    for (number, marker), point in zip(markers, points, strict=True):
        if marker.x2 is not None and marker.y2 is not None:
            draw_run(canvas, point, _point(x, base, placed, marker.x2, marker.y2), radius=radius)
        draw_ring(canvas, *point, marker.state, marker.severity, radius=radius, seed=number)
    spots = [_spot(point, marker, radius, style) for point, (_, marker) in zip(points, markers, strict=True)]
    places = place_tags(spots, (x - 16, base - placed.high - 9, x + placed.wide + 16, base + 6))
    for spot, place, (_number, marker) in zip(spots, places, markers, strict=True):
        if place.free or all_tags:
            _draw_tag(canvas, spot, place, marker.tag, style)


def _spot(point: tuple[float, float], marker: Marker, radius: float, style: Style) -> Spot:
    reach = radius * (1.5 if marker.state == "conceded" else 1.15)
    return Spot(x=point[0], y=point[1], radius=reach, wide=width(marker.tag, style) + 1.4, high=style.size * 0.98)


def _point(x: float, base: float, placed: Placed, mx: int | None, my: int | None) -> tuple[float, float]:
    """Turn tenths of a millimetre on the view into points on the page."""
    return x + (mx or 0) / 10 * placed.scale, base - (my or 0) / 10 * placed.scale


def _draw_tag(canvas: Any, spot: Spot, place: Place, tag: str, style: Style) -> None:
    left, bottom, right, top = place.box
    if place.far:
        canvas.setStrokeColorRGB(*WAX)
        canvas.setLineWidth(0.35)
        nearest = (min(max(spot.x, left), right), min(max(spot.y, bottom), top))
        canvas.line(spot.x, spot.y, *nearest)
    canvas.saveState()
    canvas.setFillColorRGB(1, 1, 1)
    canvas.setFillAlpha(0.8)
    canvas.rect(left, bottom, right - left, top - bottom, stroke=0, fill=1)
    canvas.restoreState()
    put(canvas, left + 0.7, bottom + style.size * 0.13, tag, style.but(colour=INK))


def scale_words(scale: float) -> str:
    """Say how much smaller than the van a drawing is when printed at full size, as 1 : 43."""
    return f"1 : {72 / 25.4 / scale:.0f}"


def tell_scale(canvas: Any, x: float, y: float, scale: float) -> None:
    """Write the scale under a drawing."""
    put(canvas, x, y, _("Scale %(scale)s when printed at 100 %%", scale=scale_words(scale)), SMALL)
