"""Draw the app's icons for home screens from the ring in client/icon.svg: `python -m sample_units.icons`.

PNG, since not every tablet takes a drawing for its home screen. "whole" fills the square to its edges and keeps the
ring inside the middle four fifths, which a launcher may cut to a circle (the safe zone of a maskable icon: a circle of
two fifths of the width around the middle, W3C Web App Manifest).
"""

from __future__ import annotations

import re
from pathlib import Path

from PIL import Image, ImageDraw

CLIENT = Path(__file__).parents[1] / "inspect_app" / "client"
GROUND, WAX = "#141b1b", "#f98a4f"
FINER = 4  # drawn so many times larger, then brought down, for smooth edges
STROKE = 2.6
MADE = {"ring-192": False, "ring-512": False, "whole-180": True, "whole-192": True, "whole-512": True}

Point = tuple[float, float]


def ring() -> list[Point]:
    """Points along the ring's curve, in the drawing's 24 units."""
    path = re.findall(r' d="(M[^"]+)"', (CLIENT / "icon.svg").read_text("utf-8"))[-1]
    numbers = [float(number) for number in re.findall(r"[\d.]+", path)]
    spots = list(zip(numbers[::2], numbers[1::2], strict=True))
    found = []
    for at in range(0, len(spots) - 1, 3):
        found += [_on_curve(spots[at : at + 4], step / 200) for step in range(201)]
    return found


def _on_curve(four: list[Point], t: float) -> Point:
    weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3)
    x, y = (sum(w * spot[axis] for w, spot in zip(weights, four, strict=True)) for axis in (0, 1))
    return x, y


def icon(size: int, *, whole: bool) -> Image.Image:
    """One icon of `size` pixels; `whole` fills the square, else its corners are round."""
    large = size * FINER
    image = Image.new("RGBA", (large, large), GROUND if whole else (0, 0, 0, 0))
    draw = ImageDraw.Draw(image)
    if not whole:
        draw.rounded_rectangle((0, 0, large - 1, large - 1), radius=large / 8, fill=GROUND)
    unit = large / 24 * (0.82 if whole else 1)
    half = STROKE / 2 * unit
    for x, y in ring():
        at_x, at_y = large / 2 + (x - 12.3) * unit, large / 2 + (y - 12.1) * unit
        draw.ellipse((at_x - half, at_y - half, at_x + half, at_y + half), fill=WAX)
    return image.resize((size, size), Image.Resampling.LANCZOS)


def main() -> None:
    """Write them all."""
    folder = CLIENT / "icons"
    folder.mkdir(exist_ok=True)
    for name, whole in MADE.items():
        made = icon(int(name.partition("-")[2]), whole=whole)
        made.convert("RGB" if whole else "RGBA").quantize(64).save(folder / f"{name}.png", optimize=True)


if __name__ == "__main__":
    main()
