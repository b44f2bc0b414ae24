"""What makes the roof look like a van from above. Nothing here can be tapped."""

from __future__ import annotations

from itertools import pairwise

from inspect_app.trade.outline_numbers import roof
from inspect_app.trade.outline_numbers.board import Board
from inspect_app.trade.outline_numbers.ends import across
from inspect_app.trade.outline_numbers.pen import Curve, box, chain, circle, line, path
from inspect_app.trade.outline_numbers.plan import Plan

# The waist of the van, wider than the roof, and the nose: seen from above but looked at in other views, so only hinted.
WAIST = path(
    "M 5956 0 C 5956 500 5956 900 5930 980 C 5910 1026 5860 1026 5800 1026 L 1000 1024 C 600 1016 330 980 200 860 "
    "C 80 720 10 400 10 0"
)
SCREEN = path("M 1480 0 C 1480 300 1510 560 1572 748 L 1010 880 C 880 640 836 300 836 0")


def behind(b: Board, plan: Plan) -> None:
    """Draw the ghost of nose and waist, then the skin of the roof."""
    e, waist = b.edges, _waist(plan)
    whole = chain(waist, across(waist))
    mirror = path(
        "M 1540 1010 C 1560 1060 1570 1090 1572 1120 C 1570 1180 1580 1270 1610 1288 C 1650 1296 1680 1290 1690 1260 "
        "C 1700 1200 1696 1120 1680 1090 C 1640 1080 1610 1060 1600 1010 Z"
    )
    mirror = mirror.shift(dz=1024 * (_cab(plan) - 1))
    b.ink("body", mirror, across(mirror), whole)
    b.ink("shade", mirror, across(mirror), whole)
    screen = SCREEN.moved(lambda x, z: (x, z * _cab(plan)))
    b.ink("glass", chain(screen, across(screen), line(screen.start, across(screen).start)))
    _ghost(b, plan)
    skin = ("front", "gutter_right", "rear", "gutter_left")
    b.ink("body", chain(*(e[name] for name in skin)))


def _waist(plan: Plan) -> Curve:
    """Return the waist on the van's right; before a wide body its cab is narrower."""
    if not plan.wide:
        return WAIST
    cab = _cab(plan)
    return path(
        "M 5956 0 C 5956 500 5956 900 5930 980 C 5910 1026 5860 1028 5800 1028 L 2800 1028 "
        f"C 2740 1028 2700 {1024 * cab} 2640 {1024 * cab} L 1000 {1024 * cab} "
        f"C 600 {1016 * cab} 330 {980 * cab} 200 {860 * cab} C 80 {720 * cab} 10 400 10 0"
    )


def _cab(plan: Plan) -> float:
    """Return how wide the cab is for each mm of the body."""
    return plan.across_cab(1030) / plan.across(1030)


def _ghost(b: Board, plan: Plan) -> None:
    cab = _cab(plan)
    lines = (
        path("M 830 0 C 830 340 880 680 1000 900"),
        path("M 84 0 C 84 320 130 660 236 780 C 330 886 660 910 1000 900"),
        path("M 1000 900 C 1150 960 1400 1000 1600 1010"),
        path("M 1690 906 C 1800 980 1900 1010 2060 1024"),
        path("M 150 0 C 150 260 190 480 290 580 C 400 690 700 726 935 744"),
    )
    narrow = [curve.moved(lambda x, z: (x, z * cab)) for curve in lines]
    b.ink("thin", *narrow, *(across(curve) for curve in narrow))


def on_top(b: Board) -> None:
    """Draw everything on the skin, the lowest first."""
    e = b.edges
    ribs: list[Curve] = []
    for x0, x1 in pairwise(roof.BAYS):
        ribs += [box(x0 + 70, z - 26, x1 - 70, z + 26, 26) for z in (-640, -430, -220, 220, 430, 640)]
    b.ink("thin", *ribs)
    b.ink("line", *(chain(e[f"cross_{i}_left"], e[f"cross_{i}_right"], *_gutter_ends(b, i)) for i in range(4)))
    b.ink("thin", line((roof.BAYS[0], 0), (roof.BAYS[-1], 0)))
    for s in ("left", "right"):
        b.ink("line", chain(*(e[f"inner_{i}_{s}"] for i in (1, 2, 3))))
        sign = -1 if s == "left" else 1
        b.ink("thin", line((roof.BAYS[0], sign * 922), (roof.BAYS[-1], sign * 922)))
    _cap(b)
    _fittings(b)


def _gutter_ends(b: Board, i: int) -> tuple[Curve, ...]:
    if i not in (0, 3):
        return ()
    return (b.edges["front_gutter_right" if i == 0 else "rear_gutter_right"],)


def _cap(b: Board) -> None:
    b.ink(
        "thin",
        path("M 1890 -860 C 1780 -850 1700 -800 1676 -700 C 1600 -380 1600 380 1676 700 C 1700 800 1780 850 1890 860"),
    )
    b.ink(
        "thin",
        path("M 5620 -860 C 5720 -850 5770 -800 5780 -700 C 5796 -380 5796 380 5780 700 C 5770 800 5720 850 5620 860"),
    )
    b.ink("lamp", box(5846, -150, 5874, 150, 8))


def _fittings(b: Board) -> None:
    for z in (-786, 786):
        b.ink("trim", box(2120, z - 20, 5400, z + 20, 18))
        b.ink("thin", line((2150, z), (5370, z)))
        b.ink("trim", *(box(x, z - 30, x + 90, z + 30, 14).stiff(x + 45) for x in (2180, 3215, 4250, 5250)))
    b.ink("trim", roof.FAN.grown(22))
    b.ink("body", roof.FAN.grown(-6))
    b.ink(
        "thin",
        roof.FAN.grown(-34),
        circle(3760, 0, 132),
        circle(3760, 0, 40),
        *(line((3720, z), (3800, z)).stiff(3760, 0) for z in (-14, 0, 14)),
    )
    b.ink("trim", roof.AERIAL)
    b.ink("thin", line((1716, 0), (1806, 0)).stiff(1760, 0))
