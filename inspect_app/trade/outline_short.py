"""Write paths as short as they can be said, for the way to the browser.

The file keeps every place absolute, so that a person can check it by eye. What is sent to a tablet need not be read by
anyone: places are told from the one before, which halves a drawing's weight and loses nothing, because all sums are
done in whole hundredths of a millimetre. Curves of every kind arrive as cubics: client/curves.js need not know arcs.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from inspect_app.trade.outline_path import GRID, Command, Curve, gridded, on_grid, to_curves

Whole = tuple[str, tuple[int, ...]]


def settled(path: tuple[Command, ...]) -> list[Curve]:
    """Return a path as curves with every point on the grid of hundredths of a mm: what the browser is told."""
    return [_settled(curve) for curve in to_curves(path)]


def _settled(curve: Curve) -> Curve:
    made: Curve = (curve[0], *map(gridded, curve[1:]))  # type: ignore[assignment]
    return made


def short(path: tuple[Command, ...]) -> str:
    """Return path data that draws `settled(path)`: M once, then m l h v c z, all relative."""
    words: list[str] = []
    last = ""
    for letter, numbers in _relative(settled(path)):
        if letter != last:
            words.append(letter)
        words += map(_hundredths, numbers)
        # After a move SVG reads further pairs as lines; said in full, nothing here depends on that.
        last = "" if letter in "Mmz" else letter
    return _joined(words)


def mirrored(path: tuple[Command, ...], width: int) -> list[Curve]:
    """Return a settled path as it looks in a mirror that stands upright in the middle of a view `width` mm wide."""
    return [_turned(curve, width) for curve in settled(path)]


def _turned(curve: Curve, width: int) -> Curve:
    letter, *numbers = curve
    turned = ((on_grid(width - float(n)) / GRID if i % 2 == 0 else n) for i, n in enumerate(numbers))
    made: Curve = (letter, *turned)  # type: ignore[assignment]
    return made


def _relative(curves: Iterable[Curve]) -> list[Whole]:
    steps: list[Whole] = []
    here = start = (0, 0)
    for letter, *numbers in curves:
        if letter == "Z":
            steps.append(("z", ()))
            here = start
            continue
        points = [on_grid(float(n)) for n in numbers]
        steps.append(_step(str(letter), points, here) if steps else ("M", tuple(points)))
        here = (points[-2], points[-1])
        start = here if letter == "M" else start
    return steps


def _step(letter: str, points: Sequence[int], here: tuple[int, int]) -> Whole:
    moved = tuple(point - here[i % 2] for i, point in enumerate(points))
    if letter == "L" and moved[1] == 0:
        return "h", moved[:1]
    if letter == "L" and moved[0] == 0:
        return "v", moved[1:]
    return letter.lower(), moved


def _hundredths(value: int) -> str:
    whole, part = divmod(abs(value), GRID)
    digits = f"{whole or ''}.{part:02d}".rstrip("0") if part else str(whole)
    return f"-{digits}" if value < 0 else digits


def _joined(words: Sequence[str]) -> str:
    """Set a space only where two numbers would run into each other."""
    text = ""
    for word in words:
        text += f" {word}" if text and text[-1].isdigit() and word[0] not in "-Mmlhvcz" else word
    return text
