"""From the data of a sheet to the bytes of a PDF: lay the pages out, then draw them.

Import this module late: it brings ReportLab with it, which a web request never needs.
"""

from datetime import UTC, datetime
from io import BytesIO
from typing import Any, Literal

from reportlab.lib.pagesizes import A4, LETTER
from reportlab.pdfgen.canvas import Canvas

from inspect_app.sheet import sections
from inspect_app.sheet.cover import add_cover, grouped
from inspect_app.sheet.data import SheetData, SheetError
from inspect_app.sheet.drawings import larger_drawings, listed_blocks
from inspect_app.sheet.flow import Block, Flow, Frame, rule
from inspect_app.sheet.pictures import Album
from inspect_app.sheet.register import register_header, register_rows
from inspect_app.sheet.speech import spoken, tag
from inspect_app.sheet.table import columns, line_bands, text
from inspect_app.sheet.text import BOLD, REGULAR, SMALL, clean, put, put_right, register_fonts, shorten, width
from inspect_app.sheet.times import Clock
from inspect_app.sheet.views import define_views
from inspect_app.words import gettext as _

Paper = Literal["a4", "letter"]
PAPERS: dict[str, tuple[float, float]] = {"a4": A4, "letter": LETTER}
_SIDE = 34.0
_TOP = 32.0
_FOOT = 44.0


def make_sheet(data: SheetData, *, paper: Paper = "a4") -> bytes:
    """Return the sheet as a PDF. The same data and the same photo files give the same bytes, on every machine.

    Raises SheetError, with a sentence for a person, for an unknown paper or time zone and for a broken outline.
    """
    if paper not in PAPERS:
        raise SheetError(_("'paper' must be a4 or letter (got %(got)s).", got=repr(paper)))
    register_fonts()
    with spoken(data.speech):
        return _made(data, PAPERS[paper])


def _made(data: SheetData, size: tuple[float, float]) -> bytes:
    frame = Frame(left=_SIDE, top=size[1] - _TOP, width=size[0] - 2 * _SIDE, bottom=_FOOT)
    flow = lay_out(data, frame)
    buffer = BytesIO()
    canvas = Canvas(
        buffer, pagesize=size, pageCompression=1, invariant=1, initialFontName=REGULAR, lang=tag(data.speech)
    )
    _describe(canvas, data)
    define_views(canvas, data.outline)
    for number, page in enumerate(flow.pages, start=1):
        for band, top in page:
            band.draw(canvas, frame.left, top)
        _foot(canvas, data, frame, _("page %(number)s of %(pages)s", number=number, pages=len(flow.pages)))
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def warm_up() -> None:
    """Do once what every sheet needs, so that the first one is as quick as the next."""
    register_fonts()


def lay_out(data: SheetData, frame: Frame) -> Flow:
    """Return all pages, laid out but not yet drawn."""
    flow, clock, wide = Flow(frame), Clock(data.timezone), frame.width
    add_cover(flow, data, clock)
    flow.section(_("Gates of release"), *sections.gates(data, wide, clock))
    flow.section(_("Readings"), *sections.readings(data, wide, clock))
    flow.section(_("Concessions"), *sections.concessions(data, wide, clock))
    flow.section(_("Chosen otherwise, with the reason"), *sections.overrides(data, wide, clock))
    flow.section(_("Crowded views, larger"), larger_drawings(data, wide))
    flow.section(_("Marked on lists, not on a drawing"), listed_blocks(data, wide))
    flow.section(
        _("Register of markers"),
        register_rows(data, wide, Album(), clock) or [_no_markers()],
        register_header(wide) if data.markers else None,
    )
    flow.section(_("Walks"), *sections.walks(data, wide, clock))
    flow.section(_("Looks"), *sections.looks(data, wide, clock))
    flow.section(_("Zones without a look that counts"), sections.unlooked(data, wide))
    flow.section(_("Questions"), *sections.questions(data, wide, clock))
    flow.section(_("Earlier sheets of this unit"), *sections.earlier(data, wide, clock))
    flow.section(_("What this sheet was made from"), sections.record(data, wide))
    return flow


def _no_markers() -> Block:
    cols = columns(400, ("", 1))
    return Block(bands=tuple(line_bands([text(_("No marker was made on this unit."))], cols)))


def _describe(canvas: Any, data: SheetData) -> None:
    """Set what file managers and readers show about the file."""
    canvas.setTitle(
        clean(_("Inspection sheet %(unit)s revision %(revision)s", unit=data.unit.last_six, revision=data.revision))
    )
    canvas.setAuthor(clean(data.unit.plant))
    canvas.setSubject(clean(_("Chassis number %(chassis)s", chassis=data.unit.chassis_number)))
    canvas.setCreator("Lampwalk")
    if data.signatures:  # ReportLab would write the year 2000 into a file that must not depend on today
        signed = datetime.fromtimestamp(max(one.at for one in data.signatures) / 1000, tz=UTC)
        canvas.setDateFormatter(lambda *_: signed.strftime("D:%Y%m%d%H%M%SZ"))


def _foot(canvas: Any, data: SheetData, frame: Frame, page: str) -> None:
    """Draw the foot of a page, enough to know where a loose page belongs."""
    y = frame.bottom - 20
    rule(canvas, frame.left, y + 10, frame.width)
    bold = SMALL.but(font=BOLD)
    left = _("%(unit)s · revision %(revision)s", unit=grouped(data.unit.last_six), revision=data.revision)
    right = _("%(page)s · head %(head)s", page=page, head=data.head[:10])
    put(canvas, frame.left, y, left, bold)
    put_right(canvas, frame.left + frame.width, y, right, SMALL)
    room = frame.width - width(left, bold) - width(right, SMALL) - 40
    put(canvas, frame.left + width(left, bold) + 20, y, shorten(data.unit.plant, SMALL, room), SMALL)
