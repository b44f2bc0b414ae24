"""The flaws themselves, each put into a surface at a spot; sizes in millimetres."""

from __future__ import annotations

import math

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

from sample_units.paint.surface import Field, Surface, smooth

Spot = tuple[float, float]
PRIMER, METAL = (0.30, 0.31, 0.30), (0.46, 0.47, 0.48)


def nib(surface: Surface, at: Spot, size: float) -> None:
    """A speck under the clear: a small steep hill of two or three lumps with a dark core."""
    rng = surface.rng
    for _ in range(3):
        off = (at[0] + rng.normal(0, size / 5), at[1] + rng.normal(0, size / 5))
        surface.round_hill(off, size * rng.uniform(0.22, 0.36), 0.009 * size, rng.uniform(0.75, 1.3))
    surface.round_hill(at, size * 1.1, 0.004 * size)
    far = np.hypot(surface.x - np.float32(at[0] + size * 0.1), surface.y - np.float32(at[1]))
    surface.lay(smooth(np.float32(size * 0.24) - far, size * 0.2) * np.float32(0.75), (0.03, 0.028, 0.025), 0.8)


def run(surface: Surface, at: Spot, length: float) -> None:
    """Paint that ran down: a soft ridge that grows towards a bead at its end."""
    down = np.clip((surface.y - np.float32(at[1] - length / 2)) / np.float32(length), -0.3, 1.3)
    sway = np.float32(at[0]) + np.float32(0.7) * np.sin(down * np.float32(2.6))
    wide = np.float32(1.5) + np.float32(0.5) * down
    ridge = np.exp(-(((surface.x - sway) / wide) ** 2) / 2)
    ends = smooth(down, 0.5) * smooth(np.float32(1.0) - down, 0.1)
    surface.height += np.float32(0.034) * ridge * ends * (np.float32(0.45) + np.float32(0.5) * down)
    bead = (at[0] + 0.7 * math.sin(2.6), at[1] + length / 2 - 1.2)
    surface.round_hill(bead, 2.1, 0.045, 1.1)
    surface.round_hill((at[0], at[1] - length / 2 - 3), 9, 0.02, 0.3)


def dent(surface: Surface, at: Spot, size: float) -> None:
    """A hollow with a faint rim; the paint is whole, so only the lamps tell."""
    surface.round_hill(at, size * 0.36, -0.017 * size, 0.86)
    surface.round_hill(at, size * 0.75, 0.0042 * size, 0.9)


def scratch(surface: Surface, at: Spot, length: float) -> None:
    """A groove with pale burrs, deeper where the hand pressed."""
    rng, turn = surface.rng, surface.rng.uniform(-0.5, 0.5)
    along = (surface.x - np.float32(at[0])) * np.float32(math.cos(turn)) + (surface.y - np.float32(at[1])) * np.float32(
        math.sin(turn)
    )
    across = (surface.y - np.float32(at[1])) * np.float32(math.cos(turn)) - (
        surface.x - np.float32(at[0])
    ) * np.float32(math.sin(turn))
    across = across - np.float32(rng.uniform(0.0007, 0.0016)) * along * along + np.float32(0.06) * surface.noise(3)
    press = smooth(np.float32(length / 2) - np.abs(along), length * 0.5) * (0.7 + 0.3 * smooth(surface.noise(2.2), 1))
    line = np.exp(-((across / np.float32(0.13)) ** 2)) * press
    surface.height -= np.float32(0.02) * line
    surface.lay(np.clip(line * np.float32(0.85), 0, 1), (0.62, 0.62, 0.6), 0.5)
    graze = np.exp(-(((across - np.float32(0.75)) / np.float32(0.06)) ** 2)) * press * press
    surface.lay(graze * np.float32(0.4), (0.6, 0.6, 0.58), 0.7)


def chip(surface: Surface, at: Spot, size: float) -> None:
    """A shell broken out of the film: a ragged rim, primer, and metal in the middle."""
    dx, dy = surface.x - np.float32(at[0]), surface.y - np.float32(at[1])
    turn = np.arctan2(dy, dx)
    ragged = 1 + 0.2 * np.sin(3 * turn + 1) + 0.13 * np.sin(5 * turn + 2) + 0.07 * np.sin(11 * turn)
    inside = np.float32(size / 2) * ragged.astype(np.float32) - np.hypot(dx, dy * np.float32(1.2))
    inside = inside + np.float32(size * 0.028) * surface.noise(0.4)
    gone, bare = smooth(inside, 0.12), smooth(inside - np.float32(size * 0.2), 0.18)
    rim = smooth(inside + np.float32(0.2), 0.15) - gone
    surface.lay(np.clip(rim, 0, 1) * np.float32(0.75), (0.72, 0.72, 0.7), 0.4)
    grit = np.clip(1 + 0.16 * surface.noise(0.16), 0.4, 1.6)
    surface.lay(gone, PRIMER, 0.05)
    surface.lay(bare * np.clip(grit * np.float32(0.8), 0, 1), METAL, 0.25)
    shade = np.roll(gone, (-round(0.12 * surface.scale),) * 2, axis=(0, 1))
    surface.lay(gone * (1 - shade) * np.float32(0.7), (0.02, 0.02, 0.02), 0.0)
    surface.height = surface.height * (1 - gone)


def swirl(surface: Surface, at: Spot, spread: float) -> None:
    """Fine arcs around the lamp's image: of all hair scratches only those across the light are seen."""
    rng, scale = surface.rng, surface.scale
    image = Image.new("L", surface.canvas, 0)
    pen = ImageDraw.Draw(image)
    for _ in range(2600):
        far = abs(rng.normal(0, spread * 0.55)) + 2.5
        turn, reach = rng.uniform(0, 360), rng.uniform(4, 38) * min(1.0, 9 / far)
        cx, cy = ((at[i] + rng.normal(0, 0.35 + far * 0.03)) * scale for i in (0, 1))
        r = far * scale
        faint = int(rng.uniform(30, 200) * math.exp(-far / spread))
        pen.arc([cx - r, cy - r, cx + r, cy + r], turn, turn + reach, fill=faint, width=rng.choice([1, 1, 1, 2]))
    lines = np.asarray(image.filter(ImageFilter.GaussianBlur(0.6)), dtype=np.float32) / np.float32(255)
    surface.gleam = lines * np.float32(0.55)


def joint(surface: Surface, at: Spot, gap: float, taper: float) -> Field:
    """Two edges with a gap that widens downwards; returns the mask of the panel on the right."""
    mx = np.float32(at[0])
    lean = np.float32(0.03) * (surface.y - np.float32(at[1]))
    half = (np.float32(gap) + np.float32(taper) * (surface.y - np.float32(at[1])) / np.float32(at[1])) / 2
    off = surface.x - mx - lean
    open_ = smooth(half - np.abs(off), 0.25)
    lip = np.float32(2.2)
    near = np.clip((np.abs(off) - half) / lip, 0, 1)
    surface.height -= np.float32(0.65) * (1 - near) ** 2
    depth = np.clip(1 - np.abs(off) / (half + np.float32(0.01)), 0, 1)
    surface.lay(open_, (0.035, 0.035, 0.038), 0.05)
    surface.lay(open_ * smooth(depth - np.float32(0.3), 0.5), (0.003, 0.003, 0.004), 0.0)
    return smooth(off, 0.2)
