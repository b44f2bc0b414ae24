"""What front and rear have in common: the outline of a flank, and how half a drawing becomes a whole one."""

from __future__ import annotations

from collections.abc import Callable

from inspect_app.trade.outline_numbers.board import Board
from inspect_app.trade.outline_numbers.pen import Curve, chain, path


def flank(wide: bool = False) -> Curve:
    """The van's left outline seen from an end, from under the bumper up to the middle of the roof.

    That of a wide body stands more upright: room inside is what it is built for.
    """
    if wide:
        return path(
            "M 800 244 C 880 246 948 258 972 300 C 1000 380 1018 600 1026 800 C 1031 1000 1032 1150 1030 1262 "
            "C 1026 1560 1014 1860 1002 2072 C 992 2230 982 2360 966 2470 C 950 2580 900 2640 780 2664 "
            "C 600 2696 240 2700 0 2700"
        )
    return path(
        "M 800 244 C 880 246 948 258 972 300 C 1000 380 1016 600 1022 800 C 1028 1000 1030 1150 1026 1262 "
        "C 1018 1560 992 1860 966 2072 C 950 2230 936 2360 918 2470 C 900 2580 850 2634 740 2660 "
        "C 560 2694 240 2700 0 2700"
    )


def mirrored(curve: Curve) -> Curve:
    """The same curve on the van's other side."""
    return curve.moved(lambda x, z: (-x, z))


def across(curve: Curve) -> Curve:
    """The same curve, seen from above, on the van's other side."""
    return curve.moved(lambda x, z: (x, -z))


# Each side with what turns a shape drawn for the left into its own.
SIDES: tuple[tuple[str, Callable[[Curve], Curve]], ...] = (("left", lambda curve: curve), ("right", mirrored))


def halves(half: dict[str, Curve]) -> dict[str, Curve]:
    """Return the edges of the whole: what starts on the middle line joined to its mirror, all else as _l and _r."""
    whole: dict[str, Curve] = {}
    for name, curve in half.items():
        if abs(curve.start[0]) < 0.01:
            whole[name] = chain(mirrored(curve).back(), curve)
        else:
            whole[f"{name}_l"], whole[f"{name}_r"] = curve, mirrored(curve)
    return whole


def all_round(names: str) -> str:
    """Name the edges all round something in the middle: across, up the left, across, down the right."""
    low, side, high = names.split()
    return f"{low} {side}_l {high} {side}_r"


def on_side(side: str, names: str) -> str:
    """Name the edges of one side, l or r."""
    return " ".join(f"{name}_{side}" for name in names.split())


def pair(b: Board, kind: str, *curves: Curve) -> None:
    """Draw curves and their mirrors."""
    b.ink(kind, *curves, *(mirrored(curve) for curve in curves))
