"""A signature as a finger draws it: strokes of points from 0 to 1000, always the same for a name."""

from __future__ import annotations

import math
import random


def strokes(name: str) -> list[list[list[int]]]:
    """A capital, a run of loops that grow smaller, and a line below."""
    lot = random.Random(f"signature {name}")
    tall, lean = lot.uniform(230, 300), lot.uniform(0.15, 0.35)
    capital = [
        _point(150 + 75 * math.sin(a) + lean * 60 * math.cos(a), 480 - tall * math.cos(a * 0.9), 0) for a in _turns(5.6)
    ]
    loops = [
        _point(250 + 27 * a + 26 * math.sin(a), 560 - (95 - 3.6 * a) * (1 - math.cos(a)) / 1.6, lean)
        for a in _turns(lot.uniform(19, 23))
    ]
    under = [[round(210 + 58 * step), round(690 - 5 * step + lot.uniform(-4, 4))] for step in range(11)]
    return [capital, loops, under]


def _turns(end: float) -> list[float]:
    return [step * 0.28 for step in range(int(end / 0.28))]


def _point(x: float, y: float, lean: float) -> list[int]:
    return [round(min(980, max(20, x + lean * (560 - y)))), round(min(960, max(40, y)))]
