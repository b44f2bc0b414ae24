"""The edges between the zones of a side, each drawn once and cut where others meet it.

All in our own van's millimetres: a plan bends them afterwards, and what is shared stays shared.
"""

from __future__ import annotations

import math
from functools import lru_cache

from inspect_app.trade.outline_numbers.pen import Curve, Piece, Point, arc, chain, line, path
from inspect_app.trade.outline_numbers.plan import Plan

AXLES = (1010.0, 4960.0)
AXLE = 350.0
INNER = 422.0  # mm: the radius of the wheel arch opening; that of its trim is the plan's
DOOR, DOOR_END, SLIDE, SLIDE_END, PILLAR = 1540.0, 2625.0, 2685.0, 3945.0, 5790.0
SILL, FLOOR, BUMPER = 480.0, 300.0, 600.0
FRAME_TOP, BASE = 1850.0, 1396.0  # where the door frame meets the cantrail, and the wing the A-pillar

NOSE = path("M 96 268 C 52 296 20 410 10 560 C 4 660 8 730 20 800")
HOOD = path("M 20 800 C 30 920 42 1030 84 1096 C 150 1192 470 1352 836 1446")
SCREEN = path("M 836 1446 C 1060 1650 1320 1876 1548 2072")
CAP = path("M 1548 2072 C 1690 2208 1800 2380 1916 2478 C 2030 2572 2190 2618 2420 2640")
ROOF = path("M 2420 2640 C 3100 2702 4800 2712 5560 2672 C 5700 2664 5768 2650 5812 2588")
BACK = path("M 5812 2588 C 5846 2530 5858 2420 5868 2300 C 5892 1900 5916 1200 5922 600")
CANTRAIL = path("M 1548 2072 C 2600 2092 4700 2096 5990 2066")
SPLIT = path("M 1400 2190 C 2600 2216 4700 2216 5990 2190")  # where the class changes: about 2.2 m above the ground
BELT = path("M 1540 1262 C 2400 1278 4400 1288 5990 1284")
BUMPER_WING = path("M 20 800 C 200 808 430 790 640 690")
FRAME = path("M 1540 1262 L 1540 1400 C 1540 1500 1600 1640 1700 1850 C 1752 1960 1776 2060 1850 2078")


@lru_cache(maxsize=4)
def edges(plan: Plan) -> dict[str, Curve]:
    """Return all edges between zones, each once, named for what lies on either side."""
    e, split = {"nose": NOSE, "hood": HOOD, "screen": SCREEN}, SPLIT.shift(dz=plan.split_rise)
    e["cap_low"], e["cap_high"] = CAP.cut(z=_split_start(split))
    high = _begun_at(split, e["cap_high"].start)
    e["cantrail_split"] = high.cut(x=PILLAR)[0]
    e["roof"], corner = ROOF.cut(x=PILLAR)
    e["back"] = chain(corner, BACK)
    return e | _rear(corner.start[1], high) | _doors() | _arches(plan.outer) | _lower(plan.outer)


def height(curve: Curve, x: float) -> float:
    """Return how high a curve runs at an upright."""
    return curve.cut(x=x)[0].end[1]


def _split_start(split: Curve) -> float:
    """Find the height at which the level of the split meets the front of the cap, step by step."""
    x = 1680.0
    for _ in range(30):
        z = height(split, x)
        x = CAP.cut(z=z)[0].end[0]
    return z


def _begun_at(curve: Curve, start: Point) -> Curve:
    rest = curve.cut(x=start[0] + 30)[1]
    return chain(line(start, rest.start), rest)


def _rear(top: float, split: Curve) -> dict[str, Curve]:
    names = ("pillar_lower", "pillar_upper", "pillar_rail", "pillar_top")
    levels = (BUMPER, height(BELT, PILLAR), height(CANTRAIL, PILLAR), height(split, PILLAR), top)
    uprights = {n: line((PILLAR, a), (PILLAR, b)) for n, a, b in zip(names, levels, levels[1:], strict=False)}
    corner = path("M 5922 600 C 5948 598 5956 580 5956 540 L 5956 370 C 5956 318 5940 300 5900 300")
    return uprights | {"bumper_rear": corner, "bumper_pillar": line((PILLAR, BUMPER), (5922, BUMPER))}


def _doors() -> dict[str, Curve]:
    e = {
        "wing_door": line((DOOR, SILL), (DOOR, 1262)),
        "wing_pillar": path("M 836 1446 C 1060 1442 1380 1412 1540 1396"),
    }
    e["wing_frame"], frame = FRAME.cut(z=BASE)
    e["pillar_cantrail"], rail = CANTRAIL.cut(x=FRAME_TOP)
    last = frame.pieces[-1]
    e["frame"] = Curve((*frame.pieces[:-1], Piece(last.a, rail.start, last.handles)))
    belt = BELT
    for name, end in (("door", DOOR_END), ("b", SLIDE), ("slide", SLIDE_END), ("panel", PILLAR)):
        e[f"{name}_cantrail"], rail = rail.cut(x=end)
        e[f"{name}_belt"], belt = belt.cut(x=end)
    for name, x in (("cab", DOOR_END), ("slide", SLIDE), ("panel", SLIDE_END)):
        middle = (x, height(BELT, x))
        e[f"{name}_low"], e[f"{name}_high"] = line((x, SILL), middle), line(middle, (x, height(CANTRAIL, x)))
    return e


def _arch(axle: float, radius: float) -> Curve:
    """Return a wheel arch from the floor line behind the wheel over its top to the floor line before it."""
    below = math.degrees(math.asin((AXLE - FLOOR) / radius))
    return arc(axle, AXLE, radius, -below, 180 + below)


def _arches(outer: float) -> dict[str, Curve]:
    e: dict[str, Curve] = {}
    for name, axle in zip(("front", "rear"), AXLES, strict=True):
        inner, trim = _arch(axle, INNER), _arch(axle, outer)
        e[f"{name}_inner"] = inner
        e[f"{name}_foot_aft"], e[f"{name}_foot_fore"] = line(inner.start, trim.start), line(inner.end, trim.end)
    return e


def _lower(outer: float) -> dict[str, Curve]:
    e: dict[str, Curve] = {}
    e["sill_arch_front"], rest = _arch(AXLES[0], outer).cut(z=SILL)
    e["wing_arch"], e["bumper_arch"] = rest.cut(x=_nearest(rest, BUMPER_WING.end)[0])
    e["bumper_wing"] = Curve((Piece(BUMPER_WING.start, e["wing_arch"].end, BUMPER_WING.pieces[0].handles),))
    foot = e["bumper_arch"].end
    e["bumper_under"] = path(f"M 96 268 C 220 252 420 286 {foot[0]} {foot[1]}")
    e["rear_bumper_arch"], rest = _arch(AXLES[1], outer).cut(z=BUMPER)
    e["sill_arch_rear"], e["panel_arch"] = rest.back().cut(z=SILL)
    e["bumper_panel"] = line(e["rear_bumper_arch"].end, (PILLAR, BUMPER))
    e["rear_bumper_under"] = line(e["rear_bumper_arch"].start, (5900, FLOOR))
    e["sill_under"] = line(e["sill_arch_front"].start, e["sill_arch_rear"].start)
    sill = line(e["sill_arch_front"].end, e["sill_arch_rear"].end)
    for name, x in (("wing", DOOR), ("cab", DOOR_END), ("b", SLIDE), ("slide", SLIDE_END)):
        e[f"sill_{name}"], sill = sill.cut(x=x)
    return e | {"sill_panel": sill}


def _nearest(curve: Curve, to: Point) -> Point:
    points = [piece.at(i / 400) for piece in curve.pieces for i in range(401)]
    return min(points, key=lambda p: math.dist(p, to))
