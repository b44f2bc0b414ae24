"""Tell what a file is by its first bytes. Its name, and the content type sent with it, are never believed.

The leading bytes are those of the formats' own standards (ISO/IEC 10918-1, PNG third edition, RFC 9649 for WebP,
ISO/IEC 23008-12 for HEIF brands); those of the files that are turned away are from memory.
"""

from typing import Literal

from inspect_app.photos.model import PhotoError
from inspect_app.words import N_
from inspect_app.words import gettext as _

Kind = Literal["JPEG", "PNG", "WEBP", "HEIC"]

_HEIC_STILL = {b"heic", b"heix", b"heim", b"heis"}
_HEIC_MOVING = {b"hevc", b"hevx", b"hevm", b"hevs", b"msf1"}
_AVIF = {b"avif", b"avis"}
_TURNED_AWAY = (
    (b"GIF8", N_("a GIF")),
    (b"%PDF", N_("a PDF")),
    (b"II*\x00", N_("a TIFF or camera raw file")),
    (b"MM\x00*", N_("a TIFF or camera raw file")),
    (b"BM", N_("a BMP")),
    (b"PK\x03\x04", N_("a ZIP archive or office document")),
    (b"\xff\x0a", N_("a JPEG XL file")),
    (b"\x00\x00\x00\x0cJXL ", N_("a JPEG XL file")),
    (b"\x00\x00\x00\x0cjP  ", N_("a JPEG 2000 file")),
    (b"\x1aE\xdf\xa3", N_("a video")),
    (b"\x1f\x8b", N_("a gzip archive")),
    (b"\x7fELF", N_("a program")),
    (b"MZ", N_("a program")),
)
_MARKUP = (
    (b"<svg", N_("an SVG drawing")),
    (b"<!doctype html", N_("a web page")),
    (b"<html", N_("a web page")),
    (b"<?xml", N_("an XML file")),
)


def sniff(data: bytes) -> Kind:
    """Return which of the four kinds of photo `data` begins like.

    Raises PhotoError naming what it is instead, when that can be told.
    """
    if not data:
        raise PhotoError(_("The photo is empty (0 bytes): take it again."))
    if data.startswith(b"\xff\xd8\xff"):
        return "JPEG"
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return "PNG"
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return "WEBP"
    if data[4:8] == b"ftyp":
        return _sniff_boxes(data)
    raise PhotoError(
        _(
            "This file is %(kind)s, not a photo: take a photo, or send a JPEG, PNG, WebP or HEIC file.",
            kind=_(_instead(data)),
        )
    )


def _sniff_boxes(data: bytes) -> Kind:
    """HEIC, AVIF and most videos share one envelope and differ by the brands in its first box."""
    end = min(int.from_bytes(data[:4], "big"), 256)
    brands = {data[8:12]} | {data[at : at + 4] for at in range(16, end, 4)}
    if data[8:12] in _HEIC_MOVING:
        raise PhotoError(
            _(
                "This is a moving picture (HEIC sequence), not a photo: take a photo, or send a JPEG, PNG, WebP or HEIC"
                " file."
            )
        )
    if brands & _AVIF:
        raise PhotoError(
            _("This is an AVIF file, which is not taken here: take a photo, or send a JPEG, PNG, WebP or HEIC file.")
        )
    if brands & _HEIC_STILL:
        return "HEIC"
    raise PhotoError(_("This is a video, not a photo: take a photo, or send a JPEG, PNG, WebP or HEIC file."))


def _instead(data: bytes) -> str:
    start = data[:512].lstrip(b"\xef\xbb\xbf \t\r\n").lower()
    for prefix, words in _TURNED_AWAY:
        if data.startswith(prefix):
            return words
    for mark, words in _MARKUP:
        if start.startswith(mark) or (mark == b"<svg" and start.startswith(b"<") and mark in start):
            return words
    return N_("of an unknown kind")
