"""What makes the side look like a van: wheels, lines, glass, shade. Nothing here can be tapped."""

from __future__ import annotations

from sample_units.outline_van import side
from sample_units.outline_van.board import Board
from sample_units.outline_van.pen import Curve, arc, box, chain, circle, line, path, rounded
from sample_units.outline_van.wheel import wheel

SKIN = ("nose hood screen cap_low cap_high roof back bumper_rear rear_bumper_under rear_foot_aft rear_inner rear_foot_fore "
        "sill_under front_foot_aft front_inner front_foot_fore bumper_under")  # fmt: skip


def behind(b: Board) -> None:
    """Draw what lies under the skin, then the skin."""
    wells = [chain(arc(x, side.AXLE, side.INNER + 12, -14, 194), line(*_ends(x))) for x in side.AXLES]
    b.ink("trim", path("M 520 300 L 5500 300 L 5440 262 L 600 262 Z"), *wells)
    for x in side.AXLES:
        wheel(b, x)
    b.ink("body", chain(*(b.edges[name] for name in SKIN.split())))


def _ends(x: float) -> tuple[tuple[float, float], ...]:
    bow = arc(x, side.AXLE, side.INNER + 12, -14, 194)
    return bow.end, bow.start


def front(b: Board) -> None:
    """Draw everything on the skin, the lowest first."""
    _shade(b)
    _pressings(b)
    _shuts(b)
    _glass(b)
    _nose(b)
    _trim(b)
    _fittings(b)


def _shade(b: Board) -> None:
    e = b.edges
    belt = chain(*(e[f"belt_{n}"] for n in ("cab", "pillar", "slide", "panel")))
    b.ink("shade", _strip(belt, 0, -26))
    b.ink("shade", chain(e["sill_under"], line(e["sill_under"].start, (1500, 366)), line((1500, 366), (4470, 366)),
                         line((4470, 366), e["sill_under"].end)))  # fmt: skip
    b.ink("shade", path("M 96 236 C 52 262 14 400 6 560 C 150 470 330 440 520 452 L 518 300 C 420 262 220 232 96 236 Z"))
    b.ink("shade", path("M 5956 470 C 5800 452 5600 450 5442 456 L 5449 300 L 5900 300 C 5940 300 5956 318 5956 370 Z"))
    b.ink("shade", GUTTER_SHADE)


def _strip(curve: Curve, one: float, other: float) -> Curve:
    a, c = curve.shift(dz=one), curve.shift(dz=other)
    return chain(a, line(a.end, c.end), c.back(), line(c.start, a.start))


GUTTER = path("M 1985 2500 C 2120 2566 2260 2588 2440 2598 C 3200 2640 4900 2646 5560 2616 C 5680 2610 5740 2600 5822 2566")
GUTTER_SHADE = _strip(GUTTER, 0, -22)


def _pressings(b: Board) -> None:
    panel = box(4052, 1392, 5682, 1968, 80)
    b.ink("thin", panel, panel.grown(-20))
    b.ink("thin", line((4866, 1412), (4866, 1948)).shift(-18), line((4866, 1412), (4866, 1948)).shift(18))
    b.ink("thin", GUTTER, GUTTER.shift(dz=-24))
    b.ink("thin", *(b.edges[n] for n in ("belt_cab", "belt_pillar", "belt_slide", "belt_panel")))
    b.ink("thin", path("M 612 1186 C 860 1236 1200 1258 1540 1262"))
    b.ink("thin", b.edges["cantrail_split"].shift(dz=0))


def _shuts(b: Board) -> None:
    e = b.edges
    cab = chain(e["wing_door"], e["wing_frame"], e["frame"])
    b.ink("line", cab, chain(e["cab_low"], e["cab_high"]), chain(e["slide_low"], e["slide_high"]),
          chain(e["panel_low"], e["panel_high"]))  # fmt: skip
    b.ink("line", chain(*(e[n] for n in ("screen_top",))), chain(e["pillar_lower"], e["pillar_upper"]),
          chain(e["bumper_panel"], e["bumper_pillar"]), e["bumper_wing"])  # fmt: skip
    sill = chain(*(e[f"sill_{n}"] for n in ("wing", "cab", "b", "slide", "panel")))
    b.ink("line", sill)
    for end in ("front", "rear"):
        b.ink("line", *(e[n] for n in ARCHES[end]))
    b.ink("thin", arc(side.AXLES[0], side.AXLE, 470, 2, 178), arc(side.AXLES[1], side.AXLE, 470, 2, 178))
    b.ink("thin", e["wing_pillar"])
    b.ink("thin", line((1500, 366), (4470, 366)))
    b.ink("line", path("M 132 1056 C 300 1130 560 1262 900 1376 C 960 1394 1040 1396 1110 1396"))  # bonnet shut


ARCHES = {
    "front": ("sill_arch_front", "wing_arch", "bumper_arch"),
    "rear": ("rear_bumper_arch", "panel_arch", "sill_arch_rear"),
}


def _glass(b: Board) -> None:
    b.ink("trim", side.CAB_GLASS.grown(16), side.WINDOW.grown(16), QUARTER.grown(14))
    b.ink("glass", side.CAB_GLASS, side.WINDOW, QUARTER)
    b.ink("thin", line((1958, 1990), (1746, 1330)).shift(0))
    b.ink("thin", *_gleam(2160, 1400, 420), *_gleam(2890, 1450, 430))
    b.ink("glass", path("M 900 1416 C 1100 1628 1330 1858 1540 2058 L 1556 2062 C 1362 1862 1140 1640 924 1416 Z"))


QUARTER = rounded((1180, 1432, 26), (1490, 1424, 34), (1580, 1620, 200), (1640, 1800, 40), (1566, 1816, 60))


def _gleam(x: float, z: float, h: float) -> tuple[Curve, Curve]:
    return (line((x, z), (x + h * 0.52, z + h)), line((x + 74, z), (x + 74 + h * 0.36, z + h * 0.69)))


def _nose(b: Board) -> None:
    b.ink("lamp", side.LAMP)
    b.ink("thin", path("M 96 906 C 260 912 400 1040 520 1176"), circle(176, 968, 46), circle(176, 968, 30),
          circle(300, 1040, 38), circle(300, 1040, 24))  # fmt: skip
    b.ink("thin", path("M 8 600 C 180 610 420 596 560 560"))
    b.ink("trim", path("M 36 430 C 150 406 240 410 300 430 C 300 470 240 500 150 506 C 90 508 40 500 22 490 C 24 468 28 448 36 430 Z"))
    b.ink("thin", circle(196, 458, 26))
    b.ink("trim", box(430, 640, 470, 668, 10))


def _trim(b: Board) -> None:
    rail = rounded((side.SLIDE_END + 14, 1318, 10), (5560, 1322, 16), (5560, 1358, 16), (side.SLIDE_END + 14, 1354, 10))
    b.ink("trim", rail)
    b.ink("thin", line((side.SLIDE_END + 30, 1337), (5530, 1341)))
    for name, shape in side.MOULDINGS.items():
        b.ink("body", shape)
        x0, x1 = MOULDING_LINES[name]
        b.ink("thin", line((x0, side.HIGH - 26), (x1, side.HIGH - 26)), line((x0, side.LOW + 26), (x1, side.LOW + 26)))
    b.ink("trim", side.BOARD)
    b.ink("thin", *(line((x, 284), (x + 60, 284)) for x in range(2740, 3880, 96)), line((2712, 318), (3938, 318)))


MOULDING_LINES = {
    "cab_door": (1566, 2604), "sliding_door": (2706, 3928), "rear_panel": (3962, 4600), "rear_corner": (5330, 5770),
}  # fmt: skip


def _fittings(b: Board) -> None:
    storage = side.STORAGE
    b.ink("line", storage)
    b.ink("thin", storage.grown(-16))
    b.ink("trim", box(4100, 1150, 4150, 1176, 12), box(4290, 1150, 4340, 1176, 12))
    b.ink("thin", line((4040, 822), (4400, 822)))
    b.ink("line", side.FLAP)
    b.ink("thin", path("M 5650 1030 C 5640 1040 5640 1070 5650 1080"))
    for handle in (side.HANDLE, side.SLIDE_HANDLE):
        b.ink("shade", handle.grown(14))
        b.ink("body", handle)
        b.ink("thin", handle.grown(-14))
    b.ink("trim", *(circle(x, 1157, 9) for x in (2390,)))
    b.ink("thin", box(1560, 1094, 1600, 1200, 8), box(1560, 560, 1600, 610, 8))
    b.ink("lamp", box(5810, 1890, 5850, 1990, 14), box(2000, 690 - 420, 2001, 271, 0).shift(0) if False else box(5826, 700, 5872, 726, 10))
    b.ink("body", side.MIRROR)
    b.ink("thin", path("M 1538 1470 C 1600 1450 1680 1450 1730 1470"), path("M 1560 1404 L 1676 1404"))
    b.ink("lamp", box(1560, 1424, 1690, 1444, 8))
