"""What lies on the paint beside the flaw: a stick-on scale, a ring of wax pencil."""

from __future__ import annotations

import math

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

from sample_units.paint.surface import Field, Surface, smooth

WHITE = (0.80, 0.80, 0.76)
BLACK = (0.012, 0.012, 0.014)
OVER = 2  # drawn so many times larger, for smooth edges
HIGH = 9  # mm


def scale_mark(surface: Surface, at: tuple[float, float], turn: float, length: int) -> None:
    """Stick a scale of `length` mm on the panel: a chequered edge of 5 mm fields, a tick each millimetre."""
    width, height = (round(side * surface.scale * OVER) for side in (length, HIGH))
    strip, ink = Image.new("L", (width, height), 255), Image.new("L", (width, height), 0)
    pen, unit = ImageDraw.Draw(ink), surface.scale * OVER
    for field in range(0, length, 5):
        row = (field // 5) % 2
        pen.rectangle([field * unit, (0.8 + row) * unit, (field + 5) * unit, (1.8 + row) * unit], fill=255)
    for tick in range(1, length):
        long = 2.6 if tick % 10 == 0 else 1.9 if tick % 5 == 0 else 1.2
        pen.rectangle([(tick - 0.07) * unit, (HIGH - long) * unit, (tick + 0.07) * unit, HIGH * unit], fill=255)
    paper, print_ = (_placed(one, at, turn, surface) for one in (strip, ink))
    cast = np.roll(_blurred(paper, 0.45 * surface.scale), (round(0.25 * surface.scale),) * 2, axis=(0, 1))
    surface.lay(np.clip(cast - paper, 0, 1) * np.float32(0.5), BLACK, 0.35)
    surface.lay(paper, WHITE, 0.04)
    surface.lay(print_ * paper, BLACK, 0.06)
    surface.height *= 1 - paper


def _placed(image: Image.Image, at: tuple[float, float], turn: float, surface: Surface) -> Field:
    canvas, scale = Image.new("L", surface.canvas, 0), surface.scale
    turned = image.rotate(turn, expand=True, resample=Image.Resampling.BICUBIC)
    turned = turned.resize((turned.width // OVER, turned.height // OVER), Image.Resampling.LANCZOS)
    corner = (round(at[0] * scale - turned.width / 2), round(at[1] * scale - turned.height / 2))
    canvas.paste(turned, corner)
    return np.asarray(canvas, dtype=np.float32) / np.float32(255)


def _blurred(mask: Field, radius: float) -> Field:
    image = Image.fromarray((mask * 255).astype(np.uint8)).filter(ImageFilter.GaussianBlur(radius))
    return np.asarray(image, dtype=np.float32) / np.float32(255)


def wax_ring(surface: Surface, at: tuple[float, float], radius: float, colour: tuple[float, float, float]) -> None:
    """Ring a spot as an inspector does: not quite round, overlapping at its end, crumbly where the wax skips."""
    rng, wide = surface.rng, 1.1
    path = Image.new("L", surface.canvas, 0)
    pen = ImageDraw.Draw(path)
    start, phase, squash = rng.uniform(0, 6.28), rng.uniform(0, 6.28), rng.uniform(0.86, 1.08)
    for step in range(760):
        turn = start + step / 700 * 2 * math.pi
        out = radius * (1 + 0.05 * math.sin(2 * turn + phase) + 0.03 * math.sin(3 * turn) + 0.00009 * step)
        x, y = at[0] + out * math.cos(turn), at[1] + out * squash * math.sin(turn)
        r = wide * surface.scale / 2 * (1 + 0.18 * math.sin(5 * turn + phase))
        pen.ellipse(
            [x * surface.scale - r, y * surface.scale - r, x * surface.scale + r, y * surface.scale + r], fill=255
        )
    line = _blurred(np.asarray(path, dtype=np.float32) / np.float32(255), 0.12 * surface.scale)
    skips = smooth(surface.noise(0.7) + np.float32(1.35), 1.5) * (0.62 + 0.38 * smooth(surface.noise(0.2), 1.6))
    line = line * (0.55 + 0.45 * smooth(surface.noise(0.9, stretch=1.5), 2.4)) * skips
    surface.lay(line, colour, 0.12)
