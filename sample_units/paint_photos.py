"""Photos for the demo: paint under the lamps of an invented workshop, drawn, never taken.

`python -m sample_units.paint_photos FOLDER` writes one of every kind, before and after.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from sample_units.paint import flaws
from sample_units.paint.camera import developed, exposed, jpeg, paint, taken
from sample_units.paint.lamps import Bars, mirrored, small_lamp
from sample_units.paint.surface import CANVAS, Field, Surface
from sample_units.paint.things import scale_mark, wax_ring

WAX = ((0.86, 0.62, 0.10), (0.82, 0.80, 0.72), (0.75, 0.16, 0.07))
Light = tuple[Field, Field]


@dataclass(frozen=True, kw_only=True)
class Recipe:
    """How a kind is photographed. `span`: mm across; `peel`: of the film; `ring`: radius in mm, 0 for none."""

    span: float
    peel: float
    put: Callable[[Surface, tuple[float, float], np.random.Generator], None]
    ring: float = 0.0
    turn: float = 0.25
    bar: float = 0.15  # of the span
    lamp: bool = False


RECIPES = {
    "nib": Recipe(span=62, peel=1.0, ring=9, put=lambda s, at, r: flaws.nib(s, at, r.uniform(0.9, 1.3))),
    "run": Recipe(span=92, peel=1.1, turn=0.5, put=lambda s, at, r: flaws.run(s, at, r.uniform(26, 38))),
    "orange_peel": Recipe(span=105, peel=3.6, turn=0.15, put=lambda s, at, r: None),
    "gap": Recipe(span=120, peel=1.0, turn=1.25, put=lambda s, at, r: None),
    "chip": Recipe(span=58, peel=1.0, ring=10, put=lambda s, at, r: flaws.chip(s, at, r.uniform(2.6, 3.8))),
    "swirl": Recipe(span=110, peel=0.8, lamp=True, put=lambda s, at, r: flaws.swirl(s, at, 26)),
    "scratch": Recipe(span=95, peel=1.0, ring=0, put=lambda s, at, r: flaws.scratch(s, at, r.uniform(38, 58))),
    "dent": Recipe(span=130, peel=0.9, turn=0.12, bar=0.075, put=lambda s, at, r: flaws.dent(s, at, r.uniform(22, 30))),
}


def draw(
    kind: str, colour_hex: str, finish: str, seed: int, *, after: bool = False, size: tuple[int, int] = CANVAS
) -> bytes:
    """Draw a photo of one kind of flaw (a key of RECIPES) on a panel of this colour: a JPEG of 1600 by 1200 px.

    `after` is the same place put right; `size` SMALL gives 640 by 480 px. The same arguments give the same picture.
    """
    recipe, rng = RECIPES[kind], np.random.default_rng([seed, sum(map(ord, kind)), int(after)])
    surface = Surface(scale=size[0] / recipe.span, rng=rng, canvas=size)
    mx, my = surface.middle
    at = (mx + rng.uniform(-0.07, 0.07) * recipe.span, my + rng.uniform(-0.05, 0.05) * recipe.span)
    surface.peel(0.75 if after else recipe.peel * rng.uniform(0.9, 1.15))
    light = _lit(kind, recipe, surface, at, after=after)
    picture = developed(exposed(surface, paint(colour_hex, finish), *light))
    return jpeg(taken(picture, rng, focus=at[1] / my / 2))


def _lit(kind: str, recipe: Recipe, surface: Surface, at: tuple[float, float], *, after: bool) -> Light:
    """Put the flaw and the things beside it on the surface, and hold the lamps to it."""
    rng = surface.rng
    right = flaws.joint(surface, at, *((4.6, 0.2) if after else (7.2, 3.4))) if kind == "gap" else None
    if not after:
        recipe.put(surface, at, rng)
    if recipe.ring and not after:
        wax_ring(surface, at, recipe.ring * rng.uniform(0.9, 1.1), WAX[int(rng.integers(len(WAX)))])
    corner = (recipe.span * rng.choice([0.24, 0.76]), recipe.span * 0.75 * rng.uniform(0.8, 0.85))
    scale_mark(surface, corner, rng.uniform(-9, 9), 30 if recipe.span > 80 else 15)
    if recipe.lamp:
        return small_lamp(surface, at, 3.4)
    bars = _bars(recipe, at, surface)
    image, glow = mirrored(surface, bars)
    if right is None:
        return image, glow
    other, _ = mirrored(surface, Bars(**{**bars.__dict__, "shift": bars.shift + 9, "turn": bars.turn + 0.05}))
    return image + right * (other - image), glow


def _bars(recipe: Recipe, at: tuple[float, float], surface: Surface) -> Bars:
    """Lamps as an inspector moves to see best: the flaw at the edge of a bar."""
    rng, width = surface.rng, recipe.span * recipe.bar
    turn = recipe.turn + rng.uniform(-0.12, 0.12)
    mx, my = surface.middle
    spot = (at[0] - mx) * np.cos(turn) + (at[1] - my) * np.sin(turn)
    return Bars(
        turn=turn,
        spacing=width * 4.2 if recipe.bar > 0.1 else width * 2.9,
        width=width,
        shift=spot + width * rng.uniform(0.38, 0.5) * rng.choice([-1, 1]),
        edge=recipe.span * 0.034,
        bend=rng.uniform(-0.0016, 0.0016) * 90 / recipe.span,
    )


def main(folder: Path) -> None:
    """Write one of every kind into a folder, to be looked at."""
    folder.mkdir(parents=True, exist_ok=True)
    paints = (("#5d7183", "metallic"), ("#2f4f43", "solid"), ("#7a1f26", "metallic"), ("#ece9e0", "solid"))
    for number, kind in enumerate(RECIPES):
        for after in (False, True):
            colour, finish = paints[number % len(paints)]
            name = f"{kind}{'-after' if after else ''}.jpg"
            (folder / name).write_bytes(draw(kind, colour, finish, 7 + number, after=after))


if __name__ == "__main__":
    main(Path(sys.argv[1]))
