"""From whatever a decoder gives to plain 8-bit sRGB: depth, palette, transparency, colour profile, orientation."""

import io
from collections.abc import Mapping

from PIL import Image, ImageCms

WHITE = 255
# EXIF 2.32, tag 0112 hex: what has to be done to the stored picture so that it stands upright.
_TURNS: Mapping[int, Image.Transpose] = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
_SPACES = {"RGB ": "RGB", "GRAY": "L", "CMYK": "CMYK"}
_MAX_PROFILE = 4_000_000


def fitted(size: tuple[int, int], long_side: int) -> tuple[int, int]:
    """Return `size` (px) scaled down so that its longer side is at most `long_side`; never scaled up, never below 1."""
    longest = max(size)
    if longest <= long_side:
        return size
    width, height = (max(1, round(side * long_side / longest)) for side in size)
    return width, height


def turn_needed(image: Image.Image) -> Image.Transpose | None:
    """Return the turn its orientation tag asks for; a tag that cannot be read means the photo stays as it lies."""
    try:
        return _TURNS.get(image.getexif().get(0x0112, 1))
    except Exception:  # hostile or half-written EXIF fails in many ways, and none is a reason to refuse the picture
        return None


def to_resizable(image: Image.Image) -> Image.Image:
    """Return the picture in a mode that can be averaged: L, LA, RGB, RGBA or CMYK, eight bits a channel."""
    if image.mode.startswith("I"):
        return image.point(lambda value: value * (1 / 257)).convert("L")  # 16 bits: a plain convert would clip
    if image.mode == "1":
        return image.convert("L")
    if image.mode in ("P", "PA") or "transparency" in image.info:
        return image.convert("RGBA" if "transparency" in image.info or image.mode == "PA" else "RGB")
    return image if image.mode in ("L", "LA", "RGB", "RGBA", "CMYK") else image.convert("RGB")


def shrunk(image: Image.Image, long_side: int, *, gap: float = 2.0) -> Image.Image:
    """Return the picture with a longer side of at most `long_side` px.

    Blocks of pixels are averaged first, down to no less than `gap` times that size: the larger, the finer and slower.
    """
    size = fitted(image.size, long_side)
    return image if size == image.size else image.resize(size, Image.Resampling.LANCZOS, reducing_gap=gap)


def on_white(image: Image.Image) -> Image.Image:
    """Return the picture with what is transparent laid on white."""
    if image.mode not in ("LA", "RGBA"):
        return image
    plain = Image.new(image.mode[:-1], image.size, WHITE if image.mode == "LA" else (WHITE, WHITE, WHITE))
    plain.paste(image.convert(plain.mode), mask=image.getchannel("A"))
    return plain


def to_srgb(image: Image.Image, profile: object) -> Image.Image:
    """Return the picture in sRGB, through its ICC `profile` (bytes) if it has a usable one."""
    if isinstance(profile, bytes) and 0 < len(profile) <= _MAX_PROFILE:
        try:
            return _through_profile(image, profile)
        except Exception:  # a broken or foreign profile: the plain conversion is what a viewer would show too
            return image.convert("RGB")
    return image.convert("RGB")


def _through_profile(image: Image.Image, profile: bytes) -> Image.Image:
    source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
    mode = _SPACES[source.profile.xcolor_space]
    if image.mode != mode and "CMYK" in (image.mode, mode):
        return image.convert("RGB")  # the profile is not this picture's
    converted = ImageCms.profileToProfile(
        image.convert(mode),
        source,
        ImageCms.createProfile("sRGB"),
        renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
        outputMode="RGB",
        flags=ImageCms.Flags.BLACKPOINTCOMPENSATION,
    )
    return converted or image.convert("RGB")


def without_baggage(image: Image.Image) -> Image.Image:
    """Return a copy that carries nothing but its pixels: Pillow hands comments and XMP on from `info` when saving."""
    fresh = Image.new("RGB", image.size)
    fresh.paste(image)
    return fresh
