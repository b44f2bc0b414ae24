"""The light: lamp bars of an inspection tunnel, or one small lamp, mirrored in the clear coat, glowing in the paint."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import ndimage

from sample_units.paint.surface import Field, Surface

REACH = 420.0  # mm by which a lamp's image moves for a slope of one


@dataclass(frozen=True, kw_only=True)
class Bars:
    """Long lamps across the picture. `turn`: radians from upright; `spacing`, `width`, `shift`, `edge`: mm mirrored."""

    turn: float
    spacing: float
    width: float
    shift: float
    edge: float = 1.6
    bend: float = 0.0  # the panel's own curve, which bows the bars

    def table(self) -> Field:
        """Brightness over one spacing, in 2048 steps: a bright bar, a dim one, the dark between."""
        at = np.linspace(0, self.spacing, 2048, endpoint=False)

        def bar(middle: float, width: float) -> np.ndarray:
            off = np.abs((at - middle + self.spacing / 2) % self.spacing - self.spacing / 2)
            ramp = np.clip((width / 2 - off) / self.edge + 0.5, 0, 1)
            return ramp * ramp * (3 - 2 * ramp)

        def halo(middle: float, width: float) -> np.ndarray:
            off = np.abs((at - middle + self.spacing / 2) % self.spacing - self.spacing / 2)
            return np.exp(-((off / width) ** 2))

        light = 1.15 * bar(0, self.width) * (0.86 + 0.14 * halo(0, self.width / 2)) + 0.09 * halo(0, self.width * 1.15)
        light += 0.3 * bar(self.spacing * 0.54, self.width * 0.36) + 0.05 * halo(self.spacing * 0.54, self.width * 0.6)
        return (light + 0.012).astype(np.float32)


def mirrored(surface: Surface, bars: Bars) -> tuple[Field, Field]:
    """What the clear coat mirrors, and the glow of the light in the paint itself, both about 0 to 1.5."""
    right, down = surface.slopes()
    cos, sin = np.float32(np.cos(bars.turn)), np.float32(np.sin(bars.turn))
    mx, my = surface.middle
    along = (surface.x - mx) * -sin + (surface.y - my) * cos
    across = (surface.x - mx) * cos + (surface.y - my) * sin - np.float32(bars.shift)
    across = across + np.float32(bars.bend) * along * along
    moved = across + np.float32(REACH) * (right * cos + down * sin)
    table = bars.table()
    image = _look_up(table, moved / np.float32(bars.spacing))
    soft = ndimage.gaussian_filter1d(table, 180, mode="wrap")
    glow = _look_up(soft.astype(np.float32), (across + (moved - across) * np.float32(0.25)) / np.float32(bars.spacing))
    fall = 1 - np.float32(0.28) * (along / np.float32(my)) ** 2
    return image * np.maximum(fall, 0.2), glow * np.maximum(fall, 0.2)


def _look_up(table: Field, turns: Field) -> Field:
    places = ((turns % 1) * len(table)).astype(np.int32) % len(table)
    return table[places]


def small_lamp(surface: Surface, at: tuple[float, float], radius: float) -> tuple[Field, Field]:
    """One small round lamp, as held against swirls: its image with a bloom, and the glow around it."""
    right, down = surface.slopes()
    dx = surface.x - np.float32(at[0]) + np.float32(REACH) * right
    dy = surface.y - np.float32(at[1]) + np.float32(REACH) * down
    far = np.sqrt(dx * dx + dy * dy)
    disc = np.clip((radius - far) / np.float32(0.9) + 0.5, 0, 1)
    bloom = 0.5 * np.exp(-((far / np.float32(radius * 1.9)) ** 2)) + 0.16 * np.exp(-far / np.float32(radius * 3.4))
    return (2.4 * disc + bloom + 0.035).astype(np.float32), (0.10 + 1.1 * bloom).astype(np.float32)
