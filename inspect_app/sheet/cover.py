"""The first page: which van, in which state, with every ring at a glance and the signatures below."""

from collections import Counter
from collections.abc import Sequence
from typing import Any

from inspect_app.sheet.data import SheetData, Signature, Unit
from inspect_app.sheet.drawings import cover_drawing
from inspect_app.sheet.flow import Band, Block, Flow, rule, space
from inspect_app.sheet.pictures import draw_stroke
from inspect_app.sheet.rings import SHORT
from inspect_app.sheet.table import HEAD, Line, text, wrap_cell
from inspect_app.sheet.text import BODY, BOLD, INK, QUIET, SMALL, STRONG, Style, put, put_right, width, wrap
from inspect_app.sheet.times import Clock
from inspect_app.words import N_, ngettext
from inspect_app.words import gettext as _

_SIX = Style(font=BOLD, size=34, leading=38)
_PLANT = Style(font=BOLD, size=9, leading=11.5)
_LETTER = Style(font=BOLD, size=22, leading=26)
_FIGURE = Style(font=BOLD, size=13, leading=16)
_NAME = Style(font=BOLD, size=8.2, leading=10)
_SIGN_HIGH = 40.0
_LEAST_DRAWING = 330.0
COLOUR_HEAD = N_("COLOUR AND FINISH")
FINISHES = {"solid": N_("solid"), "metallic": N_("metallic")}


def grouped(last_six: str) -> str:
    """Return the last six as it is read out, in threes."""
    return f"{last_six[:-3]} {last_six[-3:]}" if len(last_six) > 3 else last_six


def add_cover(flow: Flow, data: SheetData, clock: Clock) -> None:
    """Fill the first page. The drawing takes what the words leave; signatures move on if that is too little."""
    wide = flow.frame.width
    flow.place(_title(data, clock, wide), _facts(data.unit, clock, wide), _figures(data, wide))
    signatures = signature_blocks(data.signatures, clock, wide)
    signed_high = sum(block.height for block in signatures)
    together = flow.room - signed_high >= _LEAST_DRAWING
    if flow.room < _LEAST_DRAWING:
        flow.next_page()
    flow.place(space(8), cover_drawing(data, wide, flow.room - 8 - (signed_high if together else 0)))
    if together:
        for block in signatures:
            flow.add(block)
    else:
        flow.section(_("Signatures"), signatures)


def _title(data: SheetData, clock: Clock, wide: float) -> Band:
    room = wide - 150
    plant = wrap(data.unit.plant, _PLANT, room)
    signed = max((signature.at for signature in data.signatures), default=None)
    status = _("Signed %(when)s", when=clock.at(signed)) if signed is not None else _("Not signed")
    high = len(plant) * _PLANT.leading + 46

    def draw(canvas: Any, x: float, top: float) -> None:
        for number, line in enumerate(plant):
            put(canvas, x, top - 9 - number * _PLANT.leading, line, _PLANT)
        put(canvas, x, top - high + 13, grouped(data.unit.last_six), _SIX)
        put_right(canvas, x + wide, top - 9, _("INSPECTION SHEET"), HEAD.but(size=8))
        put_right(canvas, x + wide, top - high + 24, data.revision, _LETTER)
        put_right(
            canvas, x + wide - width(data.revision, _LETTER) - 5, top - high + 24, _("revision"), SMALL.but(size=8)
        )
        put_right(canvas, x + wide, top - high + 11, status, STRONG)
        rule(canvas, x, top - high, wide, weight=1.2, strong=True)

    return Band(height=high, draw=draw)


def _facts(unit: Unit, clock: Clock, wide: float) -> Band:
    """Return the title block: two rows of named values, as on a drawing."""
    finish = _(FINISHES.get(unit.finish, unit.finish))
    colour = " · ".join(part for part in (unit.colour, finish) if part)
    rows = [
        [
            (_("CHASSIS NUMBER"), unit.chassis_number, 0.30),
            (_("BUILD NUMBER"), unit.build_number, 0.17),
            (_("MAKE AND MODEL"), " ".join(part for part in (unit.make, unit.model) if part), 0.29),
            (_(COLOUR_HEAD), colour, 0.24),
        ],
        [
            (_("OPTIONS"), unit.options, 0.60),
            (_("ARRIVED"), clock.at(unit.arrived), 0.20),
            (_("DUE"), clock.at(unit.due), 0.20),
        ],
    ]
    drawn = [_fact_row(row, wide, unit.colour_hex) for row in rows]
    return _stack(drawn)


def _fact_row(row: Sequence[tuple[str, str, float]], wide: float, colour: str | None) -> Band:
    cells = [
        (head, wrap_cell(text(value or "–"), share * wide - _inset(head, colour)), share * wide)
        for head, value, share in row
    ]
    high = 17 + max(len(lines) for _, lines, _ in cells) * BODY.leading

    def draw(canvas: Any, x: float, top: float) -> None:
        rule(canvas, x, top - high, wide)
        at = x
        for head, lines, cell_wide in cells:
            if at > x:
                canvas.line(at, top - 4, at, top - high + 4)
            inset = 7 if at > x else 0
            put(canvas, at + inset, top - 9.5, head, HEAD.but(size=5.6))
            if _inset(head, colour) > 14:
                _swatch(canvas, at + inset, top - 21, colour or "")
                inset += 14
            _write(canvas, at + inset, top - 20, lines)
            at += cell_wide

    return Band(height=high, draw=draw)


def _inset(head: str, colour: str | None) -> float:
    return 28 if head == _(COLOUR_HEAD) and _rgb(colour) else 14


def _rgb(colour: str | None) -> tuple[float, float, float] | None:
    try:
        digits = (colour or "").removeprefix("#")
        red, green, blue = bytes.fromhex(digits)
    except ValueError:
        return None
    return red / 255, green / 255, blue / 255


def _swatch(canvas: Any, x: float, y: float, colour: str) -> None:
    canvas.setFillColorRGB(*(_rgb(colour) or (1, 1, 1)))
    canvas.setStrokeColorRGB(*QUIET)
    canvas.setLineWidth(0.5)
    canvas.roundRect(x, y - 1, 10, 8, 1.5, stroke=1, fill=1)


def _write(canvas: Any, x: float, y: float, lines: Sequence[Line]) -> None:
    for number, (line, style) in enumerate(lines):
        put(canvas, x, y - number * style.leading, line, style)


def _stack(bands: Sequence[Band]) -> Band:
    def draw(canvas: Any, x: float, top: float) -> None:
        for band in bands:
            band.draw(canvas, x, top)
            top -= band.height

    return Band(height=sum(band.height for band in bands), draw=draw)


def figures(data: SheetData) -> list[tuple[str, int]]:
    """Return the counts of the cover: all markers, those of each state there is, and the further ones given."""
    states = Counter(marker.state for marker in data.markers)
    by_state = [(_(words), states[state]) for state, words in SHORT.items() if states[state]]
    return [(ngettext("marker", "markers", len(data.markers)), len(data.markers)), *by_state, *data.figures]


def _figures(data: SheetData, wide: float) -> Band:
    cells = figures(data)
    each = wide / min(max(len(cells), 8), 12)
    per_row = max(1, int(wide // each))
    rows = [cells[start : start + per_row] for start in range(0, len(cells), per_row)]
    return _stack([space(5), *(_figure_row(row, each) for row in rows)])


def _figure_row(cells: Sequence[tuple[str, int]], each: float) -> Band:
    labels = [wrap(label, SMALL, each - 6) for label, _ in cells]
    high = 17 + max(map(len, labels)) * SMALL.leading

    def draw(canvas: Any, x: float, top: float) -> None:
        for number, (_label, count) in enumerate(cells):
            put(canvas, x + number * each, top - 13, str(count), _FIGURE)
            _write(canvas, x + number * each, top - 22, [(line, SMALL) for line in labels[number]])

    return Band(height=high, draw=draw)


def signature_blocks(signatures: Sequence[Signature], clock: Clock, wide: float) -> list[Block]:
    """Return the signatures, three to a row, or one empty line to sign on where nobody has signed."""
    each = (wide - 2 * 18) / 3
    rows = [signatures[start : start + 3] for start in range(0, len(signatures), 3)] or [()]
    return [Block(bands=(_signature_row(row, clock, each),)) for row in rows]


def _signature_row(signatures: Sequence[Signature], clock: Clock, each: float) -> Band:
    told = [
        wrap_cell([(s.person, _NAME), (f"{s.role} · {clock.at(s.at)}", SMALL.but(leading=10))], each)
        for s in signatures
    ] or [[(_("Not signed"), SMALL)]]
    high = 10 + _SIGN_HIGH + max(map(len, told)) * 10 + 4

    def draw(canvas: Any, x: float, top: float) -> None:
        base = top - 10 - _SIGN_HIGH
        for number, lines in enumerate(told):
            left = x + number * (each + 18)
            rule(canvas, left, base, each, weight=0.6, strong=True)
            _write(canvas, left, base - 9.5, lines)
            for stroke in signatures[number].strokes if signatures else ():
                _pen(canvas, stroke, left, base, each)

    return Band(height=high, draw=draw)


def _pen(canvas: Any, stroke: Sequence[tuple[float, float]], left: float, base: float, each: float) -> None:
    """Draw one stroke of a signature, in the proportions of the pad it was drawn on (three to one)."""
    canvas.setStrokeColorRGB(*INK)
    canvas.setLineWidth(1.0)
    draw_stroke(canvas, stroke, left + 4, base - 3, min(each - 8, (_SIGN_HIGH + 6) * 3), _SIGN_HIGH + 6)
