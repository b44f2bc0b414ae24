"""Filling pages from top to bottom: bands that are never cut, blocks that stay together, headings that come again.

Pages are laid out first and drawn afterwards, so each can say "page x of y".
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

from inspect_app.sheet.text import BOLD, HAIR, INK, Style, put

Draw = Callable[[Any, float, float], None]
"""Draws on a canvas, given the left edge and the top in points."""

SECTION = Style(font=BOLD, size=11, leading=14)


@dataclass(frozen=True, kw_only=True)
class Band:
    """A strip over the full width that is never cut, `height` points high."""

    height: float
    draw: Draw


@dataclass(frozen=True, kw_only=True)
class Block:
    """Bands that stay on one page if they are not too high for it; `again` heads the rest on the next page."""

    bands: tuple[Band, ...]
    again: Band | None = None

    @property
    def height(self) -> float:
        """Return the height of all bands in points."""
        return sum(band.height for band in self.bands)


@dataclass(frozen=True, kw_only=True)
class Frame:
    """Where content may stand on a page, in points from the lower left corner of the paper."""

    left: float
    top: float
    width: float
    bottom: float

    @property
    def height(self) -> float:
        """Return the height that content may fill."""
        return self.top - self.bottom


def space(height: float) -> Band:
    """Return an empty band."""
    return Band(height=height, draw=lambda canvas, x, top: None)


@dataclass
class Flow:
    """The pages so far, each a list of (band, top in points)."""

    frame: Frame
    pages: list[list[tuple[Band, float]]] = field(default_factory=lambda: [[]])
    y: float = 0.0

    def __post_init__(self) -> None:
        self.y = self.frame.top

    @property
    def room(self) -> float:
        """Return how many points are left on this page."""
        return self.y - self.frame.bottom

    def next_page(self) -> None:
        """Begin a page, unless this one is still empty."""
        if self.pages[-1]:
            self.pages.append([])
            self.y = self.frame.top

    def place(self, *bands: Band) -> None:
        """Put bands below each other where they stand, without asking whether they fit."""
        for band in bands:
            self.pages[-1].append((band, self.y))
            self.y -= band.height

    def add(self, block: Block, heading: Sequence[Band] = ()) -> None:
        """Add a block. It moves to the next page whole when small enough, else it breaks between two bands.

        More than a third of a page left empty looks like a mistake, so only lower blocks are held together.
        """
        if self.room < block.height <= self.frame.height * 0.34:
            self.next_page()
            self.place(*heading)
        for number, band in enumerate(block.bands):
            if band.height > self.room and self.pages[-1]:
                self.next_page()
                self.place(*heading, *((block.again,) if number and block.again else ()))
            self.place(band)

    def section(self, title: str, blocks: Sequence[Block], header: Band | None = None) -> None:
        """Add a titled section; its title never stands alone at the foot of a page."""
        if not blocks:
            return
        opening = [title_band(title), *((header,) if header else ())]
        first = max(blocks[0].bands[0].height, min(blocks[0].height, self.frame.height * 0.34))
        above = (space(10),) if self.pages[-1] else ()
        if sum(band.height for band in (*above, *opening)) + first > self.room:
            self.next_page()
            above = ()
        self.place(*above, *opening)
        repeat = (header,) if header else ()
        for block in blocks:
            self.add(block, repeat)


def title_band(title: str) -> Band:
    """Return the heading of a section: a rule, the words, and an entry in the reader's table of contents."""

    def draw(canvas: Any, x: float, top: float) -> None:
        canvas.bookmarkHorizontalAbsolute(title, top)
        canvas.addOutlineEntry(title, title, 0)
        put(canvas, x, top - 13, title, SECTION)

    return Band(height=20, draw=draw)


def rule(canvas: Any, x: float, y: float, length: float, *, weight: float = 0.4, strong: bool = False) -> None:
    """Draw a level line."""
    canvas.setStrokeColorRGB(*(INK if strong else HAIR))
    canvas.setLineWidth(weight)
    canvas.line(x, y, x + length, y)
