"""A canvas that writes down what is drawn on it, so that the same can be drawn again on a bare one, without any laying out."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from io import BytesIO
from pathlib import Path
from typing import Any

from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.textobject import PDFTextObject

from inspect_app.sheet.pictures import StoredJpeg
from inspect_app.sheet.text import REGULAR

Stroke = tuple[str, tuple[Any, ...], Mapping[str, Any]]


@dataclass
class Tape:
    """The strokes of one document in their order; a text is a list of the calls that wrote it."""

    size: tuple[float, float] = (0.0, 0.0)
    strokes: list[Stroke] = field(default_factory=list)

    def canvas(self, buffer: BytesIO, **options: Any) -> Any:
        """A canvas that draws and writes down."""
        self.size = options["pagesize"]
        return _Noting(self, buffer, **options)

    def replay(self, pictures: Mapping[bytes, Path]) -> bytes:
        """Draw everything on a bare canvas; each stored picture is read from its file once, as the sheet does."""
        buffer = BytesIO()
        canvas = Canvas(buffer, pagesize=self.size, pageCompression=1, invariant=1, initialFontName=REGULAR, lang="en")
        read: dict[bytes, StoredJpeg] = {}
        for name, args, options in self.strokes:
            if name == "drawText":
                _write(canvas, args[0])
            elif name == "drawImage":
                raw = args[0].raw
                if raw not in read:
                    read[raw] = StoredJpeg(pictures[raw].read_bytes())
                canvas.drawImage(read[raw], *args[1:], **options)
            else:
                getattr(canvas, name)(*args, **options)
        return buffer.getvalue()


def _write(canvas: Canvas, calls: list[Stroke]) -> None:
    pen = canvas.beginText()
    for name, args, options in calls:
        getattr(pen, name)(*args, **options)
    canvas.drawText(pen)


class _NotingText(PDFTextObject):  # type: ignore[misc]
    def __init__(self, canvas: Any) -> None:
        self.calls: list[Stroke] = []
        self._depth = 1
        super().__init__(canvas)
        self._depth = 0


class _Noting(Canvas):  # type: ignore[misc]
    def __init__(self, tape: Tape, buffer: BytesIO, **options: Any) -> None:
        self._depth, self._tape = 1, tape
        super().__init__(buffer, **options)
        self._depth = 0

    def beginText(self, x: float = 0, y: float = 0) -> _NotingText:  # noqa: N802  ReportLab's name
        """Hand out a text that writes down."""
        return _NotingText(self)


def _noting(name: str, kept: Callable[[Any], list[Stroke]]) -> Callable[..., Any]:
    """A method that writes down its call, but not the calls it makes itself."""

    def method(self: Any, *args: Any, **options: Any) -> Any:
        if not self._depth:
            what = (args[0].calls,) if name == "drawText" else args
            kept(self).append((name, what, options))
        self._depth += 1
        try:
            return getattr(super(type(self), self), name)(*args, **options)
        finally:
            self._depth -= 1

    return method


def _cover(noting: type, plain: type, kept: Callable[[Any], list[Stroke]]) -> None:
    own = {"beginText", "beginPath", "getPageNumber", "getpdfdata", "hasForm", "stringWidth"}
    for name in dir(plain):
        if not name.startswith("_") and callable(getattr(plain, name)) and name not in own:
            setattr(noting, name, _noting(name, kept))


_cover(_NotingText, PDFTextObject, lambda text: text.calls)
_cover(_Noting, Canvas, lambda canvas: canvas._tape.strokes)
