"""A gauge card to print, cut out and hold beside a flaw: dots, gap steps and a rule, dark on light and light on dark.

Import this module late: it brings ReportLab with it.
"""

from dataclasses import dataclass
from typing import Any

from reportlab.lib.units import mm

from inspect_app.sheet.text import BOLD, REGULAR, clean
from inspect_app.sheet.true_size import empty
from inspect_app.words import N_
from inspect_app.words import gettext as _
from inspect_app.words.figures import figure

DOTS = (0.3, 0.5, 0.8, 1.0, 1.5, 2.0, 2.5, 3.0)  # mm, diameters
GAPS = (2, 3, 4, 5, 6, 7, 8)  # mm, widths of bars to lay beside a gap
RULE = 50  # mm
WIDTH, HEIGHT = 112.0, 70.0  # mm, one card
EDGE = 6.0  # mm, from the edge of the card to what is drawn on it
ADVICE = (
    N_("Print at 100 %, never “fit to page”, and cut along the lines."),
    N_("Before use, lay a steel rule along the 50 mm: when they differ, throw the card away."),
    N_("It helps the eye and shows the scale in a photo. It is not a calibrated gauge and settles no dispute."),
    N_("Hold it beside the flaw, flat on the panel, in the same light; do not slide it over soft paint."),
)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Card:
    """Where a card lies on the paper (its lower left corner, mm) and its two colours, 0 black to 1 white."""

    left: float
    bottom: float
    ground: float
    ink: float


def make_gauge_card(*, paper: str = "a4", plant: str = "", language: str = "en") -> bytes:
    """Return one page with two cards as a PDF, true to size; raises SheetError for an unknown paper.

    Its words are in the language now spoken; `language` is that one's name for whoever reads the file aloud (BCP 47).
    """
    canvas, buffer, wide, high = empty(paper, _("Gauge card"), language)
    left, top = (wide - WIDTH) / 2, high - 25
    _heading(canvas, left, top)
    for place, (ground, ink) in enumerate(((1.0, 0.0), (0.0, 1.0))):
        card = Card(left=left, bottom=top - 28 - (place + 1) * HEIGHT - place * 12, ground=ground, ink=ink)
        draw_card(canvas, card, clean(plant))
    canvas.save()
    return buffer.getvalue()


def draw_card(canvas: Any, card: Card, plant: str) -> None:
    """Draw a card at its place, with the line to cut along."""
    canvas.saveState()
    canvas.translate(card.left * mm, card.bottom * mm)
    canvas.setStrokeGray(0.6)
    canvas.setLineWidth(0.3)
    canvas.setFillGray(card.ground)
    canvas.rect(0, 0, WIDTH * mm, HEIGHT * mm, stroke=1, fill=1)
    canvas.setFillGray(card.ink)
    canvas.setStrokeGray(card.ink)
    _dots(canvas, HEIGHT - 14)
    _gaps(canvas, 28)
    _rule(canvas, 12)
    _write(canvas, EDGE, HEIGHT - 6.5, _("Ø mm"), size=7)
    _write(canvas, EDGE, 43.5, _("gap mm"), size=7)
    if plant:
        _write(canvas, WIDTH - EDGE, HEIGHT - 6.5, plant[:40], size=7, to="right")
    canvas.restoreState()


def _heading(canvas: Any, left: float, top: float) -> None:
    _write(canvas, left, top, _("Gauge card"), size=15, font=BOLD)
    for number, line in enumerate(ADVICE):
        _write(canvas, left, top - 7 - number * 4.5, _(line), size=8)


def _spread(count: int) -> list[float]:
    """Places of columns across a card, mm from its left edge."""
    step = (WIDTH - 2 * EDGE - 8) / (count - 1)
    return [EDGE + 4 + number * step for number in range(count)]


def _dots(canvas: Any, y: float) -> None:
    for x, size in zip(_spread(len(DOTS)), DOTS, strict=True):
        canvas.circle(x * mm, y * mm, size / 2 * mm, stroke=0, fill=1)
        _write(canvas, x, y - 6.5, figure(f"{size:g}"), size=8, to="centre")


def _gaps(canvas: Any, y: float) -> None:
    for x, size in zip(_spread(len(GAPS)), GAPS, strict=True):
        canvas.rect((x - size / 2) * mm, y * mm, size * mm, 13 * mm, stroke=0, fill=1)
        _write(canvas, x, y - 4, f"{size}", size=8, to="centre")


def _rule(canvas: Any, y: float) -> None:
    left = (WIDTH - RULE) / 2
    canvas.setLineWidth(0.15 * mm)
    canvas.line(left * mm, y * mm, (left + RULE) * mm, y * mm)
    for tick in range(RULE + 1):
        long = 5.0 if tick % 10 == 0 else 3.8 if tick % 5 == 0 else 2.6
        canvas.line((left + tick) * mm, y * mm, (left + tick) * mm, (y + long) * mm)
        if tick % 10 == 0:
            _write(canvas, left + tick, y - 4, f"{tick}", size=8, to="centre")
    _write(canvas, left + RULE + 4, y - 4, _("mm"), size=8)


def _write(canvas: Any, x: float, y: float, text: str, *, size: float, font: str = REGULAR, to: str = "left") -> None:
    canvas.setFont(font, size)
    put = {"left": canvas.drawString, "right": canvas.drawRightString, "centre": canvas.drawCentredString}[to]
    put(x * mm, y * mm, text)
