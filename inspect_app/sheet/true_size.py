"""An empty paper to draw on true to size, for what is cut out and used by hand."""

from __future__ import annotations

from io import BytesIO

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from inspect_app.sheet.data import SheetError
from inspect_app.sheet.make import PAPERS
from inspect_app.sheet.text import REGULAR, clean, register_fonts
from inspect_app.words import gettext as _


def empty(paper: str, title: str, language: str) -> tuple[Canvas, BytesIO, float, float]:
    """Return a canvas, where it is saved, and width and height in mm; raises SheetError for an unknown paper.

    `language` is that of its words, for whoever reads the file aloud (BCP 47).
    """
    if paper not in PAPERS:
        raise SheetError(_("'paper' must be a4 or letter (got %(got)s).", got=repr(paper)))
    register_fonts()
    size, buffer = PAPERS[paper], BytesIO()
    canvas = Canvas(buffer, pagesize=size, pageCompression=1, invariant=1, initialFontName=REGULAR, lang=language)
    canvas.setTitle(clean(title))
    canvas.setCreator("Lampwalk")
    return canvas, buffer, size[0] / mm, size[1] / mm
