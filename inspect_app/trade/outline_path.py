"""Read the path data of an outline: M L H V C S Q A Z, absolute, and turn it into cubics or polygons.

The browser draws paths by itself; the sheet (PDF) and the geometry need them as numbers. Only absolute commands are
taken, because a zone whose place depends on what came before it cannot be checked by eye.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from inspect_app.words import N_
from inspect_app.words import gettext as _

Point = tuple[float, float]
Move = tuple[Literal["M"], float, float]
Line = tuple[Literal["L"], float, float]
Cubic = tuple[Literal["C"], float, float, float, float, float, float]
Close = tuple[Literal["Z"]]
Curve = Move | Line | Cubic | Close

COUNTS = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "A": 7, "Z": 0}
GRID = 100  # to the mm: points are kept to a hundredth
LIMIT = 100_000.0  # mm: a hundred metres is no van, and keeps sums far from overflow
_PLAIN = re.compile(r"(?:[MLHVCSQAZ][0-9 .-]*)*")  # as we and most programs write paths
_STEP = re.compile(r"([A-Z])([^A-Z]*)")
_TOKEN = re.compile(r"\s*,?\s*(?:([A-Za-z])|([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?))")


class PathError(ValueError):
    """Path data that cannot be read. `said` tells it of a path by its id."""

    def __init__(self, text: str, **values: object):
        super().__init__(text)
        self.text, self.values = text, values

    def said(self, own: str) -> str:
        """What is wrong with the path of this id, in one sentence."""
        return _(self.text, own=own, **self.values)

    def __str__(self) -> str:
        return self.said("path")


@dataclass(frozen=True, kw_only=True, slots=True)
class Command:
    """One drawing step: its letter and its numbers in mm (of an arc also its angle in degrees and two flags)."""

    letter: str
    numbers: tuple[float, ...]


def parse_path(d: str) -> tuple[Command, ...]:
    """Return the steps of path data, one each, repeats written out; raise PathError for anything unusual."""
    found = [step for letter, numbers in _plain(d) or _other(d) for step in _steps(letter, numbers)]
    for before, command in zip([None, *found], found, strict=False):
        if command.letter != "M" and (before is None or before.letter == "Z"):
            raise PathError(N_("'%(own)s' starts a line with '%(letter)s'; begin with M."), letter=command.letter)
    return tuple(found)


def _plain(d: str) -> list[tuple[str, list[float]]] | None:
    """Return each letter with its numbers, of path data with a space between any two numbers; None of all other."""
    if not _PLAIN.fullmatch(d):
        return None
    try:
        found = [(letter, [*map(float, numbers.split())]) for letter, numbers in _STEP.findall(d)]
    except ValueError:
        return None
    near = all(-LIMIT <= min(numbers) <= max(numbers) <= LIMIT for _, numbers in found if numbers)
    return found if near else None


def _other(d: str) -> list[tuple[str, list[float]]]:
    """Do what `_plain` does for all path data there can be; raise PathError for what is wrong in it."""
    found: list[tuple[str, list[float]]] = [("", [])]
    for token in _tokens(d):
        if isinstance(token, str):
            found.append((token, []))
        else:
            found[-1][1].append(token)
    return found


def _tokens(d: str) -> list[str | float]:
    tokens: list[str | float] = []
    at, end = 0, len(d.rstrip())
    while at < end:
        match = _TOKEN.match(d, at)
        if match is None:
            raise PathError(
                N_("'%(own)s' has '%(found)s' where a command or a number is due; correct it."),
                found=d[at:].strip()[:12],
            )
        at = match.end()
        tokens.append(_letter(match[1]) if match[1] else _number(match[2]))
    return tokens


def _letter(letter: str) -> str:
    if letter not in COUNTS:
        if letter.upper() in COUNTS:
            raise PathError(N_("'%(own)s' uses '%(letter)s', which is relative; write it absolute."), letter=letter)
        raise PathError(
            N_("'%(own)s' uses '%(letter)s', which is not one of M L H V C S Q A Z."),
            letter=letter,
        )
    return letter


def _number(text: str) -> float:
    value = float(text)
    if not abs(value) <= LIMIT:
        raise PathError(
            N_("'%(own)s' has the number %(number)s, beyond %(most)s mm; draw in millimetres."),
            number=text[:20],
            most=round(LIMIT),
        )
    return value


def _steps(letter: str, numbers: list[float]) -> list[Command]:
    if not letter:
        if numbers:
            raise PathError(N_("'%(own)s' starts with a number; begin with M."))
        return []
    count = COUNTS[letter]
    if count == 0:
        if numbers:
            raise PathError(N_("'%(own)s' has numbers after Z; start a new M."))
        return [Command(letter=letter, numbers=())]
    if not numbers or len(numbers) % count:
        raise PathError(
            N_("'%(own)s' gives %(letter)s %(n)s numbers; it takes %(count)s at a time."),
            letter=letter,
            n=len(numbers),
            count=count,
        )
    if len(numbers) == count:
        return [Command(letter=letter, numbers=tuple(numbers))]
    chunks = [tuple(numbers[i : i + count]) for i in range(0, len(numbers), count)]
    # SVG reads further pairs after M as lines.
    return [Command(letter="L" if letter == "M" and i else letter, numbers=c) for i, c in enumerate(chunks)]


def write_path(commands: tuple[Command, ...]) -> str:
    """Write steps back in the one canonical form: two decimals at most, single spaces."""
    return " ".join(" ".join((c.letter, *(number(n) for n in c.numbers))) for c in commands)


def number(value: float) -> str:
    """Write a number with two decimals at most and no trailing zeros; minus nought is nought."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def on_grid(value: float) -> int:
    """Return a length in mm as whole hundredths, half upwards as JavaScript's Math.round has it."""
    return math.floor(value * GRID + 0.5)


def gridded(value: float) -> float:
    """Return a length in mm, moved to the nearest hundredth as `on_grid` has it."""
    return math.floor(value * GRID + 0.5) / GRID


def to_curves(d: str | tuple[Command, ...]) -> list[Curve]:
    """Return path data as moves, lines, cubics and closings only; H V S Q A are rewritten."""
    pen = _Pen()
    for command in parse_path(d) if isinstance(d, str) else d:
        pen.draw(command)
    return pen.curves


def flatten(d: str | tuple[Command, ...], tolerance: float = 2.0) -> list[list[Point]]:
    """Return one polyline per subpath, no further than `tolerance` mm from the curve; closed ones repeat their start.

    A curve gives the same points when drawn from its other end, so that neighbours which share it still tile.
    """
    return polylines(to_curves(d), tolerance)


def polylines(curves: Iterable[Curve], tolerance: float) -> list[list[Point]]:
    """Do what `flatten` does, of curves; client/curves.js does the very same sums, so that the points are the same."""
    lines: list[list[Point]] = []
    for curve in curves:
        if curve[0] == "M":
            lines.append([(curve[1], curve[2])])
        elif curve[0] == "L":
            lines[-1].append((curve[1], curve[2]))
        elif curve[0] == "C":
            lines[-1] += _along(lines[-1][-1], curve, tolerance)
        elif lines[-1][-1] != lines[-1][0]:
            lines[-1].append(lines[-1][0])
    return [[p for i, p in enumerate(line) if i == 0 or p != line[i - 1]] for line in lines]


def _along(start: Point, curve: Cubic, tolerance: float) -> list[Point]:
    _, bx, by, cx, cy, dx, dy = curve
    ax, ay = start
    # The chord error of a piece of length h in t is at most h² / 8 times the greatest second derivative.
    bend = 6 * max(_length(ax - 2 * bx + cx, ay - 2 * by + cy), _length(bx - 2 * cx + dx, by - 2 * cy + dy))
    pieces = max(1, math.ceil(math.sqrt(bend / (8 * tolerance)) - 1e-9))
    points = [_at(i / pieces, ax, ay, bx, by, cx, cy, dx, dy) for i in range(1, pieces)]
    return [*points, (dx, dy)]


def _length(x: float, y: float) -> float:
    return math.sqrt(x * x + y * y)  # math.hypot may differ from the browser's in its last digit


def _at(t: float, ax: float, ay: float, bx: float, by: float, cx: float, cy: float, dx: float, dy: float) -> Point:
    u = 1 - t
    a, b, c, d = u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t
    return gridded(a * ax + b * bx + c * cx + d * dx), gridded(a * ay + b * by + c * cy + d * dy)


class _Pen:
    """Keeps the current point, the start of the subpath and the last handle while commands are drawn."""

    def __init__(self) -> None:
        self.curves: list[Curve] = []
        self.x = self.y = self.start_x = self.start_y = self.handle_x = self.handle_y = 0.0

    def draw(self, command: Command) -> None:
        n = command.numbers
        match command.letter:
            case "M":
                self.curves.append(("M", n[0], n[1]))
                self.start_x, self.start_y = n[0], n[1]
                self._stand(n[0], n[1])
            case "L":
                self._line(n[0], n[1])
            case "H":
                self._line(n[0], self.y)
            case "V":
                self._line(self.x, n[0])
            case "C":
                self._cubic(*n)
            case "S":
                self._cubic(2 * self.x - self.handle_x, 2 * self.y - self.handle_y, *n)
            case "Q":
                self._quad(*n)
            case "A":
                self._arc(n)
            case _:
                self.curves.append(("Z",))
                self._stand(self.start_x, self.start_y)

    def _stand(self, x: float, y: float) -> None:
        self.x, self.y, self.handle_x, self.handle_y = x, y, x, y

    def _line(self, x: float, y: float) -> None:
        self.curves.append(("L", x, y))
        self._stand(x, y)

    def _cubic(self, *n: float) -> None:
        self.curves.append(("C", n[0], n[1], n[2], n[3], n[4], n[5]))
        self._stand(n[4], n[5])
        self.handle_x, self.handle_y = n[2], n[3]

    def _quad(self, qx: float, qy: float, x: float, y: float) -> None:
        first = self.x + 2 / 3 * (qx - self.x), self.y + 2 / 3 * (qy - self.y)
        self._cubic(*first, x + 2 / 3 * (qx - x), y + 2 / 3 * (qy - y), x, y)
        self.handle_x, self.handle_y = x, y  # S mirrors the handle of a cubic only

    def _arc(self, n: tuple[float, ...]) -> None:
        x, y = n[5], n[6]
        if (x, y) == (self.x, self.y):
            return
        if n[0] == 0 or n[1] == 0:
            self._line(x, y)
            return
        shape = abs(n[0]), abs(n[1]), math.radians(n[2]), bool(n[3]), bool(n[4])
        for piece in arc_cubics((self.x, self.y), *shape, (x, y)):
            self._cubic(*piece)
        self._stand(x, y)


def arc_cubics(
    start: Point, rx: float, ry: float, turn: float, large: bool, sweep: bool, end: Point
) -> list[tuple[float, ...]]:
    """Return an elliptical arc as cubics of at most a quarter turn each (SVG 2, appendix on elliptical arcs, B.2.4)."""
    cos, sin = math.cos(turn), math.sin(turn)
    hx, hy = (start[0] - end[0]) / 2, (start[1] - end[1]) / 2
    px, py = cos * hx + sin * hy, cos * hy - sin * hx
    grow = max(1.0, math.sqrt((px / rx) ** 2 + (py / ry) ** 2))  # too small radii grow until they reach
    rx, ry = rx * grow, ry * grow
    reach = (rx * py) ** 2 + (ry * px) ** 2
    root = math.sqrt(max(0.0, (rx * ry) ** 2 / reach - 1)) * (1 if large != sweep else -1)
    ox, oy = root * rx * py / ry, -root * ry * px / rx
    cx, cy = cos * ox - sin * oy + (start[0] + end[0]) / 2, sin * ox + cos * oy + (start[1] + end[1]) / 2
    first = math.atan2((py - oy) / ry, (px - ox) / rx)
    span = (math.atan2((-py - oy) / ry, (-px - ox) / rx) - first) % math.tau
    span = span if sweep else span - math.tau
    count = max(1, math.ceil(abs(span) / (math.pi / 2) - 1e-9))
    step = span / count
    k = 4 / 3 * math.tan(step / 4)

    def place(x: float, y: float) -> Point:
        return cx + cos * rx * x - sin * ry * y, cy + sin * rx * x + cos * ry * y

    pieces: list[tuple[float, ...]] = []
    for i in range(count):
        a, b = first + i * step, first + (i + 1) * step
        one = place(math.cos(a) - k * math.sin(a), math.sin(a) + k * math.cos(a))
        two = place(math.cos(b) + k * math.sin(b), math.sin(b) - k * math.cos(b))
        pieces.append((*one, *two, *(end if i == count - 1 else place(math.cos(b), math.sin(b)))))
    return pieces
