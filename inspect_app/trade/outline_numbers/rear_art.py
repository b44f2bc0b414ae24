"""What makes the rear look like a van. Nothing here can be tapped."""

from __future__ import annotations

from dataclasses import replace

from inspect_app.trade.outline_numbers import rear
from inspect_app.trade.outline_numbers.board import Board
from inspect_app.trade.outline_numbers.ends import pair
from inspect_app.trade.outline_numbers.pen import Curve, box, chain, circle, line, path, rounded

SKIN = ("bumper_side", "pillar_side", "cap")


def behind(b: Board) -> None:
    """Draw what lies under the skin, then the skin."""
    e = b.edges
    b.ink("trim", box(-770, 226, 770, 330, 20), rounded((-60, 200, 10), (60, 200, 10), (90, 310, 10), (-90, 310, 10)))
    pair(b, "tyre", rounded((772, 4, 34), (988, 4, 44), (996, 420, 40), (772, 420, 40)).stiff(1030))
    pair(b, "thin", *(line((x, 8), (x, 296)).stiff(1030) for x in (818, 862, 906, 950)))
    b.ink("trim", box(-200, 2700, 200, 2748, 12).stiff(0, 2700))
    b.ink("body", chain(e["under"], *(e[f"{n}_l"] for n in SKIN), *(e[f"{n}_r"].back() for n in reversed(SKIN))))


def on_top(b: Board, brake: Curve) -> None:
    """Draw everything on the skin, the lowest first."""
    _bumper(b)
    _doors(b)
    _lamps(b)
    _roof(b, brake)


def _bumper(b: Board) -> None:
    b.ink(
        "shade",
        path(
            "M -1029 430 C -600 410 600 410 1029 430 L 1028 360 C 1024 312 980 300 900 300 L -900 300 "
            "C -980 300 -1024 312 -1028 360 Z"
        ),
    )
    b.ink(
        "line", chain(*(b.edges[n] for n in ("bumper_pillar_l", "bumper_door_l", "bumper_door_r", "bumper_pillar_r")))
    )
    b.ink("trim", rounded((-560, 540, 14), (560, 540, 14), (560, 590, 14), (-560, 590, 14)))
    b.ink("thin", *(line((x, 552), (x, 578)) for x in range(-520, 540, 52)))
    b.ink("thin", path("M -1030 470 C -600 452 600 452 1030 470"))
    pair(b, "trim", circle(330, 490, 15), circle(760, 496, 15))
    pair(b, "lamp", box(860, 384, 980, 414, 10))
    b.ink("trim", box(-40, 340, 40, 400, 12))


def _doors(b: Board) -> None:
    e = b.edges
    b.ink("shade", path("M -892 1284 L 892 1284 L 892 1260 L -892 1260 Z"))
    b.ink("thin", line((-892, 1284), (892, 1284)))
    pair(b, "thin", path("M 892 1284 C 940 1280 980 1272 1026 1262"))
    b.ink("line", chain(e["seam_lower"], e["seam_upper"]))
    pair(b, "line", chain(e["edge_lower_l"], e["edge_upper_l"]), e["pillar_cap_l"], e["door_cap_l"])
    pair(b, "trim", rear.WINDOW.grown(15))
    pair(b, "glass", rear.WINDOW)
    pair(b, "thin", rear.WINDOW.grown(-22))
    b.ink("thin", line((240, 1520), (440, 1920)), line((310, 1520), (442, 1784)))
    b.ink("thin", line((-620, 1520), (-420, 1920)), line((-550, 1520), (-418, 1784)))
    pair(b, "thin", box(96, 676, 800, 840, 40))
    b.ink("shade", box(140, 872, 720, 1060, 30).stiff(430, 956))
    b.ink("trim", box(300, 1030, 560, 1056, 10).stiff(430, 956))
    b.ink("body", rear.PLATE)
    b.ink("thin", rear.PLATE.grown(-12))
    b.ink("shade", rear.HANDLE.grown(16))
    b.ink("body", rear.HANDLE)
    b.ink("thin", line((-206, 948), (-84, 948)).stiff(-145, 960))
    b.ink("trim", circle(-36, 960, 9).stiff(-145, 960))
    for x, z in ((858, 740), (858, 1150), (846, 1640), (826, 2130)):
        hinge = rounded((x - 20, z, 8), (x + 46, z, 14), (x + 46, z + 72, 14), (x - 20, z + 72, 8))
        pair(b, "body", hinge.stiff(z=z + 36))
        pair(b, "thin", line((x + 28, z + 6), (x + 28, z + 66)).stiff(z=z + 36))


def _lamps(b: Board) -> None:
    pair(b, "lamp", rear.LAMP)
    pair(
        b,
        "thin",
        line((920, 930), (1002, 930)),
        line((920, 1060), (1002, 1060)),
        circle(960, 866, 26),
        circle(960, 1130, 26),
    )
    pair(b, "thin", line((920, 1190), (1002, 1190)))


def _roof(b: Board, brake: Curve) -> None:
    b.ink(
        "thin",
        path("M -826 2440 C -800 2540 -740 2580 -650 2592 C -440 2624 440 2624 650 2592 C 740 2580 800 2540 826 2440"),
    )
    low = min(piece.a[1] for piece in brake.pieces)
    ticks = (replace(line((x, low + 4), (x, low + 46)), placed=True) for x in (-60, 60))
    b.ink("lamp", brake)
    b.ink("thin", *ticks)
    b.ink("trim", replace(circle(0, low + 25, 16), hold=None, placed=True))
    pair(b, "lamp", box(640, 2480, 710, 2502, 10))
