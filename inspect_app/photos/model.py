"""What goes in, what comes out, and what can be wrong with a photo."""

import hashlib
from dataclasses import dataclass


class PhotoError(ValueError):
    """The photo cannot be taken; the text is one sentence for the person who sent it."""


class StoreError(OSError):
    """The photo is fine but could not be kept; the text is one sentence for the person who sent it."""


@dataclass(frozen=True, kw_only=True)
class Limits:
    """How much a photo may ask of the server. Pixels are counted from the header, before anything is decoded.

    `max_pixels` holds for plain JPEG, which is decoded at a half, quarter or eighth of its size when it is large.
    `max_pixels_whole` holds for everything that has to be in memory whole: PNG, WebP, HEIC, progressive JPEG. At three
    or four bytes a pixel 50 million take up to 200 MB, with a second copy for a palette.
    """

    max_bytes: int = 40_000_000
    max_pixels: int = 80_000_000
    max_pixels_whole: int = 50_000_000
    max_scans: int = 64
    long_side: int = 2048
    middle_side: int = 600
    thumb_side: int = 160


@dataclass(frozen=True, kw_only=True)
class Cleaned:
    """A photo made anew: three upright sRGB JPEGs without metadata; `width` and `height` (px) are the largest's."""

    full: bytes
    middle: bytes
    thumb: bytes
    width: int
    height: int
    came_as: str

    @property
    def sha(self) -> str:
        """Return the SHA-256 of the largest picture, 64 hexadecimal digits: the name it is kept under."""
        return hashlib.sha256(self.full).hexdigest()


@dataclass(frozen=True, kw_only=True)
class Stored:
    """What was kept: the name, the bytes of the largest picture, its width and height (px)."""

    sha: str
    bytes: int
    width: int
    height: int
