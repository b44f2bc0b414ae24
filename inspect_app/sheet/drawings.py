"""Where the views stand: all of them to one scale on the cover, the crowded ones again and larger behind it."""

from collections.abc import Sequence
from typing import Any

from inspect_app.sheet.data import Marker, SheetData
from inspect_app.sheet.flow import Band, Block
from inspect_app.sheet.rings import STATES, WEIGHTS, draw_ring
from inspect_app.sheet.text import BODY, SMALL, STRONG, put, wrap
from inspect_app.sheet.views import LABEL_ROOM, Placed, draw_view, drawn_views, scale_words, tell_scale
from inspect_app.words import gettext as _

CROWDED = 9
"""More markers than this on one view and it is drawn again, larger."""
_GAP = 16.0
_BELOW = 6.0
_LEGEND = (104.0, 118.0)
_LARGE_HIGH = 318.0

Numbered = tuple[int, Marker]


def marked(data: SheetData, view_id: str) -> list[Numbered]:
    """Return the markers that have a place on this view, with their running number on the sheet."""
    return [(n, m) for n, m in enumerate(data.markers) if m.view == view_id and m.x is not None and m.y is not None]


def crowded_views(data: SheetData) -> list[dict[str, Any]]:
    """Return the views that the cover cannot show well."""
    return [view for view in drawn_views(data.outline) if len(marked(data, view["id"])) > CROWDED]


def _columns(views: Sequence[dict[str, Any]]) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """Split long views from short ones, so that sides and roof stand in one column and the ends in the other."""
    longest = max((view["width"] for view in views), default=0)
    long = [view for view in views if view["width"] > longest * 0.6]
    return long, [view for view in views if view not in long]


def _fit(columns: Sequence[Sequence[dict[str, Any]]], wide: float, high: float) -> float:
    """Return the points per mm at which both columns fit into the room, with the legend below the short views."""
    widths = sum(max((view["width"] for view in column), default=0) for column in columns)
    scales = [(wide - _GAP) / widths] if widths else [0.05]
    for column, legend in zip(columns, (0.0, _LEGEND[1]), strict=True):
        if column:
            room = high - len(column) * (LABEL_ROOM + _BELOW) - legend
            scales.append(room / sum(view["height"] for view in column))
    return max(min(scales), 0.001)


def arrange(views: Sequence[dict[str, Any]], wide: float, high: float) -> list[Placed]:
    """Place all views to one scale in two columns within `wide` × `high` points."""
    columns = _columns(views)
    scale = _fit(columns, wide, high)
    placed: list[Placed] = []
    x = 0.0
    for column in columns:
        y = 0.0
        for view in column:
            placed.append(Placed(view=view, x=x, y=y, scale=scale))
            y += LABEL_ROOM + view["height"] * scale + _BELOW
        x = wide - max((view["width"] for view in columns[1]), default=0) * scale
    return placed


def cover_drawing(data: SheetData, wide: float, high: float) -> Band:
    """Return the drawing of all views with every ring, and the legend in the corner the views leave free."""
    placed = arrange(drawn_views(data.outline), wide, high)
    large = {view["id"] for view in crowded_views(data)}
    corner = max((one.x for one in placed), default=wide)

    def draw(canvas: Any, x: float, top: float) -> None:
        for one in placed:
            markers = marked(data, one.view["id"])
            again = one.view["id"] in large
            draw_view(canvas, x, top, one, markers, radius=3.6 if again else 4.4, all_tags=not again)
        _draw_legend(canvas, x + min(corner, wide - _LEGEND[0]), top - high + _LEGEND[1], placed, bool(large))

    return Band(height=high, draw=draw)


def _draw_legend(canvas: Any, x: float, top: float, placed: Sequence[Placed], larger: bool) -> None:
    y = top - 6
    for number, (state, words) in enumerate(STATES.items()):
        draw_ring(canvas, x + 7, y - 2, state, "S3", radius=3.6, seed=number)
        put(canvas, x + 19, y - 4.2, _(words), SMALL)
        y -= 11.6
    for number, severity in enumerate(WEIGHTS):
        draw_ring(canvas, x + 7 + number * 21, y - 3, "open", severity, radius=3.6, seed=number)
        put(canvas, x + 12.5 + number * 21, y - 5, severity, SMALL.but(size=5.6))
    if placed:
        tell_scale(canvas, x, y - 16, placed[0].scale)
    if larger:
        put(canvas, x, y - 25, _("Crowded views follow, larger"), SMALL)


def _shelves(views: Sequence[dict[str, Any]], wide: float) -> list[list[Placed]]:
    """Set views in rows, the long ones first, two in a row only where both fit at the height of a large drawing."""
    rows: list[list[Placed]] = []
    x = wide + 1
    for view in (view for column in _columns(views) for view in column):
        scale = min((wide - 24) / view["width"], _LARGE_HIGH / view["height"])
        if x + view["width"] * scale > wide:
            rows.append([])
            x = 8.0
        rows[-1].append(Placed(view=view, x=x, y=0.0, scale=scale))
        x += view["width"] * scale + 34
    return rows


def larger_drawings(data: SheetData, wide: float) -> list[Block]:
    """Return the crowded views as large as the page allows, every ring with its tag."""
    return [Block(bands=(_row_band(data, row),)) for row in _shelves(crowded_views(data), wide)]


def _row_band(data: SheetData, row: Sequence[Placed]) -> Band:
    high = max(one.high for one in row)

    def draw(canvas: Any, x: float, top: float) -> None:
        for one in row:
            draw_view(canvas, x, top, one, marked(data, one.view["id"]), radius=4.8, all_tags=True)
            put(
                canvas,
                x + one.x,
                top - LABEL_ROOM - one.high - 10,
                _("Scale %(scale)s", scale=scale_words(one.scale)),
                SMALL,
            )

    return Band(height=LABEL_ROOM + high + 24, draw=draw)


def listed_blocks(data: SheetData, wide: float) -> list[Block]:
    """Return the markers that have no place on a drawing, view by view, each on its own line."""
    drawn = {view["id"] for view in drawn_views(data.outline)}
    labels = {view["id"]: view["label"] for view in data.outline.get("views", ())}
    groups: dict[str, list[Numbered]] = {}
    for number, marker in enumerate(data.markers):
        if marker.view not in drawn or marker.x is None or marker.y is None:
            groups.setdefault(marker.view, []).append((number, marker))
    blocks = []
    for view, markers in groups.items():
        name = Band(height=14, draw=_writer(_(labels.get(view, view))))
        rows = [_list_band(number, marker, wide) for number, marker in markers]
        blocks += [Block(bands=(name, rows[0])), *(Block(bands=(row,)) for row in rows[1:])]
    return blocks


def _writer(words: str) -> Any:
    return lambda canvas, x, top: put(canvas, x, top - 9, words, STRONG)


def _list_band(number: int, marker: Marker, wide: float) -> Band:
    lines = wrap(" · ".join(part for part in (marker.kind, marker.zone, marker.words) if part), BODY, wide - 60)

    def draw(canvas: Any, x: float, top: float) -> None:
        draw_ring(canvas, x + 9, top - 6.5, marker.state, marker.severity, radius=4, seed=number)
        put(canvas, x + 22, top - 9, marker.tag, STRONG)
        for at, line in enumerate(lines):
            put(canvas, x + 54, top - 9 - at * 9.8, line, BODY)

    return Band(height=max(16, len(lines) * 9.8 + 6), draw=draw)
