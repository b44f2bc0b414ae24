"""What makes the side look like a van: wheels, lines, glass, shade. Nothing here can be tapped."""

from __future__ import annotations

from inspect_app.trade.outline_numbers import side_edges as side
from inspect_app.trade.outline_numbers import side_shapes as shapes
from inspect_app.trade.outline_numbers.board import Board
from inspect_app.trade.outline_numbers.pen import Curve, arc, box, chain, circle, line, path, rounded, strip
from inspect_app.trade.outline_numbers.wheel import wheel

SKIN = (
    "nose hood screen cap_low cap_high roof back bumper_rear rear_bumper_under rear_foot_aft rear_inner rear_foot_fore "
    "sill_under front_foot_aft front_inner front_foot_fore bumper_under"
)
BELT = ("door_belt", "b_belt", "slide_belt", "panel_belt")
SILL = ("sill_wing", "sill_cab", "sill_b", "sill_slide", "sill_panel")
ARCHES = (("sill_arch_front", "wing_arch", "bumper_arch"), ("rear_bumper_arch", "panel_arch", "sill_arch_rear"))
GUTTER = path(
    "M 1985 2500 C 2120 2566 2260 2588 2440 2598 C 3200 2640 4900 2646 5560 2616 C 5680 2610 5740 2600 5822 2566"
)
QUARTER = rounded((1172, 1466, 30), (1490, 1440, 34), (1566, 1620, 200), (1634, 1780, 36), (1570, 1804, 70))


def behind(b: Board) -> None:
    """Draw what lies under the skin, then the skin."""
    b.ink(
        "trim",
        path(
            "M 3560 2680 L 3590 2744 C 3592 2750 3598 2752 3606 2752 L 3914 2752 C 3922 2752 3928 2750 3930 2744 "
            "L 3960 2680 Z"
        ),
    )
    b.ink("trim", path("M 2150 2580 C 2170 2640 2196 2668 2250 2676 L 2262 2676 L 2280 2600 Z"))
    bows = [arc(x, side.AXLE, side.INNER + 14, -6.6, 186.6) for x in side.AXLES]
    wells = [chain(bow, line(bow.end, bow.start)) for bow in bows]
    b.ink("trim", path("M 1010 304 L 5400 304 L 5340 258 L 1010 258 Z"), *wells)
    for _ in range(2):  # twice as deep a shade as on the skin
        b.ink("shade", *wells)
    for x in side.AXLES:
        wheel(b, x)
    b.ink("body", chain(*(b.edges[name] for name in SKIN.split())))


def on_top(b: Board) -> None:
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
    b.ink("shade", strip(chain(*(e[name] for name in BELT)), -24))
    b.ink("shade", path("M 590 1240 C 860 1276 1200 1276 1540 1262 L 1540 1238 C 1200 1256 860 1258 590 1240 Z"))
    b.ink("shade", strip(GUTTER, -26))
    b.ink("shade", chain(e["sill_under"], line(e["sill_under"].start, (1500, 372), (4470, 372), e["sill_under"].end)))
    b.ink(
        "shade", path("M 10 560 C 150 470 330 446 519 462 L 518 300 C 420 286 220 252 96 268 C 52 296 20 410 10 560 Z")
    )
    b.ink("shade", path("M 5956 470 C 5800 452 5600 450 5442 456 L 5449 300 L 5900 300 C 5940 300 5956 318 5956 370 Z"))
    b.ink(
        "trim", path("M 96 268 C 74 282 58 310 46 346 C 200 326 380 334 519 356 L 518 300 C 420 286 220 252 96 268 Z")
    )


def _pressings(b: Board) -> None:
    panel = box(4052, 1398, 5682, 1972, 80)
    b.ink("thin", panel, panel.grown(-20))
    b.ink("thin", GUTTER, *(b.edges[name] for name in BELT), path("M 590 1240 C 860 1276 1200 1276 1540 1262"))
    b.ink("thin", b.edges["cantrail_split"])
    b.ink("thin", line((1500, 372), (4470, 372)), *(arc(x, side.AXLE, 470, -4, 184) for x in side.AXLES))


def _shuts(b: Board) -> None:
    e = b.edges
    doors = (
        ("wing_door", "wing_frame", "frame"),
        ("cab_low", "cab_high"),
        ("slide_low", "slide_high"),
        ("panel_low", "panel_high"),
        ("pillar_lower", "pillar_upper"),
    )
    b.ink("line", *(chain(*(e[name] for name in names)) for names in doors))
    roof = ("pillar_cantrail", "door_cantrail", "b_cantrail", "slide_cantrail", "panel_cantrail")
    b.ink("line", chain(*(e[name] for name in roof)), chain(*(e[name] for name in SILL)))
    b.ink("line", e["bumper_wing"], chain(e["bumper_panel"], e["bumper_pillar"]))
    b.ink("line", *(chain(*(e[name] for name in arch)) for arch in ARCHES))
    b.ink(
        "line", path("M 100 1114 C 250 1208 560 1346 862 1420 C 930 1436 1000 1436 1080 1431")
    )  # the bonnet's side shut
    b.ink("thin", e["wing_pillar"])


def _glass(b: Board) -> None:
    panes = (shapes.CAB_GLASS, shapes.WINDOW, QUARTER)
    b.ink("trim", *(pane.grown(15) for pane in panes))
    b.ink(
        "glass", *panes, path("M 868 1462 C 1090 1658 1330 1868 1540 2058 L 1562 2060 C 1366 1872 1140 1672 906 1460 Z")
    )
    b.ink("thin", line((1972, 1991), (1752, 1333)), box(2796, 1397, 3841, 1959, 52))
    b.ink("thin", *_gleam(2130, 1440, 400), *_gleam(2900, 1470, 400))


def _gleam(x: float, z: float, h: float) -> tuple[Curve, Curve]:
    return line((x, z), (x + h * 0.5, z + h)), line((x + 70, z), (x + 70 + h * 0.33, z + h * 0.66))


def _nose(b: Board) -> None:
    b.ink("lamp", shapes.LAMP)
    b.ink(
        "thin",
        path("M 66 944 C 220 944 400 1086 540 1246"),
        circle(158, 1034, 56),
        circle(158, 1034, 38),
        circle(298, 1110, 44),
        circle(298, 1110, 28),
    )
    b.ink("thin", path("M 11 640 C 180 652 420 640 590 598"), path("M 10 560 C 150 470 330 446 519 462"))
    b.ink("lamp", rounded((392, 690, 8), (470, 678, 8), (470, 700, 8), (392, 712, 8)))
    b.ink("trim", circle(300, 556, 15))


def _trim(b: Board) -> None:
    start = side.SLIDE_END + 14
    b.ink("trim", rounded((start, 1318, 10), (5560, 1322, 16), (5560, 1356, 16), (start, 1352, 10)))
    b.ink("thin", line((start + 16, 1335), (5536, 1339)))
    b.ink("body", *shapes.MOULDINGS.values())
    for z in (shapes.HIGH - 26, shapes.LOW + 26):
        before, behind_it = shapes.beside_arch(z, away=36), shapes.beside_arch(z, rear=True, away=36)
        ends = ((1572, 2598), (2712, 3922), (3968, before), (behind_it, 5766))
        b.ink("thin", *(line((x0, z), (x1, z)) for x0, x1 in ends))
    b.ink("trim", shapes.STEP)
    b.ink("thin", line((2716, 320), (3934, 320)), *(line((x, 288), (x + 56, 288)) for x in range(2750, 3880, 96)))


def _fittings(b: Board) -> None:
    b.ink("line", shapes.STORAGE, shapes.FLAP)
    b.ink(
        "thin", shapes.STORAGE.grown(-16), shapes.FLAP.grown(-10), path("M 5652 1036 C 5644 1046 5644 1066 5652 1076")
    )
    b.ink(
        "trim",
        circle(4116, 1160, 15),
        circle(4324, 1160, 15),
        box(4080, 800, 4150, 814, 6),
        box(4290, 800, 4360, 814, 6),
    )
    b.ink("shade", shapes.HANDLE.grown(16), shapes.SLIDE_HANDLE.grown(16))
    b.ink("body", shapes.HANDLE, shapes.SLIDE_HANDLE)
    b.ink("thin", line((2440, 1146), (2564, 1146)), line((2746, 1146), (2870, 1146)))
    b.ink("trim", circle(2388, 1157, 10), box(1542, 1110, 1562, 1196, 6), box(1542, 540, 1562, 606, 6))
    b.ink("lamp", rounded((5872, 806, 8), (5913, 806, 4), (5905, 1240, 8), (5872, 1240, 20)))
    b.ink("lamp", box(2010, 392, 2078, 410, 8), box(4560, 870, 4628, 888, 8))
    b.ink("body", shapes.MIRROR)
    b.ink("thin", path("M 1545 1500 C 1600 1482 1660 1482 1702 1500"), line((1562, 1404), (1660, 1404)))
    b.ink("lamp", rounded((1566, 1430, 8), (1680, 1430, 8), (1682, 1448, 8), (1568, 1448, 8)))
