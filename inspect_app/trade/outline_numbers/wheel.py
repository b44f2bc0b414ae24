"""A steel wheel with a tyre, seen from the side."""

from __future__ import annotations

import math

from inspect_app.trade.outline_numbers.board import Board
from inspect_app.trade.outline_numbers.pen import Curve, arc, chain, circle, line
from inspect_app.trade.outline_numbers.side_edges import AXLE

TYRE, RIM = 346.0, 236.0


def wheel(b: Board, x: float) -> None:
    """Draw the wheel whose axle stands at `x`."""
    z = AXLE - 4
    b.ink("tyre", circle(x, z, TYRE))
    b.ink("thin", circle(x, z, TYRE - 16), circle(x, z, RIM + 22))
    b.ink("rim", circle(x, z, RIM))
    b.ink("thin", circle(x, z, RIM - 14), circle(x, z, RIM - 34))
    b.ink("tyre", *(_slot(x, z, turn) for turn in range(0, 360, 36)))
    b.ink("rim", circle(x, z, 84))
    b.ink("thin", circle(x, z, 74), circle(x, z, 38))
    turns = [math.tau * i / 6 for i in range(6)]
    b.ink("thin", *(circle(x + 57 * math.cos(a), z + 57 * math.sin(a), 9) for a in turns))


def _slot(x: float, z: float, turn: float) -> Curve:
    outer, inner = arc(x, z, 178, turn - 9.5, turn + 9.5), arc(x, z, 124, turn + 7.5, turn - 7.5)
    return chain(outer, line(outer.end, inner.start), inner, line(inner.end, outer.start))
