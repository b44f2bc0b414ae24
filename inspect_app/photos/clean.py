"""Make a photo anew: decode it within bounds, set it upright, keep the pixels and nothing else.

Decided here: a moving picture is refused rather than cut to its first frame, since the frame that shows the flaw might
be another one. A HEIC or multi-picture JPEG with several stills gives its main one.
"""

import io
import os
import tempfile
import threading
from typing import IO, BinaryIO

from PIL import Image

from inspect_app.photos.heic import open_heic
from inspect_app.photos.model import Cleaned, Limits, PhotoError
from inspect_app.photos.pixels import (
    fitted,
    on_white,
    shrunk,
    to_resizable,
    to_srgb,
    turn_needed,
    without_baggage,
)
from inspect_app.photos.sniff import Kind, sniff
from inspect_app.photos.whole import Framing, framing
from inspect_app.words import gettext as _
from inspect_app.words.figures import figure

# Bounds memory whatever the number of server threads, and leaves a core to whoever sends a marker; the next photo
# waits its turn, which takes a tenth of a second.
_AT_ONCE = threading.BoundedSemaphore(max(1, min(2, (os.cpu_count() or 2) - 1)))
_CHUNK = 1 << 20
PREVIEW_GAP = 1.5  # pixels are averaged two by two first, then weighed: from 2000 px to 600 in half the time
_DEFAULT = Limits()


def clean(source: BinaryIO | bytes, *, limits: Limits = _DEFAULT) -> Cleaned:
    """Return `source` (JPEG, PNG, WebP or HEIC) as three fresh JPEGs.

    Raises PhotoError with one sentence naming what is wrong and what to do; never another error because of the content.
    """
    data = _read(source, limits.max_bytes)
    kind = sniff(data)
    packed = framing(data, kind)
    if packed.scans > limits.max_scans:
        raise PhotoError(
            _(
                "The photo is packed in %(n)s passes, which no camera does: take a photo, or send a JPEG, PNG, WebP or"
                " HEIC file.",
                n=packed.scans,
            )
        )
    with _AT_ONCE:
        try:
            picture = _decode(data, kind, packed, limits)
        except PhotoError:
            raise
        except MemoryError as error:
            raise PhotoError(
                _("The photo needs more memory than the server has: send it at a smaller size.")
            ) from error
        except Exception as error:  # decoders fail on damaged files in a dozen ways; all mean the same to the sender
            raise _unreadable(kind, error) from error
        return _derive(picture, kind, limits)


def _read(source: BinaryIO | bytes, most: int) -> bytes:
    """Read at most one byte too many, however long the stream is."""
    stream = io.BytesIO(source) if isinstance(source, bytes) else source
    chunks: list[bytes] = []
    room = most + 1
    while room and (chunk := stream.read(min(_CHUNK, room))):
        chunks.append(chunk)
        room -= len(chunk)
    if not room:
        size = figure(f"{most / 1e6:g}")
        raise PhotoError(_("The photo is larger than %(size)s MB: send it at a smaller size.", size=size))
    return b"".join(chunks)


def _decode(data: bytes, kind: Kind, packed: Framing, limits: Limits) -> Image.Image:
    with _open(data, kind) as image:
        _check_header(image, kind, packed, limits)
        turn, profile = turn_needed(image), image.info.get("icc_profile")
        # An eighth under the limit will do: it lets a 12-megapixel photo be decoded at half size, twice as fast.
        image.draft(None, fitted(image.size, limits.long_side * 7 // 8))
        image.load()
        picture = to_srgb(on_white(shrunk(to_resizable(image), limits.long_side)), profile)
    return without_baggage(picture.transpose(turn) if turn is not None else picture)


def _open(data: bytes, kind: Kind) -> Image.Image:
    if kind == "HEIC":
        return open_heic(data)
    try:
        return Image.open(io.BytesIO(data), formats=[kind])
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        raise PhotoError(
            _(
                "The photo has far too many pixels: take a photo, or send a JPEG, PNG, WebP or HEIC file of a usual"
                " size."
            )
        ) from error


def _check_header(image: Image.Image, kind: Kind, packed: Framing, limits: Limits) -> None:
    pixels = image.width * image.height
    most = limits.max_pixels_whole if packed.held_whole else limits.max_pixels
    if pixels > most:
        raise PhotoError(
            _(
                "The photo has %(n)s million pixels (%(width)s × %(height)s), at most %(most)s million are taken: send"
                " it at a smaller size.",
                n=format(pixels / 1e6, ".0f"),
                width=image.width,
                height=image.height,
                most=format(most / 1e6, ".0f"),
            )
        )
    if kind != "JPEG" and kind != "HEIC" and getattr(image, "is_animated", False):
        raise PhotoError(
            _(
                "This is a moving picture, and one frame might not show the flaw: take a photo, or send a JPEG, PNG,"
                " WebP or HEIC file."
            )
        )


def _unreadable(kind: Kind, error: Exception) -> PhotoError:
    if "truncated" in str(error).lower():
        cut = _(
            "The photo is cut off and cannot be read as %(kind)s: send it again, or take it again.", kind=_name(kind)
        )
        return PhotoError(cut)
    return PhotoError(
        _("The photo is damaged and cannot be read as %(kind)s: send it again, or take it again.", kind=_name(kind))
    )


def _name(kind: Kind) -> str:
    return "WebP" if kind == "WEBP" else kind


def _derive(picture: Image.Image, kind: Kind, limits: Limits) -> Cleaned:
    middle = shrunk(picture, limits.middle_side, gap=PREVIEW_GAP)
    return Cleaned(
        full=_jpeg(picture, quality=86),
        middle=_jpeg(middle, quality=82),
        thumb=_jpeg(shrunk(middle, limits.thumb_side, gap=PREVIEW_GAP), quality=78),
        width=picture.width,
        height=picture.height,
        came_as=_name(kind),
    )


def _jpeg(picture: Image.Image, *, quality: int) -> bytes:
    """Pack the picture by way of a file: only then does Pillow let other threads run meanwhile, a sync's among them."""
    with _nameless() as file:
        picture.save(file, "JPEG", quality=quality, optimize=True)
        file.seek(0)
        return file.read()


def _nameless() -> IO[bytes]:
    """A file without a name; on Linux it is in memory."""
    if hasattr(os, "memfd_create"):
        return os.fdopen(os.memfd_create("photo"), "w+b")
    return tempfile.TemporaryFile()
