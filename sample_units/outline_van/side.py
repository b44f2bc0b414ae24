"""The left side of the van, nose to the left; the right side is the same drawing turned over."""

from __future__ import annotations

from sample_units.outline_van import side_art
from sample_units.outline_van.board import Board
from sample_units.outline_van.pen import Curve, arc, box, chain, line, path, rounded

AXLES = (1010.0, 4960.0)
AXLE = 350.0
INNER, OUTER = 422.0, 492.0  # mm: wheel arch opening and the outer edge of its trim
DOOR, DOOR_END, SLIDE, SLIDE_END, PILLAR = 1540.0, 2625.0, 2685.0, 3945.0, 5790.0
SILL, FLOOR, BUMPER = 480.0, 300.0, 600.0


def draw(side: str) -> Board:
    """Return the finished board of the `left` or `right` side."""
    left = side == "left"
    board = Board(id=side, label=f"{side.capitalize()} side", width=6150, height=2860, nose=side,
                  centre=100 if left else 6050, mirrored=not left)  # fmt: skip
    board.edges = edges()
    side_art.behind(board)
    _base(board, side)
    _overlays(board, side)
    board.meet()
    _more_joints(board, side)
    side_art.on_top(board)
    return board


def edges() -> dict[str, Curve]:
    """All edges between zones, each once, named for what lies on either side."""
    e: dict[str, Curve] = {}
    nose = path("M 96 268 C 52 296 20 410 10 560 C 4 660 8 730 20 800")
    hood = path("M 20 800 C 30 920 42 1030 84 1096 C 150 1192 470 1352 836 1446")
    screen = path("M 836 1446 C 1060 1650 1320 1876 1548 2072")
    cap = path("M 1548 2072 C 1690 2208 1800 2380 1916 2478 C 2030 2572 2190 2618 2420 2640")
    roof = path("M 2420 2640 C 3100 2702 4800 2712 5560 2672 C 5700 2664 5768 2650 5812 2588")
    back = path("M 5812 2588 C 5846 2530 5858 2420 5868 2300 C 5892 1900 5916 1200 5922 600")
    e["nose"], e["hood"], e["screen"] = nose, hood, screen
    low, high = path("M 1548 2072 C 2600 2092 4700 2096 5990 2066"), path("M 1400 2190 C 2600 2216 4700 2216 5990 2190")
    e["screen_top"] = low.cut(x=PILLAR)[0]
    e["cap_low"], cap_high = cap.cut(z=_height(high, cap))
    high = line_from(high, cap_high.start)
    e["cantrail_split"] = high.cut(x=PILLAR)[0]
    e["cap_high"] = cap_high
    e["roof"], roof_end = roof.cut(x=PILLAR)
    upright = line((PILLAR, BUMPER), (PILLAR, roof_end.start[1]))
    _rear(e, upright, chain(roof_end, back), low, high)
    _doors(e, low)
    _lower(e)
    return e


def _height(high: Curve, cap: Curve) -> float:
    """The height at which the level of the split meets the front of the cap."""
    x = 1680.0
    for _ in range(30):
        z = high.cut(x=x)[0].end[1]
        x = cap.cut(z=z)[0].end[0]
    return z


def line_from(curve: Curve, start: tuple[float, float]) -> Curve:
    """The curve from the upright through `start` on, begun exactly there."""
    return Curve(chain(line(start, curve.cut(x=start[0] + 30)[1].start), curve.cut(x=start[0] + 30)[1]).pieces)


def _rear(e: dict[str, Curve], upright: Curve, back: Curve, low: Curve, high: Curve) -> None:
    belt = BELT.cut(x=PILLAR)[0].end[1]
    e["pillar_lower"], rest = upright.cut(z=belt)
    e["pillar_upper"], rest = rest.cut(z=low.cut(x=PILLAR)[0].end[1])
    e["pillar_rail"], e["pillar_top"] = rest.cut(z=high.cut(x=PILLAR)[0].end[1])
    e["back"] = back
    e["bumper_rear"] = path(f"M 5922 {BUMPER} C 5948 598 5956 580 5956 540 L 5956 370 C 5956 318 5940 300 5900 300")
    e["bumper_pillar"] = line((PILLAR, BUMPER), (5922, BUMPER))


BELT = path("M 1540 1262 C 2400 1278 4400 1288 5990 1284")


def _doors(e: dict[str, Curve], low: Curve) -> None:
    belts = [BELT.cut(x=x)[0].end[1] if x > DOOR else 1262.0 for x in (DOOR, DOOR_END, SLIDE, SLIDE_END)]
    e["belt_cab"] = BELT.cut(x=DOOR_END)[0]
    e["belt_pillar"] = BELT.between(x=(DOOR_END, SLIDE))
    e["belt_slide"] = BELT.between(x=(SLIDE, SLIDE_END))
    e["belt_panel"] = BELT.between(x=(SLIDE_END, PILLAR))
    frame = path(f"M {DOOR} 1262 L {DOOR} 1400 C {DOOR} 1500 1600 1640 1700 1850 C 1752 1960 1776 2060 1850 2078")
    top = low.cut(x=1850.0)
    e["wing_door"] = line((DOOR, SILL), (DOOR, 1262))
    wing_top = path("M 836 1446 C 1060 1442 1380 1412 1540 1396")
    e["wing_pillar"] = wing_top
    e["wing_frame"], frame = frame.cut(z=1396.0)
    e["frame"] = Curve((*frame.pieces[:-1], _ending(frame, top[0].end)))
    e["pillar_cantrail"] = top[0]
    e["door_cantrail"] = top[1].cut(x=DOOR_END)[0]
    e["b_cantrail"] = top[1].between(x=(DOOR_END, SLIDE))
    e["slide_cantrail"] = top[1].between(x=(SLIDE, SLIDE_END))
    e["panel_cantrail"] = top[1].between(x=(SLIDE_END, PILLAR))
    for name, x, belt in zip(("cab", "slide", "panel"), (DOOR_END, SLIDE, SLIDE_END), belts[1:], strict=True):
        roofline = low.cut(x=x)[0].end[1]
        e[f"{name}_low"], e[f"{name}_high"] = line((x, SILL), (x, belt)), line((x, belt), (x, roofline))


def _ending(frame: Curve, end: tuple[float, float]) -> type[Curve] | object:
    last = frame.pieces[-1]
    return type(last)(last.a, end, last.handles)


def _lower(e: dict[str, Curve]) -> None:
    for name, axle in zip(("front", "rear"), AXLES, strict=True):
        outer = arc(axle, AXLE, OUTER, -5.834, 185.834)  # down to the floor line, from the rear over the top to the front
        e[f"{name}_inner"] = arc(axle, AXLE, INNER, -6.805, 186.805)
        e[f"{name}_outer"] = outer
        for end, outside, inside in (("aft", outer.start, e[f"{name}_inner"].start),
                                     ("fore", outer.end, e[f"{name}_inner"].end)):  # fmt: skip
            e[f"{name}_foot_{end}"] = line(inside, outside)
    front, rear = e.pop("front_outer"), e.pop("rear_outer")
    e["sill_arch_front"], rest = front.cut(z=SILL)
    shut = path("M 20 800 C 200 808 430 790 640 690")
    knee = _meet(rest, shut)
    e["wing_arch"], e["bumper_arch"] = rest.cut(x=knee[0])
    e["bumper_wing"] = Curve((type(shut.pieces[0])(shut.start, e["wing_arch"].end, shut.pieces[0].handles),))
    e["bumper_under"] = path(f"M 96 268 C 220 252 420 286 {e['bumper_arch'].end[0]} {e['bumper_arch'].end[1]}")
    e["rear_bumper_arch"], rest = rear.cut(z=BUMPER)
    back, e["sill_arch_rear"] = rest.back().cut(z=SILL)[::-1]
    e["panel_arch"] = back
    e["bumper_panel"] = line(e["rear_bumper_arch"].end, (PILLAR, BUMPER))
    e["rear_bumper_under"] = line(e["rear_bumper_arch"].start, (5900, FLOOR))
    sill = line(e["sill_arch_front"].end, e["sill_arch_rear"].end if e["sill_arch_rear"].end[1] > 400
                else e["sill_arch_rear"].start)  # fmt: skip
    for name, x in (("wing", DOOR), ("cab", DOOR_END), ("b", SLIDE), ("slide", SLIDE_END)):
        e[f"sill_{name}"], sill = sill.cut(x=x)
    e["sill_panel"] = sill
    e["sill_under"] = line(e["sill_arch_front"].start, (e["rear_foot_fore"].end[0], e["rear_foot_fore"].end[1]))


def _meet(arch: Curve, shut: Curve) -> tuple[float, float]:
    """Where the bumper's upper edge runs into the wheel arch, from the front."""
    end = shut.end
    return min((piece.at(i / 400) for piece in arch.pieces for i in range(401)),
               key=lambda p: (p[0] - end[0]) ** 2 + (p[1] - end[1]) ** 2)  # fmt: skip


class _Order:
    """Places in the walk: down the left side from front to rear, and back up the right side from rear to front."""

    def __init__(self, side: str) -> None:
        self.start, self.sign = (200, 1) if side == "left" else (590, -1)

    def __add__(self, place: int) -> int:
        return self.start + self.sign * place


def _base(b: Board, side: str) -> None:
    order = _Order(side)
    s, plastic = side, {"material": "plastic", "paint": "ours"}
    b.zone("front_bumper", "front_bumper", f"front bumper, {s} corner", order + 0, **plastic,
           edges="nose bumper_wing bumper_arch bumper_under")
    b.zone("front_wing", f"wing_{s}", f"{s} front wing", order + 2,
           edges="hood wing_pillar wing_frame wing_door sill_wing wing_arch bumper_wing")
    b.zone("front_arch_trim", f"front_arch_trim_{s}", f"{s} front arch trim", order + 6, look="B", **plastic,
           edges="sill_arch_front wing_arch bumper_arch front_foot_fore front_inner front_foot_aft")
    b.zone("a_pillar", f"a_pillar_{s}", f"{s} A-pillar", order + 8, edges="screen pillar_cantrail frame wing_pillar")
    b.zone("cab_door_upper", f"cab_door_{s}", f"{s} cab door, upper", order + 14,
           edges="wing_frame frame door_cantrail cab_high belt_cab")
    b.zone("cab_door_lower", f"cab_door_{s}", f"{s} cab door, lower", order + 18,
           edges="wing_door belt_cab cab_low sill_cab")
    b.zone("b_pillar", f"b_pillar_{s}", f"{s} B-pillar", order + 24,
           edges="cab_low cab_high b_cantrail slide_high slide_low sill_b")
    b.zone("sliding_door_upper", f"sliding_door_{s}", f"{s} sliding door, upper", order + 26,
           edges="slide_high slide_cantrail panel_high belt_slide")
    b.zone("sliding_door_lower", f"sliding_door_{s}", f"{s} sliding door, lower", order + 30,
           edges="slide_low belt_slide panel_low sill_slide")
    b.zone("sill", f"sill_{s}", f"{s} sill", order + 36, look="B", **plastic,
           edges="sill_wing sill_cab sill_b sill_slide sill_panel sill_arch_rear sill_under sill_arch_front")
    b.zone("rear_panel_upper", f"rear_panel_{s}", f"{s} rear panel, upper", order + 40,
           edges="panel_high panel_cantrail pillar_upper belt_panel")
    b.zone("rear_panel_lower", f"rear_panel_{s}", f"{s} rear panel, lower", order + 42,
           edges="panel_low belt_panel pillar_lower bumper_panel panel_arch sill_panel")
    b.zone("rear_arch_trim", f"rear_arch_trim_{s}", f"{s} rear arch trim", order + 50, look="B", **plastic,
           edges="rear_bumper_arch panel_arch sill_arch_rear rear_foot_fore rear_inner rear_foot_aft")
    b.zone("cantrail_lower", f"cantrail_{s}", f"{s} cantrail, lower", order + 54, look="B",
           edges="cap_low cantrail_split pillar_rail panel_cantrail slide_cantrail b_cantrail door_cantrail pillar_cantrail")
    b.zone("cantrail_upper", f"cantrail_{s}", f"{s} cantrail, above 2.2 m", order + 56, look="C",
           edges="cap_high roof pillar_top cantrail_split")
    b.zone("rear_pillar", f"rear_pillar_{s}", f"{s} rear pillar", order + 58,
           edges="pillar_lower pillar_upper pillar_rail pillar_top back bumper_pillar")
    b.zone("rear_bumper", "rear_bumper", f"rear bumper, {s} corner", order + 60, look="B", **plastic,
           edges="rear_bumper_arch bumper_panel bumper_pillar bumper_rear rear_bumper_under")


def _overlays(b: Board, side: str) -> None:
    order = _Order(side)
    s, ours = side, {"material": "plastic", "paint": "ours"}
    glass = {"material": "glass", "paint": "none", "laps": "lamp seal"}
    b.zone("headlamp", f"headlamp_{s}", f"{s} headlamp, side", order + 4, material="plastic", paint="none", shape=LAMP)
    b.zone("cab_door_glass", f"cab_door_glass_{s}", f"{s} cab door glass", order + 16, shape=CAB_GLASS, **glass)
    b.zone("sliding_door_window", f"sliding_door_window_{s}", f"{s} sliding door window", order + 28, shape=WINDOW, **glass)
    b.zone("storage_door", f"storage_door_{s}", f"{s} storage door", order + 46, laps="lamp fit seal", shape=STORAGE, **ours)
    flap = "fuel flap" if s == "left" else "inlet flap"
    b.zone("flap", f"flap_{s}", f"{s} {flap}", order + 48, shape=FLAP, **ours)
    b.zone("running_board", f"running_board_{s}", f"{s} running board", order + 38, look="B", material="metal", paint="ours",
           laps="lamp fit", shape=BOARD)
    names = {"cab_door": 20, "sliding_door": 32, "rear_panel": 44, "rear_corner": 52}
    for name, at in names.items():
        words = name.replace("_", " ")
        b.zone(f"moulding_{name}", f"moulding_{name}_{s}", f"{s} moulding, {words}", order + at, shape=MOULDINGS[name], **ours)
    for name, at, shape in (("cab_door", 22, HANDLE), ("sliding_door", 34, SLIDE_HANDLE)):
        words = name.replace("_", " ")
        b.zone(f"{name}_handle", f"{name}_handle_{s}", f"{s} {words} handle", order + at, shape=shape, **ours)
    b.zone("mirror", f"mirror_{s}", f"{s} mirror", order + 12, shape=MIRROR, **ours)


def _more_joints(b: Board, s: str) -> None:
    b.joint(f"cab_door_{s}", f"sliding_door_{s}", line((2655, SILL), (2655, 2085)), gap="across")
    _joint_around(b, s)
    b.joint(f"moulding_cab_door_{s}", f"moulding_sliding_door_{s}", line((2655, LOW), (2655, HIGH)), gap="across")
    b.joint(f"moulding_sliding_door_{s}", f"moulding_rear_panel_{s}", line((SLIDE_END, LOW), (SLIDE_END, HIGH)), gap="door")


def _joint_around(b: Board, s: str) -> None:
    for one, other, shape in (
        ("headlamp", "wing", LAMP), ("cab_door_glass", "cab_door", CAB_GLASS), ("sliding_door_window", "sliding_door", WINDOW),
        ("storage_door", "rear_panel", STORAGE), ("flap", "rear_panel", FLAP), ("mirror", "cab_door", MIRROR_FOOT),
        ("cab_door_handle", "cab_door", HANDLE), ("sliding_door_handle", "sliding_door", SLIDE_HANDLE),
        ("running_board", "sill", line((2720, 345), (3930, 345))),
        ("moulding_cab_door", "cab_door", MOULDINGS["cab_door"]), ("moulding_rear_panel", "rear_panel", MOULDINGS["rear_panel"]),
        ("moulding_sliding_door", "sliding_door", MOULDINGS["sliding_door"]),
        ("moulding_rear_corner", "rear_panel", MOULDINGS["rear_corner"]),
        ("moulding_rear_panel", "rear_arch_trim", arc(AXLES[1], AXLE, OUTER + 8, 127, 147)),
        ("moulding_rear_corner", "rear_arch_trim", arc(AXLES[1], AXLE, OUTER + 8, 33, 53)),
    ):  # fmt: skip
        b.joint(f"{one}_{s}", f"{other}_{s}", shape)


LOW, HIGH = 628.0, 742.0
LAMP = path("M 46 946 C 52 1004 68 1056 98 1092 C 200 1166 370 1246 560 1284 C 578 1286 582 1272 572 1258 "
            "C 480 1120 340 972 196 926 C 150 912 80 914 56 920 C 46 924 44 932 46 946 Z")  # fmt: skip
CAB_GLASS = rounded((1602, 1330, 26), (2552, 1340, 50), (2552, 1996, 60), (1852, 1992, 70), (1752, 1830, 260), (1634, 1550, 260))
WINDOW = box(2775, 1376, 3862, 1980, 70)
STORAGE = box(4012, 806, 4428, 1206, 36)
FLAP = box(5486, 960, 5676, 1150, 44)
BOARD = rounded((2700, 262, 22), (3950, 262, 22), (3950, 338, 22), (2700, 338, 22))
HANDLE = box(2418, 1128, 2586, 1186, 26)
SLIDE_HANDLE = box(2724, 1128, 2892, 1186, 26)
MIRROR = path("M 1566 1366 L 1630 1366 C 1654 1366 1660 1380 1660 1402 C 1692 1406 1704 1426 1704 1462 L 1699 1716 "
              "C 1697 1760 1680 1778 1644 1776 L 1602 1773 C 1570 1769 1558 1750 1555 1708 L 1542 1472 "
              "C 1540 1432 1548 1412 1562 1404 C 1554 1384 1556 1368 1566 1366 Z")  # fmt: skip
MIRROR_FOOT = line((1566, 1368), (1632, 1368))


def _moulding(x0: float, x1: float) -> Curve:
    return rounded((x0, LOW, 14), (x1, LOW, 14), (x1, HIGH, 14), (x0, HIGH, 14))


def _beside_arch(x: float, start: float, end: float) -> Curve:
    bow = arc(AXLES[1], AXLE, OUTER + 10, start, end)
    high = bow.start if bow.start[1] > bow.end[1] else bow.end
    low = bow.end if high == bow.start else bow.start
    return chain(bow, line(low, (x, low[1])), line((x, low[1]), (x, high[1])), line((x, high[1]), high))


MOULDINGS = {
    "cab_door": _moulding(DOOR + 14, DOOR_END - 10),
    "sliding_door": _moulding(SLIDE + 10, SLIDE_END - 6),
    "rear_panel": _beside_arch(SLIDE_END + 6, 128.6, 146.4),
    "rear_corner": _beside_arch(PILLAR - 8, 33.6, 51.4),
}
