"""Type on the sheet: the embedded font, how wide a text is, and how it is broken into lines.

Fira Sans Condensed writes every name a shop is likely to meet (Latin with all its accents, Cyrillic, Greek), and its
narrow cut keeps a register of many columns readable on paper.
"""

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from reportlab import rl_config
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from inspect_app.sheet.data import SheetError
from inspect_app.words import gettext as _

REGULAR = "FiraSansCondensed-Regular"
BOLD = "FiraSansCondensed-SemiBold"
Colour = tuple[float, float, float]
INK: Colour = (0.09, 0.11, 0.13)
QUIET: Colour = (0.36, 0.39, 0.43)
HAIR: Colour = (0.78, 0.80, 0.82)
WAX: Colour = (0.78, 0.24, 0.09)


@dataclass(frozen=True, kw_only=True)
class Style:
    """A face, its size and the distance to the next line, both in points."""

    font: str = REGULAR
    size: float = 7.6
    leading: float = 9.8
    colour: Colour = INK

    def but(self, **changes: Any) -> "Style":
        """Return the same style with some of it changed."""
        return replace(self, **changes)


BODY = Style()
STRONG = Style(font=BOLD)
SMALL = Style(size=6.4, leading=8.2, colour=QUIET)


def font_folder() -> Path:
    """Find the installed font files; raises SheetError when they are missing."""
    spec = find_spec("fontpkg_fira_sans_condensed")
    if spec is None or not spec.submodule_search_locations:
        raise SheetError(_("The sheet's font is not installed; install the package fontpkg-fira-sans-condensed."))
    return Path(next(iter(spec.submodule_search_locations))) / "files"


@lru_cache(maxsize=1)
def register_fonts() -> None:
    """Give ReportLab both faces, once a process; raises SheetError when the files are missing."""
    rl_config.useA85 = 0  # text armour makes photos a quarter larger and the whole sheet several times slower
    folder = font_folder()
    for name in (REGULAR, BOLD):
        pdfmetrics.registerFont(TTFont(name, str(folder / f"{name}.ttf")))


@lru_cache(maxsize=4)
def _widths(font: str) -> dict[int, float]:
    register_fonts()
    widths: dict[int, float] = pdfmetrics.getFont(font).face.charWidths
    return widths


@lru_cache(maxsize=20_000)
def _units(text: str, font: str) -> float:
    widths = _widths(font)
    return sum(widths.get(ord(letter), 600.0) for letter in text)


def width(text: str, style: Style) -> float:
    """Return how wide a text is in points."""
    return _units(text, style.font) * style.size / 1000


@lru_cache(maxsize=4_000)
def clean(text: str) -> str:
    """Compose accents and drop what cannot be printed, keeping line ends: fonts have ễ, but not e with loose marks."""
    text = unicodedata.normalize("NFC", text).replace("\r\n", "\n").replace("\t", " ")
    return "".join(c for c in text if c == "\n" or unicodedata.category(c) not in ("Cc", "Cf", "Cs", "Co", "Cn"))


def _pieces(word: str, style: Style, room: float) -> list[str]:
    """Cut a word that is wider than the column, so that nothing ever runs into its neighbour."""
    if width(word, style) <= room:
        return [word]
    pieces, start = [], 0
    for end in range(1, len(word) + 1):
        if end - start > 1 and width(word[start:end], style) > room:
            pieces.append(word[start : end - 1])
            start = end - 1
    return [*pieces, word[start:]]


def _wrap_paragraph(paragraph: str, style: Style, room: float) -> list[str]:
    lines = [""]
    for word in paragraph.split():
        for number, piece in enumerate(_pieces(word, style, room)):
            longer = f"{lines[-1]} {piece}" if lines[-1] else piece
            if number == 0 and width(longer, style) <= room:
                lines[-1] = longer
            elif lines[-1]:
                lines.append(piece)
            else:
                lines[-1] = piece
    return lines


def wrap(text: str, style: Style, room: float) -> list[str]:
    """Break a text into lines no wider than `room` points; an empty text gives no line."""
    text = clean(text).strip()
    if not text:
        return []
    return [line for paragraph in text.split("\n") for line in _wrap_paragraph(paragraph, style, room)]


def shorten(text: str, style: Style, room: float) -> str:
    """Return the text on one line, cut with an ellipsis. Only for what stands in full elsewhere on the sheet."""
    text = clean(text).replace("\n", " ")
    if width(text, style) <= room:
        return text
    while text and width(f"{text}…", style) > room:
        text = text[:-1]
    return f"{text.rstrip()}…"


def put_level(canvas: Any, x: float, y: float, pieces: Iterable[tuple[float, str, Style]]) -> None:
    """Write texts on one baseline, each so many points to the right of x.

    One text object for all of them: drawing string by string takes half the time of a whole sheet.
    """
    pen = canvas.beginText()
    for offset, words, style in pieces:
        if words:
            pen.setFont(style.font, style.size)
            pen.setFillColorRGB(*style.colour)
            pen.setTextOrigin(x + offset, y)
            pen.textLine(words)
    canvas.drawText(pen)


def put(canvas: Any, x: float, y: float, text: str, style: Style) -> None:
    """Write one line with its baseline at x, y."""
    put_level(canvas, x, y, ((0.0, text, style),))


def put_right(canvas: Any, x: float, y: float, text: str, style: Style) -> None:
    """Write one line that ends at x."""
    put(canvas, x - width(text, style), y, text, style)
