"""The van from the front: its left is on the viewer's right. Half is drawn, the other half is its mirror."""

from __future__ import annotations

from inspect_app.trade.outline_numbers import front_art
from inspect_app.trade.outline_numbers.board import BOUGHT, GLASS, OURS, Board
from inspect_app.trade.outline_numbers.ends import SIDES, all_round, flank, halves, on_side
from inspect_app.trade.outline_numbers.pen import Curve, Point, box, chain, line, path, rounded
from inspect_app.trade.outline_numbers.plan import Plan

ORDER = 100


def draw(plan: Plan) -> Board:
    """Return the finished board of the front."""
    board = Board(
        id="front", label="Front", width=plan.broad, height=plan.tall, nose="front", centre=plan.broad / 2,
        bend=plan.front, ground=plan.ground,
    )  # fmt: skip
    board.edges = halves(_skin() | _face() | _screen())
    front_art.behind(board, plan)
    _base(board)
    _pairs(board)
    _overlays(board)
    board.meet()
    front_art.on_top(board)
    return board


def _skin() -> dict[str, Curve]:
    """Return the outline, from under the bumper up to the middle of the roof."""
    e = {"under": path("M 0 232 C 400 232 640 236 800 244")}
    rest = flank()
    for name, z in (
        ("valance_side", 470),
        ("bumper_side", 850),
        ("lamp_side", 1150),
        ("wing_side", 1440),
        ("pillar_side", 2072),
    ):
        e[name], rest = rest.cut(z=z)
    return e | {"cap": rest}


def _face() -> dict[str, Curve]:
    """Return the edges from the valance up to the scuttle. Those that start on the middle line go on beyond it."""
    skin = _skin()
    low = path("M 0 446 C 420 446 700 452 900 466")
    lamp = path("M 500 826 C 680 846 860 846 980 850")
    side = skin["lamp_side"].end
    pillar = skin["wing_side"].end
    return {
        "valance_bumper": chain(low, line(low.end, skin["valance_side"].end)),
        "bumper_grille": path("M 0 806 C 300 806 420 812 500 826"),
        "bumper_lamp": chain(lamp, line(lamp.end, skin["bumper_side"].end)),
        "lamp_grille": path("M 500 826 C 516 900 530 980 540 1062"),
        "bonnet_grille": path("M 0 1082 C 240 1082 420 1076 540 1062"),
        "bonnet_lamp": path("M 540 1062 C 660 1064 780 1090 858 1136"),
        "wing_lamp": path(f"M 858 1136 C 900 1156 960 1160 {side[0]} {side[1]}"),
        "bonnet_wing": path("M 858 1136 C 872 1220 878 1320 884 1418"),
        "bonnet_scuttle": path("M 0 1392 C 360 1392 660 1400 884 1418"),
        "wing_pillar": line((884, 1418), pillar),
    }


def _screen() -> dict[str, Curve]:
    roof = _skin()["pillar_side"].end
    return {
        "scuttle_screen": path("M 0 1468 C 360 1468 640 1472 872 1486"),
        "scuttle_pillar": line((884, 1418), (872, 1486)),
        "screen_pillar": path("M 872 1486 C 864 1660 846 1860 826 2010 C 820 2048 806 2060 782 2062"),
        "screen_cap": path("M 0 2080 C 340 2080 600 2074 782 2062"),
        "pillar_cap": path(f"M 782 2062 C 860 2058 920 2060 {roof[0]} {roof[1]}"),
    }


def _base(b: Board) -> None:
    o = ORDER
    b.zone(
        "valance", "valance", "front valance", o, look="B", edges=all_round("under valance_side valance_bumper"), **OURS
    )
    b.zone(
        "bumper",
        "front_bumper",
        "front bumper",
        o + 2,
        **OURS,
        edges="valance_bumper bumper_side_l bumper_lamp_l bumper_grille bumper_lamp_r bumper_side_r",
    )
    b.zone(
        "grille",
        "grille",
        "grille surround",
        o + 10,
        edges=all_round("bumper_grille lamp_grille bonnet_grille"),
        **OURS,
    )
    b.zone(
        "bonnet",
        "bonnet",
        "bonnet",
        o + 24,
        edges="bonnet_grille bonnet_lamp_l bonnet_wing_l bonnet_scuttle bonnet_wing_r bonnet_lamp_r",
    )
    b.zone(
        "scuttle",
        "scuttle",
        "scuttle",
        o + 26,
        look="B",
        **OURS,
        edges=all_round("bonnet_scuttle scuttle_pillar scuttle_screen"),
    )
    b.zone(
        "windscreen",
        "windscreen",
        "windscreen",
        o + 34,
        edges=all_round("scuttle_screen screen_pillar screen_cap"),
        **GLASS,
    )
    b.zone(
        "cap",
        "front_cap",
        "front roof cap",
        o + 40,
        look="B",
        **OURS,
        edges="screen_cap pillar_cap_l cap_l cap_r pillar_cap_r",
    )


def _pairs(b: Board) -> None:
    for (side, _), at in zip(SIDES, (ORDER + 28, ORDER + 12), strict=True):
        s = side[0]
        b.zone(
            f"headlamp_{side}",
            f"headlamp_{side}",
            f"{side} headlamp",
            at,
            edges=on_side(s, "bumper_lamp lamp_side wing_lamp bonnet_lamp lamp_grille"),
            **BOUGHT,
        )
        b.zone(
            f"wing_{side}",
            f"wing_{side}",
            f"{side} front wing, from the front",
            at + 2,
            edges=on_side(s, "wing_lamp wing_side wing_pillar bonnet_wing"),
        )
        b.zone(
            f"a_pillar_{side}",
            f"a_pillar_{side}",
            f"{side} A-pillar, from the front",
            at + 4,
            edges=on_side(s, "wing_pillar pillar_side pillar_cap screen_pillar scuttle_pillar"),
        )


def _overlays(b: Board) -> None:
    for name, words, shape, at in (
        ("plate", "front number plate", PLATE, 6),
        ("sensor_area", "sensor area, front bumper", SENSOR, 4),
    ):
        b.zone(name, f"front_{name}", words, ORDER + at, shape=shape, **BOUGHT)
        b.joint(f"front_{name}", "front_bumper", shape, gap="moulding")
    for (side, turned), at in zip(SIDES, (ORDER + 36, ORDER + 37), strict=True):
        b.zone(
            f"wiper_{side}",
            f"wiper_{side}",
            f"{side} wiper",
            at,
            look="B",
            material="rubber",
            paint="none",
            shape=WIPERS[side],
        )
        b.joint(f"wiper_{side}", "windscreen", line(*WIPER_LINES[side]), gap="moulding")
        b.zone(
            f"mirror_{side}", f"mirror_{side}", f"{side} mirror, from the front", at + 6, shape=turned(MIRROR), **OURS
        )


PLATE = box(-260, 600, 260, 712, 10).stiff(0)
SENSOR = box(-150, 484, 150, 576, 20).stiff(0)
MIRROR = path(
    "M 1012 1400 C 1040 1380 1080 1372 1106 1380 C 1140 1366 1200 1362 1244 1370 C 1276 1378 1288 1396 1290 1430 "
    "L 1288 1716 C 1286 1760 1268 1780 1226 1782 L 1130 1776 C 1096 1772 1082 1756 1080 1720 L 1076 1452 "
    "C 1060 1446 1036 1448 1014 1456 Z"
)
WIPER_LINES = {"left": ((740.0, 1474.0), (150.0, 1540.0)), "right": ((60.0, 1472.0), (-560.0, 1536.0))}


def _wiper(foot: Point, tip: Point) -> Curve:
    (x0, z0), (x1, z1) = foot, tip
    return rounded((x0, z0 - 10, 8), (x0 + 14, z0 + 14, 8), (x1, z1 + 16, 8), (x1, z1 - 8, 8))


WIPERS = {side: _wiper(*ends) for side, ends in WIPER_LINES.items()}
