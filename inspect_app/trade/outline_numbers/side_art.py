"""What makes the side look like a van: wheels, lines, glass, shade. Nothing here can be tapped."""

from __future__ import annotations

from dataclasses import replace

from inspect_app.trade.outline_numbers import side_edges as side
from inspect_app.trade.outline_numbers import side_shapes as shapes
from inspect_app.trade.outline_numbers.board import Board
from inspect_app.trade.outline_numbers.pen import Curve, arc, box, chain, circle, line, path, rounded, strip
from inspect_app.trade.outline_numbers.plan import Plan
from inspect_app.trade.outline_numbers.side_shapes import Shapes
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

FAN = path(
    "M 3560 2680 L 3590 2744 C 3592 2750 3598 2752 3606 2752 L 3914 2752 C 3922 2752 3928 2750 3930 2744 L 3960 2680 Z"
)
AERIAL = path("M 2150 2580 C 2170 2640 2196 2668 2250 2676 L 2262 2676 L 2280 2600 Z")
PRESSING = (4052.0, 1398.0, 5682.0, 1972.0)
SIDE_PRESSING = (2760.0, 1398.0, 3870.0, 1972.0)  # where the sliding door would have its window


def behind(b: Board, plan: Plan) -> None:
    """Draw what lies under the skin, then the skin."""
    b.ink("trim", _on_roof(FAN, 3760, 2690, plan))
    b.ink("trim", _on_roof(AERIAL, 2215, 2600, plan))
    bows = [arc(x, side.AXLE, side.INNER + 14, -6.6, 186.6) for x in side.AXLES]
    wells = [chain(bow, line(bow.end, bow.start)) for bow in bows]
    b.ink("trim", path("M 1010 304 L 5400 304 L 5340 258 L 1010 258 Z"), *wells)
    for _ in range(2):  # twice as deep a shade as on the skin
        b.ink("shade", *wells)
    for x in side.AXLES:
        wheel(b, x)
    b.ink("body", chain(*(b.edges[name] for name in SKIN.split())))


def _on_roof(curve: Curve, x: float, z: float, plan: Plan) -> Curve:
    """Return what stands on the roof where it stands seen from above, which is not quite over the same spot below."""
    return curve.shift(plan.over(x) - plan.along(x)).stiff(x, z)


def on_top(b: Board, own: Shapes) -> None:
    """Draw everything on the skin, the lowest first."""
    plan, slides = own.plan, own.plan.slides(b.id)
    _shade(b)
    _pressings(b, plan)
    _shuts(b, slides)
    _glass(b, slides)
    _nose(b)
    _trim(b, own, slides)
    _fittings(b, own, slides)


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


def _pressed(corners: tuple[float, float, float, float], plan: Plan) -> Curve:
    """Return a pressing in a panel, its corners as round on a long panel as on a short one."""
    left, low, right, high = corners
    return replace(box(plan.along(left), plan.up(low), plan.along(right), plan.up(high), 80), placed=True)


def _pressings(b: Board, plan: Plan) -> None:
    panels = [_pressed(one, plan) for one in ([PRESSING] if plan.slides(b.id) else [SIDE_PRESSING, PRESSING])]
    b.ink("thin", *(curve for panel in panels for curve in (panel, panel.grown(-20))))
    if plan.wide:  # where the body steps out from the cab
        b.ink("shade", chain(line((2657, 486), (2657, 2080), (2684, 2080), (2684, 486), (2657, 486))))
        b.ink("thin", line((2657, 486), (2657, 2080)))
    b.ink("thin", GUTTER, *(b.edges[name] for name in BELT), path("M 590 1240 C 860 1276 1200 1276 1540 1262"))
    b.ink("thin", b.edges["cantrail_split"])
    b.ink("thin", line((1500, 372), (4470, 372)), *(arc(x, side.AXLE, 470, -4, 184) for x in side.AXLES))


def _shuts(b: Board, slides: bool) -> None:
    e = b.edges
    doors = [("wing_door", "wing_frame", "frame"), ("cab_low", "cab_high")]
    seams = [("slide_low", "slide_high"), ("panel_low", "panel_high")]
    frame = ("pillar_lower", "pillar_upper")
    b.ink("line", *(chain(*(e[name] for name in names)) for names in (*doors, *(seams if slides else ()), frame)))
    if not slides:
        b.ink("thin", *(chain(*(e[name] for name in names)) for names in seams))
    roof = ("pillar_cantrail", "door_cantrail", "b_cantrail", "slide_cantrail", "panel_cantrail")
    b.ink("line", chain(*(e[name] for name in roof)), chain(*(e[name] for name in SILL)))
    b.ink("line", e["bumper_wing"], chain(e["bumper_panel"], e["bumper_pillar"]))
    b.ink("line", *(chain(*(e[name] for name in arch)) for arch in ARCHES))
    b.ink(
        "line", path("M 100 1114 C 250 1208 560 1346 862 1420 C 930 1436 1000 1436 1080 1431")
    )  # the bonnet's side shut
    b.ink("thin", e["wing_pillar"])


def _glass(b: Board, slides: bool) -> None:
    panes = (shapes.CAB_GLASS, *([shapes.WINDOW] if slides else []), QUARTER)
    b.ink("trim", *(pane.grown(15) for pane in panes))
    b.ink(
        "glass", *panes, path("M 868 1462 C 1090 1658 1330 1868 1540 2058 L 1562 2060 C 1366 1872 1140 1672 906 1460 Z")
    )
    seal, gleam = ([box(2796, 1397, 3841, 1959, 52)], _gleam(2900, 1470, 400)) if slides else ([], ())
    b.ink("thin", line((1972, 1991), (1752, 1333)), *seal)
    b.ink("thin", *_gleam(2130, 1440, 400), *gleam)


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


def _trim(b: Board, own: Shapes, slides: bool) -> None:
    if slides:
        b.ink("trim", *_rail(own.plan)[:1])
        b.ink("thin", *_rail(own.plan)[1:])
    middle = "sliding_door" if slides else "side_panel"
    b.ink("body", *(own.moulding(name) for name in ("cab_door", middle, "rear_panel", "rear_corner")))
    low, high = own.plan.mouldings
    for z in (high - 26, low + 26):
        before, behind_it = own.beside_arch(z, away=36), own.beside_arch(z, rear=True, away=36)
        ends = ((1572, 2598), (2712, 3922), (3968, before), (behind_it, 5766))
        b.ink("thin", *(line((x0, z), (x1, z)) for x0, x1 in ends))
    if slides:
        b.ink("trim", shapes.STEP)
        b.ink("thin", line((2716, 320), (3934, 320)), *(line((x, 288), (x + 56, 288)) for x in range(2750, 3880, 96)))


def _rail(plan: Plan) -> tuple[Curve, Curve]:
    """Return the rail of the sliding door's rear roller, at most a third longer than the door, and its groove."""
    up, start = plan.up, plan.along(side.SLIDE_END) + 14
    end = min(plan.along(5560), start + 1.3 * (plan.along(side.SLIDE_END) - plan.along(side.SLIDE)))
    foot, rise = up(1318), up(1352) - up(1318)
    rail = rounded((start, foot, 10), (end, foot + 4, 16), (end, foot + 4 + rise, 16), (start, foot + rise, 10))
    groove = line((start + 16, foot + rise / 2), (end - 24, foot + rise / 2 + 4))
    return replace(rail, placed=True), replace(groove, placed=True)


def _fittings(b: Board, own: Shapes, slides: bool) -> None:
    _flaps(b, own)
    handles = [shapes.HANDLE, shapes.SLIDE_HANDLE] if slides else [shapes.HANDLE]
    b.ink("shade", *(handle.grown(16) for handle in handles))
    b.ink("body", *handles)
    grips = [line((2440, 1146), (2564, 1146)).stiff(side.DOOR_END, 1157)]
    grips += [line((2746, 1146), (2870, 1146)).stiff(side.SLIDE, 1157)] if slides else []
    b.ink("thin", *grips)
    hinges = box(1542, 1110, 1562, 1196, 6), box(1542, 540, 1562, 606, 6)
    b.ink("trim", circle(2388, 1157, 10).stiff(side.DOOR_END, 1157), *hinges)
    b.ink("lamp", rounded((5872, 806, 8), (5913, 806, 4), (5905, 1240, 8), (5872, 1240, 20)))
    b.ink("lamp", box(2010, 392, 2078, 410, 8), box(4560, 870, 4628, 888, 8))
    b.ink("body", shapes.MIRROR)
    b.ink("thin", path("M 1545 1500 C 1600 1482 1660 1482 1702 1500"), line((1562, 1404), (1660, 1404)))
    b.ink("lamp", rounded((1566, 1430, 8), (1680, 1430, 8), (1682, 1448, 8), (1568, 1448, 8)))


def _flaps(b: Board, own: Shapes) -> None:
    """Draw the doors in the panel: storage and fuel or inlet."""
    b.ink("line", own.storage, shapes.FLAP)
    finger = path("M 5652 1036 C 5644 1046 5644 1066 5652 1076").stiff(side.PILLAR, 1055)
    b.ink("thin", own.storage.grown(-16), shapes.FLAP.grown(-10), finger)
    foot = own.plan.storage
    locks = circle(4116, 1160, 15).stiff(side.SLIDE_END, 1160), circle(4324, 1160, 15).stiff(side.SLIDE_END, 1160)
    hinges = box(4080, foot - 6, 4150, foot + 8, 6), box(4290, foot - 6, 4360, foot + 8, 6)
    b.ink("trim", *locks, *(hinge.stiff(side.SLIDE_END) for hinge in hinges))
