"""Labels of parts that leave their van, to print and cut: the last six large, the part, the van, and its QR code.

Import this module late: it brings ReportLab with it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from reportlab.lib.units import mm
from reportlab.pdfbase import pdfmetrics

from inspect_app.sheet.text import BOLD, REGULAR, clean
from inspect_app.sheet.true_size import empty
from inspect_app.words import N_
from inspect_app.words import gettext as _

WIDTH, HEIGHT = 86.0, 38.0  # mm, one label
COLUMNS, ROWS = 2, 6
GAP = 5.0  # mm between labels, for the knife
EDGE = 3.5  # mm, from the edge of a label to what stands on it
CODE = 25.0  # mm, a QR code with its quiet border of four modules (ISO/IEC 18004)
QUIET_MODULES = 4
ADVICE = (
    N_(
        "Stick each on the inside of its part, or under a cover that is peeled off after painting: "
        "paint hides an open label."
    ),
    N_("Cut along the lines. Compare the six with the van's plate before you stick one on."),
)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Label:
    """One label. `part` is the id its code names, `van` the make, model and colour in words."""

    part: str
    last_six: str
    piece: str
    material: str
    van: str
    chassis: str


def make_labels(labels: Sequence[Label], *, paper: str = "a4", language: str = "en") -> bytes:
    """Return a PDF with all labels, twelve a page; raises SheetError for an unknown paper.

    Its words are in the language now spoken; `language` is that one's name for whoever reads the file aloud (BCP 47).
    """
    canvas, buffer, wide, high = empty(paper, _("Labels of parts"), language)
    left = (wide - COLUMNS * WIDTH - (COLUMNS - 1) * GAP) / 2
    a_page = COLUMNS * ROWS
    for start in range(0, len(labels), a_page):
        for number, line in enumerate(ADVICE):
            _write(canvas, left, high - 9 - number * 3.6, _(line), size=7.5)
        for place, label in enumerate(labels[start : start + a_page]):
            row, column = divmod(place, COLUMNS)
            _label(canvas, label, left + column * (WIDTH + GAP), high - 16 - HEIGHT - row * (HEIGHT + GAP))
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def _label(canvas: Any, label: Label, left: float, bottom: float) -> None:
    """Draw a label at its place (its lower left corner, mm), with the line to cut along."""
    canvas.saveState()
    canvas.translate(left * mm, bottom * mm)
    canvas.setStrokeGray(0.55)
    canvas.setLineWidth(0.3)
    canvas.rect(0, 0, WIDTH * mm, HEIGHT * mm, stroke=1, fill=0)
    room = WIDTH - CODE - 2 * EDGE
    six = f"{label.last_six[:3]} {label.last_six[3:]}"
    _write(canvas, EDGE, HEIGHT - 14.5, six, size=41, font=BOLD, room=room)
    _write(canvas, EDGE, HEIGHT - 21.5, label.piece, size=13, font=BOLD, room=room)
    _write(canvas, EDGE, HEIGHT - 26.2, label.material, size=8.5, room=room)
    _write(canvas, EDGE, 7.2, label.van, size=8.5, room=room)
    _write(canvas, EDGE, 3.4, label.chassis, size=8.5, room=room)
    for x, y, side in _modules(f"urn:uuid:{label.part}".upper()):
        canvas.rect(
            (WIDTH - CODE - 1.5 + x) * mm, ((HEIGHT - CODE) / 2 + y) * mm, side[0] * mm, side[1] * mm, stroke=0, fill=1
        )
    canvas.restoreState()


def _modules(text: str) -> Iterable[tuple[float, float, tuple[float, float]]]:
    """Dark runs of a QR code in mm from its lower left corner, each with its width and height, quiet border counted."""
    import segno

    rows = [bytes(row) for row in segno.make_qr(text, error="m").matrix]
    step = CODE / (len(rows) + 2 * QUIET_MODULES)
    for number, row in enumerate(rows):
        y, start = CODE - (number + 1 + QUIET_MODULES) * step, None
        for column, dark in enumerate([*row, 0]):
            if dark and start is None:
                start = column
            elif not dark and start is not None:
                yield (start + QUIET_MODULES) * step, y, ((column - start) * step, step)
                start = None


def _write(canvas: Any, x: float, y: float, text: str, *, size: float, font: str = REGULAR, room: float = 0) -> None:
    """Write one line (mm), smaller where it would be wider than its room."""
    text = clean(text)
    if room:
        size = min(size, size * room * mm / max(1.0, pdfmetrics.stringWidth(text, font, size)))
    canvas.setFont(font, size)
    canvas.drawString(x * mm, y * mm, text)
