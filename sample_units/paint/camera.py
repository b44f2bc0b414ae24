"""The camera: colour from light, a tilt, a plane of focus, a lens that darkens to its corners, a grainy sensor."""

from __future__ import annotations

import io
from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageFilter

from sample_units.paint.surface import CANVAS, Field, Surface

PHOTO = (1600, 1200)  # px, of the usual canvas
GAMMA = 2.2


@dataclass(frozen=True, kw_only=True)
class Paint:
    """A paint: its colour as light (0 to 1 each), and how much it sparkles."""

    colour: tuple[float, float, float]
    flake: float


def paint(colour_hex: str, finish: str) -> Paint:
    """Read `#rrggbb` and solid or metallic."""
    parts = tuple((int(colour_hex[at : at + 2], 16) / 255) ** GAMMA for at in (1, 3, 5))
    return Paint(colour=parts, flake=1.0 if finish == "metallic" else 0.0)  # type: ignore[arg-type]


def exposed(surface: Surface, body: Paint, image: Field, glow: Field) -> Field:
    """Turn what is mirrored and what glows into light on the sensor, three channels."""
    under = 0.5 + 0.85 * glow
    if body.flake:
        flakes = surface.rng.standard_normal(image.shape, dtype=np.float32)
        under = under * (0.8 + 0.3 * glow) + np.float32(0.13) * flakes * (0.25 + glow) * body.flake
    light = np.empty((*image.shape, 3), np.float32)
    mirror = np.float32(0.6) * image
    keep = np.ones_like(image)
    for mask, _, mirrors in surface.layers:
        keep *= 1 - mask * np.float32(1 - mirrors)
    for channel in range(3):
        tone = np.full_like(image, body.colour[channel])
        for mask, colour, _ in surface.layers:
            tone += mask * (np.float32(colour[channel]) - tone)
        light[..., channel] = tone * under + mirror * keep
    if surface.gleam is not None:
        light += surface.gleam[..., None]
    return light


def developed(light: Field) -> Image.Image:
    """Expose for what is in the picture, with a shoulder instead of a hard white, then the curve of a screen."""
    np.maximum(light, 0, out=light)
    light *= np.float32(min(1.25, max(0.8, 0.3 / float(light[::8, ::8].mean()))))
    toned = light * (1 + light * np.float32(0.16)) / (1 + light * np.float32(0.42))
    return Image.fromarray((np.clip(toned, 0, 1) ** np.float32(1 / GAMMA) * 255).astype(np.uint8))


def taken(picture: Image.Image, rng: np.random.Generator, *, focus: float = 0.5, tilt: float = 1.0) -> Image.Image:
    """Photograph a drawn surface: tilted, sharp at `focus` (0 top, 1 bottom), darker in the corners, grainy."""
    picture = _tilted(picture, rng, tilt)
    picture = _focused(picture, rng, focus)
    pixels = np.asarray(picture).astype(np.float32)
    width, height = picture.size
    ys, xs = np.mgrid[-1 : 1 : height * 1j, -1 : 1 : width * 1j].astype(np.float32)
    far = (xs - np.float32(rng.uniform(-0.12, 0.12))) ** 2 + (ys - np.float32(rng.uniform(-0.1, 0.1))) ** 2
    pixels *= (1 - np.float32(0.135) * far)[..., None]
    pixels *= np.array([1 + rng.uniform(-0.02, 0.03), 1, 1 + rng.uniform(-0.03, 0.03)], np.float32)
    grain = rng.standard_normal((height, width), dtype=np.float32) + 0.6 * _coarse(rng, (width, height))
    pixels += (grain * (1.5 + 1.4 * (1 - pixels.mean(axis=2) / 255)))[..., None]
    return Image.fromarray(np.clip(pixels, 0, 255).astype(np.uint8))


def _coarse(rng: np.random.Generator, size: tuple[int, int]) -> Field:
    small = rng.standard_normal((size[1] // 2, size[0] // 2), dtype=np.float32)
    return np.asarray(Image.fromarray(small).resize(size, Image.Resampling.BILINEAR))


def _tilted(picture: Image.Image, rng: np.random.Generator, tilt: float) -> Image.Image:
    """Look at the surface from a little aside: the far edge shrinks, the horizon leans."""
    width, height = picture.size
    photo = (width * PHOTO[0] // CANVAS[0], height * PHOTO[1] // CANVAS[1])
    lean = rng.uniform(-0.022, 0.022) * tilt
    squeeze = rng.uniform(0.018, 0.042) * tilt
    edge = width * 0.04
    left, top, right, bottom = edge, edge * 0.78, width - edge, height - edge * 0.78
    narrow, drop = squeeze * width, lean * height
    corners = [
        (left - narrow / 2, top + drop), (left + narrow, bottom + drop),
        (right - narrow, bottom - drop), (right + narrow / 2, top - drop),
    ]  # fmt: skip
    wanted = [(0, 0), (0, photo[1]), photo, (photo[0], 0)]
    return picture.transform(photo, Image.Transform.PERSPECTIVE, _homography(wanted, corners), Image.Resampling.BICUBIC)


def _homography(here: list[tuple[float, float]], there: list[tuple[float, float]]) -> list[float]:
    """The eight numbers that carry four points to four others."""
    rows, ends = [], []
    for (x, y), (u, v) in zip(here, there, strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        ends += [u, v]
    return [float(number) for number in np.linalg.solve(np.array(rows, float), np.array(ends, float))]


def _focused(picture: Image.Image, rng: np.random.Generator, focus: float) -> Image.Image:
    width, height = picture.size
    soft = picture.filter(ImageFilter.GaussianBlur(rng.uniform(3.2, 4.6) * width / PHOTO[0]))
    ys = np.linspace(0, 1, height, dtype=np.float32)
    away = np.clip((np.abs(ys - focus) - 0.2) / 0.55, 0, 1)
    mask = np.repeat((away * 255).astype(np.uint8)[:, None], width, axis=1)
    return Image.composite(soft, picture, Image.fromarray(mask))


def jpeg(picture: Image.Image) -> bytes:
    """Write it as a tablet's camera would, at about 150 to 300 kB."""
    for quality in (88, 82, 76, 70, 62, 54):
        out = io.BytesIO()
        picture.save(out, "JPEG", quality=quality)
        if out.tell() < 300_000:
            break
    return out.getvalue()
