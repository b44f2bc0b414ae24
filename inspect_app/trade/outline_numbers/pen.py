"""Curves to draw a van with: cut them where others meet them, chain them to zones, and neighbours share their edges.

Everything is in the van's own millimetres with height upwards; a view turns that into paper only when it is written.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from itertools import pairwise

from inspect_app.trade.outline_path import to_curves

Point = tuple[float, float]
Hold = tuple[float | None, float | None]
NEAR = 0.06  # mm: ends this near are one corner


@dataclass(frozen=True)
class Piece:
    """A line (no handles) or a cubic (two handles) from `a` to `b`."""

    a: Point
    b: Point
    handles: tuple[Point, Point] | None = None

    def back(self) -> Piece:
        """The same piece from its other end."""
        return Piece(self.b, self.a, self.handles and (self.handles[1], self.handles[0]))

    def at(self, t: float) -> Point:
        """The point at 0 to 1 along it."""
        return self.coordinate(0, t), self.coordinate(1, t)

    def coordinate(self, axis: int, t: float) -> float:
        """The x (0) or height (1) of the point at 0 to 1 along it (de Casteljau)."""
        a, b = self.a[axis], self.b[axis]
        if self.handles is None:
            return a + (b - a) * t
        c, d = self.handles[0][axis], self.handles[1][axis]
        p, q, r = a + (c - a) * t, c + (d - c) * t, d + (b - d) * t
        s, u = p + (q - p) * t, q + (r - q) * t
        return s + (u - s) * t

    def split(self, t: float) -> tuple[Piece, Piece]:
        """Both parts of it, cut at `t` (de Casteljau)."""
        if self.handles is None:
            middle = _mix(self.a, self.b, t)
            return Piece(self.a, middle), Piece(middle, self.b)
        p, q, r = _mix(self.a, self.handles[0], t), _mix(*self.handles, t), _mix(self.handles[1], self.b, t)
        s, u = _mix(p, q, t), _mix(q, r, t)
        middle = _mix(s, u, t)
        return Piece(self.a, middle, (p, s)), Piece(middle, self.b, (u, r))


def _held_at(hold: Hold, place: Callable[[float, float], Point]) -> Hold:
    x, z = place(hold[0] or 0.0, hold[1] or 0.0)
    return None if hold[0] is None else x, None if hold[1] is None else z


def _mix(a: Point, b: Point, t: float) -> Point:
    return a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t


@dataclass(frozen=True)
class Curve:
    """Pieces end to end; closed when the last ends where the first begins.

    A curve with a `hold` is stiff: where a plan stretches the van, it moves with the place it is held at (x, z) and
    keeps its own length, its own height (where the hold has None, it gives way like any other), or both. One that is
    `placed` was drawn where the plan wants it and stays there.
    """

    pieces: tuple[Piece, ...]
    hold: Hold | None = None
    placed: bool = False

    @property
    def start(self) -> Point:
        return self.pieces[0].a

    @property
    def end(self) -> Point:
        return self.pieces[-1].b

    @property
    def closed(self) -> bool:
        return math.dist(self.start, self.end) < NEAR

    def back(self) -> Curve:
        """The same curve from its other end."""
        return replace(self, pieces=tuple(piece.back() for piece in reversed(self.pieces)))

    def cut(self, *, x: float | None = None, z: float | None = None) -> tuple[Curve, Curve]:
        """Both parts of it, cut where it first crosses the upright at `x` or the level at `z`."""
        axis, value = (0, x) if x is not None else (1, z)
        for i, piece in enumerate(self.pieces):
            t = _crossing(piece, axis, value or 0.0)
            if t is not None:
                one, other = piece.split(t)
                return Curve(_solid((*self.pieces[:i], one))), Curve(_solid((other, *self.pieces[i + 1 :])))
        raise ValueError(f"the curve from {self.start} to {self.end} never meets {'x' if axis == 0 else 'z'} = {value}")

    def between(self, *, x: tuple[float, float]) -> Curve:
        """The part of it between two uprights, in its own direction."""
        return self.cut(x=x[0])[1].cut(x=x[1])[0]

    def moved(self, place: Callable[[float, float], Point]) -> Curve:
        """The curve with every point, handles too, put through `place`."""
        moved = tuple(
            Piece(place(*p.a), place(*p.b), p.handles and (place(*p.handles[0]), place(*p.handles[1])))
            for p in self.pieces
        )
        return Curve(moved, self.hold and _held_at(self.hold, place), self.placed)

    def bent(self, place: Callable[[float, float], Point]) -> Curve:
        """The curve as a plan places it; of a stiff one only the place it is held at goes through `place`."""
        if self.hold is None:
            return self if self.placed else self.moved(place)
        x0, z0 = self.hold
        at = place(x0 or 0.0, z0 or 0.0)
        dx, dz = (at[0] - x0 if x0 is not None else 0.0), (at[1] - z0 if z0 is not None else 0.0)

        def held(x: float, z: float) -> Point:
            loose = place(x, z)
            return x + dx if x0 is not None else loose[0], z + dz if z0 is not None else loose[1]

        return Curve(self.moved(held).pieces)

    def stiff(self, x: float | None = None, z: float | None = None) -> Curve:
        """The same curve, stiff along x, z or both, held at a place."""
        return Curve(self.pieces, (x, z))

    def shift(self, dx: float = 0.0, dz: float = 0.0) -> Curve:
        """The curve moved bodily."""
        return self.moved(lambda x, z: (x + dx, z + dz))

    def grown(self, by: float) -> Curve:
        """A copy whose box is `by` mm wider on each side: a rubber around glass or, negative, an inset line."""
        points = [p for piece in self.pieces for p in (piece.at(i / 8) for i in range(9))]
        (low, high), (under, over) = ((min(v), max(v)) for v in zip(*points, strict=True))
        cx, cz, w, h = (low + high) / 2, (under + over) / 2, (high - low) / 2, (over - under) / 2
        larger = self.moved(lambda x, z: (cx + (x - cx) * (w + by) / w, cz + (z - cz) * (h + by) / h))
        return replace(self, pieces=larger.pieces)

    def d(self) -> str:
        """SVG path data, a tenth of a millimetre fine; a closed curve ends with Z."""
        closed = self.closed
        words = ["M", *_pair(self.start)]
        for i, piece in enumerate(self.pieces):
            if piece.handles:
                words += ["C", *_pair(piece.handles[0]), *_pair(piece.handles[1]), *_pair(piece.b)]
            elif not (closed and i == len(self.pieces) - 1):
                words += ["L", *_pair(piece.b)]
        return " ".join([*words, "Z"] if closed else words)


def _solid(pieces: Iterable[Piece]) -> tuple[Piece, ...]:
    return tuple(piece for piece in pieces if math.dist(piece.a, piece.b) > 1e-9 or piece.handles)


def _pair(p: Point) -> tuple[str, str]:
    return f"{round(p[0], 1) + 0.0:.1f}", f"{round(p[1], 1) + 0.0:.1f}"


def _crossing(piece: Piece, axis: int, value: float, steps: int = 64) -> float | None:
    before = piece.a[axis] - value
    if abs(before) < 1e-9:
        return 0.0
    for i in range(1, steps + 1):
        after = piece.coordinate(axis, i / steps) - value
        if abs(after) < 1e-9:
            return i / steps
        if before * after < 0:
            return _halve(piece, axis, value, (i - 1) / steps, i / steps)
        before = after
    return None


def _halve(piece: Piece, axis: int, value: float, low: float, high: float) -> float:
    rising = piece.coordinate(axis, high) > value
    for _ in range(50):
        middle = (low + high) / 2
        if (piece.coordinate(axis, middle) > value) == rising:
            high = middle
        else:
            low = middle
    return (low + high) / 2


def path(d: str) -> Curve:
    """A curve from SVG path data in the van's millimetres."""
    pieces: list[Piece] = []
    here = first = (0.0, 0.0)
    for step in to_curves(d):
        if step[0] == "M":
            here = first = (step[1], step[2])
            continue
        target = first if step[0] == "Z" else (step[-2], step[-1])
        if step[0] == "C":
            pieces.append(Piece(here, target, ((step[1], step[2]), (step[3], step[4]))))
        elif math.dist(here, target) > 1e-9:
            pieces.append(Piece(here, target))
        here = target
    return Curve(tuple(pieces))


def chain(*curves: Curve) -> Curve:
    """Join curves end to end, turning each as needed; ValueError says between which ends a gap is left."""
    first, *rest = curves
    if rest and not _meets(first.end, rest[0]):
        first = first.back()
    pieces = list(first.pieces)
    for curve in rest:
        here = pieces[-1].b
        if not _meets(here, curve):
            raise ValueError(f"a gap between {here} and the curve from {curve.start} to {curve.end}")
        turned = curve if math.dist(here, curve.start) < NEAR else curve.back()
        head = turned.pieces[0]
        pieces += [Piece(here, head.b, head.handles), *turned.pieces[1:]]
    return Curve(tuple(pieces))


def _meets(here: Point, curve: Curve) -> bool:
    return min(math.dist(here, curve.start), math.dist(here, curve.end)) < NEAR


def line(*points: Point) -> Curve:
    """Straight lines through points."""
    return Curve(tuple(Piece(a, b) for a, b in pairwise(points)))


def arc(cx: float, cz: float, r: float, start: float, end: float) -> Curve:
    """Part of a circle from one angle to another, degrees, anticlockwise from the rear (x) towards up (z)."""
    steps = max(1, math.ceil(abs(end - start) / 90 - 1e-9))
    span = math.radians(end - start) / steps
    k = 4 / 3 * math.tan(span / 4) * r
    pieces = []
    for i in range(steps):
        a, b = math.radians(start) + i * span, math.radians(start) + (i + 1) * span
        p, q = (cx + r * math.cos(a), cz + r * math.sin(a)), (cx + r * math.cos(b), cz + r * math.sin(b))
        handles = (p[0] - k * math.sin(a), p[1] + k * math.cos(a)), (q[0] + k * math.sin(b), q[1] - k * math.cos(b))
        pieces.append(Piece(p, q, handles))
    return Curve(tuple(pieces))


def circle(cx: float, cz: float, r: float) -> Curve:
    """A whole circle, which stays one."""
    return arc(cx, cz, r, 0, 360).stiff(cx, cz)


def rounded(*corners: tuple[float, float, float], closed: bool = True) -> Curve:
    """A polygon (or, not closed, a bent line) through (x, z, radius) corners, each rounded."""
    count, pieces = len(corners), []
    here: Point | None = None
    first: Point | None = None
    for i, (x, z, r) in enumerate(corners):
        if not closed and i in (0, count - 1):
            leave = enter = (x, z)
            bend = None
        else:
            enter, leave, bend = _bend(corners[i - 1][:2], (x, z), corners[(i + 1) % count][:2], r)
        if here is not None and math.dist(here, enter) > 1e-9:
            pieces.append(Piece(here, enter))
        if bend is not None and math.dist(enter, leave) > 1e-9:
            pieces.append(Piece(enter, leave, bend))
        first, here = first or enter, leave
    if closed and first and here and math.dist(here, first) > 1e-9:
        pieces.append(Piece(here, first))
    return Curve(tuple(pieces))


def _bend(before: Point, at: Point, after: Point, r: float) -> tuple[Point, Point, tuple[Point, Point]]:
    into, out = math.dist(before, at), math.dist(at, after)
    turn = math.acos(
        max(
            -1.0,
            min(
                1.0,
                ((before[0] - at[0]) * (after[0] - at[0]) + (before[1] - at[1]) * (after[1] - at[1])) / (into * out),
            ),
        )
    )
    reach = min(r / math.tan(turn / 2), into / 2, out / 2)
    span = math.pi - turn
    hold = 1 - (4 / 3 * math.tan(span / 4) * math.tan(turn / 2))
    enter, leave = _mix(at, before, reach / into), _mix(at, after, reach / out)
    return enter, leave, (_mix(at, enter, hold), _mix(at, leave, hold))


def box(left: float, low: float, right: float, high: float, r: float = 0.0) -> Curve:
    """An upright rectangle with rounded corners."""
    return rounded((left, low, r), (right, low, r), (right, high, r), (left, high, r))


def strip(curve: Curve, rise: float) -> Curve:
    """The area between a curve and itself moved up (or, below nought, down)."""
    other = curve.shift(dz=rise)
    return chain(curve, line(curve.end, other.end), other.back(), line(other.start, curve.start))
