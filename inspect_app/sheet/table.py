"""Columns of wrapped lines. A row is a run of bands one line high, so a long note can go on over the page."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from inspect_app.sheet.flow import Band, Block, rule, space
from inspect_app.sheet.text import BODY, BOLD, QUIET, Style, put, put_level, wrap

HEAD = Style(font=BOLD, size=6.4, leading=8.2, colour=QUIET)

Line = tuple[str, Style]
Cell = Sequence[Line]
"""Texts below each other, each with its style, not yet wrapped."""


@dataclass(frozen=True, kw_only=True)
class Column:
    """A column: its heading, its left edge and its width in points."""

    head: str
    x: float
    wide: float


def columns(wide: float, *parts: tuple[str, float], gap: float = 9.0) -> tuple[Column, ...]:
    """Divide a width among (heading, share) columns."""
    room = wide - gap * (len(parts) - 1)
    total = sum(share for _, share in parts)
    made: list[Column] = []
    x = 0.0
    for head, share in parts:
        made.append(Column(head=head, x=x, wide=room * share / total))
        x += made[-1].wide + gap
    return tuple(made)


def header(cols: Sequence[Column]) -> Band:
    """Return the heads of the columns, the last lines level, over a strong rule."""
    end = cols[-1].x + cols[-1].wide
    heads = [wrap(col.head, HEAD, col.wide) for col in cols]
    high = 13 + (max(map(len, heads)) - 1) * HEAD.leading

    def draw(canvas: Any, x: float, top: float) -> None:
        for col, lines in zip(cols, heads, strict=True):
            for above, line in enumerate(reversed(lines)):
                put(canvas, x + col.x, top - high + 5 + above * HEAD.leading, line, HEAD)
        rule(canvas, x, top - high + 1, end, weight=0.7, strong=True)

    return Band(height=high, draw=draw)


def text(*parts: str, style: Style = BODY) -> list[Line]:
    """Return the parts that say something as lines of one style."""
    return [(part, style) for part in parts if part]


def wrap_cell(cell: Cell, wide: float) -> list[Line]:
    """Break a cell's texts to its width; a blank text keeps its line."""
    return [(line, style) for words, style in cell for line in wrap(words, style, wide) or [""]]


def line_bands(lines: Sequence[Sequence[Line]], cols: Sequence[Column]) -> list[Band]:
    """Return one band for each line of the highest column, all one step apart so that columns stay level."""
    count = max((len(column) for column in lines), default=0)
    return [_line_band(number, lines, cols) for number in range(count)]


def _line_band(number: int, lines: Sequence[Sequence[Line]], cols: Sequence[Column]) -> Band:
    row = [(col.x, *column[number]) for col, column in zip(cols, lines, strict=True) if number < len(column)]

    def draw(canvas: Any, x: float, top: float) -> None:
        put_level(canvas, x, top - 7.4, row)

    return Band(height=BODY.leading, draw=draw)


def row(
    cells: Sequence[Cell],
    cols: Sequence[Column],
    *,
    mark: Callable[[Any, float, float], None] | None = None,
    below: Sequence[Band] = (),
    again: Band | None = None,
) -> Block:
    """Return one row: its wrapped cells, what hangs below them, and a hairline at its foot.

    `mark` draws beside the first line, from the row's left edge and top.
    """
    bands = line_bands([wrap_cell(cell, col.wide) for cell, col in zip(cells, cols, strict=True)], cols)
    first = [Band(height=4, draw=mark)] if mark else [space(4)]
    end = cols[-1].x + cols[-1].wide
    foot = Band(height=4.5, draw=lambda canvas, x, top: rule(canvas, x, top - 4, end))
    return Block(bands=(*first, *bands, *below, foot), again=again)
