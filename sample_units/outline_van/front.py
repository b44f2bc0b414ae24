"""The van from the front: its left is on the viewer's right. Half is drawn, the other half is its mirror."""

from __future__ import annotations

from sample_units.outline_van import front_art
from sample_units.outline_van.board import Board
from sample_units.outline_van.ends import both, flank, halves
from sample_units.outline_van.pen import Curve, box, chain, line, path, rounded

ORDER = 100


def draw() -> Board:
    """Return the finished board of the front."""
    board = Board(id="front", label="Front", width=2700, height=2860, nose="front", centre=1350)
    board.edges = halves(_half())
    front_art.behind(board)
    _base(board)
    _overlays(board)
    board.meet()
    _more_joints(board)
    front_art.on_top(board)
    return board


def _half() -> dict[str, Curve]:
    """The edges of the van's left half; those that end on the middle line are joined to their mirrors."""
    e: dict[str, Curve] = {}
    skin = flank()
    below, skin = skin.cut(z=470.0)
    e["valance_side"] = below
    e["bumper_side"], skin = skin.cut(z=850.0)
    e["lamp_side"], skin = skin.cut(z=1150.0)
    e["wing_side"], skin = skin.cut(z=1440.0)
    e["pillar_side"], e["cap"] = skin.cut(z=2072.0)
    e["under"] = path("M 0 232 C 400 232 640 236 800 244")
    split = path("M 0 446 C 420 446 700 452 900 466")
    e["valance_bumper"] = chain(split, line(split.end, e["valance_side"].end))
    bumper_top = path("M 0 806 C 300 806 420 812 500 826")
    e["bumper_grille"] = bumper_top
    e["bumper_lamp"] = chain(path("M 500 826 C 680 846 860 846 980 850"), line((980, 850), e["bumper_side"].end))
    e["lamp_grille"] = path("M 500 826 C 516 900 530 980 540 1062")
    e["bonnet_grille"] = path("M 0 1082 C 240 1082 420 1076 540 1062")
    e["bonnet_lamp"] = path("M 540 1062 C 660 1064 780 1090 858 1136")
    lamp_end = e["lamp_side"].end
    e["wing_lamp"] = path(f"M 858 1136 C 900 1156 960 1160 {lamp_end[0]} {lamp_end[1]}")
    e["bonnet_wing"] = path("M 858 1136 C 872 1220 878 1320 884 1418")
    e["bonnet_scuttle"] = path("M 0 1392 C 360 1392 660 1400 884 1418")
    e["wing_pillar"] = path(f"M 884 1418 L {e['wing_side'].end[0]} {e['wing_side'].end[1]}")
    e["scuttle_screen"] = path("M 0 1468 C 360 1468 640 1472 872 1486")
    e["scuttle_pillar"] = path("M 884 1418 L 872 1486")
    e["screen_pillar"] = path("M 872 1486 C 864 1660 846 1860 826 2010 C 820 2048 806 2060 782 2062")
    e["screen_cap"] = path("M 0 2080 C 340 2080 600 2074 782 2062")
    e["pillar_cap"] = path(f"M 782 2062 C 860 2058 920 2060 {e['pillar_side'].end[0]} {e['pillar_side'].end[1]}")
    return e


def _base(b: Board) -> None:
    o, ours = ORDER, {"material": "plastic", "paint": "ours"}
    b.zone("valance", "valance", "front valance", o, look="B", edges=both("under valance_side valance_bumper"), **ours)
    b.zone("bumper", "front_bumper", "front bumper", o + 2, **ours,
           edges="valance_bumper bumper_side_l bumper_lamp_l bumper_grille bumper_lamp_r bumper_side_r")
    b.zone("grille", "grille", "grille surround", o + 10, edges=both("bumper_grille lamp_grille bonnet_grille"), **ours)
    for s, side, at in (("l", "left", 12), ("r", "right", 28)):
        b.zone(f"headlamp_{side}", f"headlamp_{side}", f"{side} headlamp", o + at, material="plastic", paint="none",
               edges=" ".join(f"{n}_{s}" for n in "bumper_lamp lamp_side wing_lamp bonnet_lamp lamp_grille".split()))
        b.zone(f"wing_{side}", f"wing_{side}", f"{side} front wing, from the front", o + at + 2,
               edges=" ".join(f"{n}_{s}" for n in "wing_lamp wing_side wing_pillar bonnet_wing".split()))
        b.zone(f"a_pillar_{side}", f"a_pillar_{side}", f"{side} A-pillar, from the front", o + at + 4,
               edges=" ".join(f"{n}_{s}" for n in "wing_pillar pillar_side pillar_cap screen_pillar scuttle_pillar".split()))
    b.zone("bonnet", "bonnet", "bonnet", o + 24,
           edges="bonnet_grille bonnet_lamp_l bonnet_wing_l bonnet_scuttle bonnet_wing_r bonnet_lamp_r")
    b.zone("scuttle", "scuttle", "scuttle", o + 20, look="B", material="plastic", paint="ours",
           edges="bonnet_scuttle scuttle_pillar_l scuttle_screen scuttle_pillar_r")
    b.zone("windscreen", "windscreen", "windscreen", o + 34, material="glass", paint="none", laps="lamp seal",
           edges="scuttle_screen screen_pillar_l screen_cap screen_pillar_r")
    b.zone("cap", "front_cap", "front roof cap", o + 40, look="B", material="plastic", paint="ours", laps="lamp fit seal",
           edges="screen_cap pillar_cap_l cap_l cap_r pillar_cap_r")


def _overlays(b: Board) -> None:
    o, trim = ORDER, {"material": "plastic", "paint": "none"}
    b.zone("plate", "front_plate", "front number plate", o + 6, shape=PLATE, **trim)
    b.zone("sensor_area", "front_sensor_area", "sensor area, front bumper", o + 4, shape=SENSOR, **trim)
    for side, sign, at in (("left", 1, 36), ("right", -1, 37)):
        b.zone(f"wiper_{side}", f"wiper_{side}", f"{side} wiper", o + at, look="B", material="rubber", paint="none",
               shape=WIPERS[side])
        b.zone(f"mirror_{side}", f"mirror_{side}", f"{side} mirror, from the front", o + at + 2, material="plastic", paint="ours",
               shape=MIRROR.moved(lambda x, z, sign=sign: (sign * x, z)))


def _more_joints(b: Board) -> None:
    b.joint("front_plate", "front_bumper", PLATE, gap="moulding")
    b.joint("front_sensor_area", "front_bumper", SENSOR, gap="moulding")
    for side, sign in (("left", 1), ("right", -1)):
        b.joint(f"wiper_{side}", "windscreen", line(*WIPER_LINES[side]), gap="moulding")
        b.joint(f"front_bumper", f"wing_{side}", line((sign * 940, 1000), (sign * 980, 1000)), gap="bumper") if False else None


PLATE = box(-260, 600, 260, 712, 10)
SENSOR = box(-150, 484, 150, 576, 20)
MIRROR = path("M 1012 1400 C 1040 1380 1080 1372 1106 1380 C 1140 1366 1200 1362 1244 1370 C 1276 1378 1288 1396 1290 1430 "
              "L 1288 1716 C 1286 1760 1268 1780 1226 1782 L 1130 1776 C 1096 1772 1082 1756 1080 1720 L 1076 1452 "
              "C 1060 1446 1036 1448 1014 1456 Z")  # fmt: skip
WIPER_LINES = {"left": ((740, 1474), (150, 1540)), "right": ((60, 1472), (-560, 1536))}


def _wiper(side: str) -> Curve:
    (x0, z0), (x1, z1) = WIPER_LINES[side]
    return rounded((x0, z0 - 10, 8), (x0 + 14, z0 + 14, 8), (x1, z1 + 16, 8), (x1, z1 - 8, 8))


WIPERS = {side: _wiper(side) for side in WIPER_LINES}
