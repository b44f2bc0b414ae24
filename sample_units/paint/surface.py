"""The painted surface: how high it stands, what colour it is where it is not paint, and the texture of its film.

Everything is in millimetres. What a lamp looks like in the paint follows from the slopes alone, as it does on a van: a
nib is a hill, a dent a hollow, orange peel a landscape. Only what lies on or under the film is laid on as colour.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy import ndimage

Field = NDArray[np.float32]
CANVAS = (1400, 1050)  # px; the photo is 1600 by 1200, but no lens is sharper than this
SMALL = (560, 420)  # px; for a photo of 640 by 480: a sixth of the work


@dataclass
class Surface:
    """A piece of panel. `scale`: px per mm; `canvas`: px; `height`: mm.

    `layers`: (mask 0 to 1, colour, how much it mirrors).
    """

    scale: float
    rng: np.random.Generator
    canvas: tuple[int, int] = CANVAS
    height: Field = field(init=False)
    layers: list[tuple[Field, tuple[float, float, float], float]] = field(default_factory=list)
    gleam: Field | None = None

    def __post_init__(self) -> None:
        width, height = self.canvas
        xs = np.arange(width, dtype=np.float32) / np.float32(self.scale)
        ys = np.arange(height, dtype=np.float32) / np.float32(self.scale)
        self.x, self.y = xs[None, :], ys[:, None]
        self.height = np.zeros((height, width), np.float32)

    @property
    def middle(self) -> tuple[float, float]:
        """The middle of the piece, in mm."""
        return self.canvas[0] / self.scale / 2, self.canvas[1] / self.scale / 2

    def noise(self, grain: float, *, stretch: float = 1.0) -> Field:
        """Smooth noise of unit spread; `grain`: the size of its hills in mm; `stretch` makes them longer downwards."""
        step = max(1, int(grain * self.scale / 5))
        width, height = self.canvas
        shape = (height // step + 8, width // step + 8)
        sigma = grain * self.scale / step / 2.6
        rough = self.rng.standard_normal(shape, dtype=np.float32)
        hills = ndimage.gaussian_filter(rough, (sigma * stretch, sigma))
        hills /= hills.std() + 1e-9
        grown = Image.fromarray(hills).resize((shape[1] * step, shape[0] * step), Image.Resampling.BICUBIC)
        return np.asarray(grown)[2 * step : 2 * step + height, 2 * step : 2 * step + width]

    def slopes(self) -> tuple[Field, Field]:
        """How steep it is to the right and downwards."""
        down, right = np.gradient(self.height)
        return right * self.scale, down * self.scale

    def peel(self, strength: float, grain: float = 2.6) -> None:
        """Texture the film; `strength` 1 is a good van, 4 is a pebbly one."""
        hills = self.noise(grain) + 0.5 * self.noise(grain * 0.45)
        self.height += np.float32(0.00055 * strength) * hills

    def round_hill(self, at: tuple[float, float], radius: float, height: float, squash: float = 1.0) -> None:
        """Add a bell-shaped hill (or hollow); `radius` is where it has fallen to 0.6 of its height."""
        square = ((self.x - at[0]) / radius) ** 2 + ((self.y - at[1]) / (radius * squash)) ** 2
        self.height += np.float32(height) * np.exp(-square / 2, dtype=np.float32)

    def lay(self, mask: Field, colour: tuple[float, float, float], mirrors: float) -> None:
        """Put something on or into the paint."""
        self.layers.append((mask.astype(np.float32), colour, mirrors))


def smooth(edge: Field, softness: float) -> Field:
    """0 where `edge` is well below zero, 1 where it is well above, in mm."""
    ramp = np.clip(edge / np.float32(softness) + np.float32(0.5), 0, 1)
    return ramp * ramp * (3 - 2 * ramp)
