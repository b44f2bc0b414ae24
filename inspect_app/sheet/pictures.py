"""Photos on the sheet: the stored JPEG goes into the file byte for byte, is never decoded, and is stored once."""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, field
from io import BytesIO
from pathlib import Path
from typing import Any

from reportlab.lib.utils import ImageReader
from reportlab.pdfbase.pdfutils import readJPEGInfo

from inspect_app.sheet.data import Photo
from inspect_app.sheet.flow import Band, space
from inspect_app.sheet.text import BOLD, HAIR, QUIET, SMALL, WAX, Style, put, width, wrap
from inspect_app.words import N_
from inspect_app.words import gettext as _

PICTURE_HIGH = 84.0
"""Height of a picture's box in points; the picture is fitted into it whole."""
GAP = 8.0
_WORDS = {"found": N_("before"), "after": N_("after"), "concession": N_("for the concession")}
_MISSING = {
    "awaited": N_("awaited"),
    "refused": N_("refused"),
    "none": N_("none taken"),
    "unreadable": N_("not readable"),
}
_ROLE = Style(font=BOLD, size=6.4, leading=8.2)


class StoredJpeg(ImageReader):  # type: ignore[misc]  # ReportLab carries no types
    """A JPEG that ReportLab embeds as it is, named by its content so that equal sheets have equal bytes."""

    _dataA = None  # noqa: N815  ReportLab looks here for a transparency mask; a JPEG has none

    def __init__(self, raw: bytes) -> None:
        """Take the bytes of a JPEG; raises ValueError when they are none that a PDF can hold."""
        try:
            self.wide, self.high, *_ = readJPEGInfo(BytesIO(raw))
        except Exception as error:  # the reader raises struct.error, its own PDFError and more
            raise ValueError("not a JPEG that can be printed") from error
        self.raw = raw

    def getRGBData(self) -> bytes:  # noqa: N802  the name ReportLab calls to tell two pictures apart
        """Return the digest of the picture instead of its pixels, which nobody needs."""
        return hashlib.sha256(self.raw).digest()

    def jpeg_fh(self) -> BytesIO:
        """Return the bytes to embed."""
        return BytesIO(self.raw)


@dataclass
class Album:
    """The pictures of one sheet, each read once."""

    read: dict[str, StoredJpeg | None] = field(default_factory=dict)

    def get(self, photo: Photo) -> StoredJpeg | None:
        """Return the picture, or None where the file is missing or is no JPEG: the box then says so."""
        if photo.path is None:
            return None
        if photo.path not in self.read:
            try:
                self.read[photo.path] = StoredJpeg(Path(photo.path).read_bytes())
            except (OSError, ValueError):
                self.read[photo.path] = None
        return self.read[photo.path]


def pair_up(photos: Sequence[Photo], worked: bool) -> list[list[Photo]]:
    """Return before and after side by side, then whatever was taken for a concession, each on its own.

    On a marker that was worked on, a missing half of a pair is said to be missing.
    """
    found = [photo for photo in photos if photo.role == "found"]
    after = [photo for photo in photos if photo.role == "after"]
    pairs = []
    for number in range(max(len(found), len(after))):
        pair = [
            group[number] if number < len(group) else Photo(role=role, state="none")
            for role, group in (("found", found), ("after", after))
        ]
        pairs.append(pair if worked or pair[1].state != "none" else pair[:1])
    return pairs + [[photo] for photo in photos if photo.role not in ("found", "after")]


def photo_bands(photos: Sequence[Photo], worked: bool, album: Album, left: float, wide: float) -> list[Band]:
    """Return the photos of a marker as strips of four boxes, `left` points in; a strip is never cut."""
    box = (wide - 3 * GAP) / 4
    strips: list[list[Photo | None]] = [[]]
    for pair in pair_up(photos, worked):
        if len(strips[-1]) + len(pair) > 4:
            strips.append([])
        strips[-1].extend(pair)
    made = [_strip(strip, album, left, box) for strip in strips if strip]
    return [space(4), *made] if made else []


def _strip(photos: Sequence[Photo | None], album: Album, left: float, box: float) -> Band:
    captions = [wrap(photo.caption, SMALL, box) if photo else [] for photo in photos]
    high = PICTURE_HIGH + 10 + max(map(len, captions)) * SMALL.leading + 5

    def draw(canvas: Any, x: float, top: float) -> None:
        for number, photo in enumerate(photos):
            if photo is not None:
                _draw_photo(canvas, x + left + number * (box + GAP), top, box, photo, captions[number], album)

    return Band(height=high, draw=draw)


def _draw_photo(
    canvas: Any, x: float, top: float, box: float, photo: Photo, caption: Sequence[str], album: Album
) -> None:
    picture = album.get(photo) if photo.state == "stored" else None
    if picture is None:
        state = photo.state if photo.state != "stored" else ("unreadable" if photo.path else "awaited")
        _draw_missing(canvas, x, top, box, _(_MISSING.get(state, state)))
    else:
        _draw_picture(canvas, x, top, box, picture, photo)
    put(canvas, x, top - PICTURE_HIGH - 7.5, _(_WORDS.get(photo.role, photo.role)), _ROLE)
    for number, line in enumerate(caption):
        put(canvas, x, top - PICTURE_HIGH - 7.5 - (number + 1) * SMALL.leading, line, SMALL)


def _draw_missing(canvas: Any, x: float, top: float, box: float, words: str) -> None:
    canvas.saveState()
    canvas.setStrokeColorRGB(*QUIET)
    canvas.setLineWidth(0.5)
    canvas.setDash([2, 2])
    canvas.rect(x, top - PICTURE_HIGH, box, PICTURE_HIGH)
    canvas.restoreState()
    style = SMALL.but(size=7.6)
    put(canvas, x + (box - width(words, style)) / 2, top - PICTURE_HIGH / 2 - 2.5, words, style)


def _draw_picture(canvas: Any, x: float, top: float, box: float, picture: StoredJpeg, photo: Photo) -> None:
    scale = min(box / max(picture.wide, 1), PICTURE_HIGH / max(picture.high, 1))
    wide, high = picture.wide * scale, picture.high * scale
    bottom = top - high
    canvas.drawImage(picture, x, bottom, wide, high)
    canvas.setStrokeColorRGB(*HAIR)
    canvas.setLineWidth(0.4)
    canvas.rect(x, bottom, wide, high)
    for colour, weight in (((1.0, 1.0, 1.0), 2.2), (WAX, 1.1)):  # a light rim keeps the wax visible on any paint
        canvas.setStrokeColorRGB(*colour)
        canvas.setLineWidth(weight)
        for stroke in photo.marks:
            draw_stroke(canvas, stroke, x, bottom, wide, high)


def draw_stroke(
    canvas: Any, stroke: Sequence[tuple[float, float]], x: float, bottom: float, wide: float, high: float
) -> None:
    """Draw one hand-drawn line from its box of 0 to 1000 (y down) into a box on the page; a single point is a dot."""
    if not stroke:
        return
    canvas.setLineCap(1)
    canvas.setLineJoin(1)
    points = [(x + px / 1000 * wide, bottom + (1 - py / 1000) * high) for px, py in stroke]
    path = canvas.beginPath()
    path.moveTo(*points[0])
    for point in points[1:] or points:
        path.lineTo(*point)
    canvas.drawPath(path)
