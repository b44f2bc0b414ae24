"""Is the file all there? Read from its own framing, without decoding a pixel.

Decoders disagree about a file that was cut off: some fill the rest with grey and say nothing, and a flaw could lie in
the grey. Bytes *after* the proper end are let pass: phones append film clips, and none of it survives being made anew.
"""

import re
from dataclasses import dataclass

from inspect_app.photos.model import PhotoError
from inspect_app.photos.sniff import Kind
from inspect_app.words import N_
from inspect_app.words import gettext as _

CUT_OFF = N_("The photo is cut off (%(n)s bytes came): it was not sent whole; send it again, or take it again.")
NO_END = N_(
    "The photo is cut off (%(n)s bytes came, without an end): it was not sent whole; send it again, or take it again."
)
# In the packed picture data FF is followed by 00 (a real FF) or D0 to D7 (a restart); anything else begins a segment.
# One FF is asked for, though several may stand before a segment: the last of them does, and is found 20 times faster.
_NEXT_SEGMENT = re.compile(rb"\xff([\x01-\xcf\xd8-\xfe])")


@dataclass(frozen=True, kw_only=True)
class Framing:
    """How the picture is packed: passes over the picture (`scans`), and whether all must be held until the last."""

    scans: int = 1
    held_whole: bool = True


def framing(data: bytes, kind: Kind) -> Framing:
    """Return how `data` is packed; raises PhotoError when its framing runs past its end."""
    if kind == "JPEG":
        return _jpeg(data)
    end = {"PNG": _png_end, "WEBP": _webp_end, "HEIC": _boxes_end}[kind](data)
    if end is None or end > len(data):
        raise PhotoError(_(CUT_OFF, n=format(len(data), ",")))
    return Framing()


def _jpeg(data: bytes) -> Framing:
    """Walk the segments of ISO/IEC 10918-1 annex B to the end-of-image marker, counting scans."""
    at, scans, progressive = 2, 0, False
    while found := _NEXT_SEGMENT.search(data, at):
        marker, at = found[1][0], found.end()
        if marker == 0xD9:
            return Framing(scans=scans, held_whole=progressive or scans > 1)
        if marker in (0x01, 0xD8):
            continue
        scans += marker == 0xDA
        progressive |= marker in (0xC2, 0xC6, 0xCA, 0xCE)
        at += int.from_bytes(data[at : at + 2], "big")
    raise PhotoError(_(NO_END, n=format(len(data), ",")))


def _png_end(data: bytes) -> int | None:
    at = 8
    while at + 12 <= len(data):
        length, name = int.from_bytes(data[at : at + 4], "big"), data[at + 4 : at + 8]
        at += 12 + length
        if name == b"IEND":
            return at
    return None


def _webp_end(data: bytes) -> int:
    return 8 + int.from_bytes(data[4:8], "little")


def _boxes_end(data: bytes) -> int | None:
    """Walk the top-level boxes of ISO/IEC 14496-12; size 1 means a 64-bit size follows, 0 means to the end."""
    at, names = 0, set()
    while at + 8 <= len(data):
        size, name = int.from_bytes(data[at : at + 4], "big"), data[at + 4 : at + 8]
        if not name.isalnum():
            break  # something appended after the last box
        names.add(name)
        if size == 1:
            size = int.from_bytes(data[at + 8 : at + 16], "big")
        at += size or len(data) - at
        if size and size < 8:
            return None
    return at if {b"ftyp", b"meta"} <= names else None
