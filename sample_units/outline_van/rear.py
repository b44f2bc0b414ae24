"""The van from the rear: its left is on the viewer's left."""

from __future__ import annotations

from sample_units.outline_van import rear_art
from sample_units.outline_van.board import Board
from sample_units.outline_van.ends import flank, halves, mirrored
from sample_units.outline_van.pen import Curve, box, chain, line, path, rounded

ORDER = 400
SPLIT, TOP, LOW, EDGE = 1284.0, 2380.0, 604.0, 892.0


def draw() -> Board:
    """Return the finished board of the rear; y towards the van's left runs to the left of the paper."""
    board = Board(id="rear", label="Rear", width=2700, height=2860, nose="rear", centre=1350, mirrored=True)
    board.edges = halves(_half())
    rear_art.behind(board)
    _base(board)
    _overlays(board)
    board.meet()
    _more_joints(board)
    rear_art.on_top(board)
    return board


def _half() -> dict[str, Curve]:
    e: dict[str, Curve] = {}
    skin = flank().cut(z=600.0)[1]
    e["bumper_side"] = path(f"M 900 300 C 980 300 1024 312 1028 360 L 1030 560 C 1030 590 1024 598 {skin.start[0]} 600")
    e["under"] = path("M 0 300 L 900 300")
    e["pillar_side"], e["cap"] = skin.cut(z=TOP)
    e["bumper_pillar"] = path(f"M {skin.start[0]} 600 L {EDGE} 604")
    e["bumper_door"] = path(f"M 0 604 L {EDGE} 604")
    e["seam_lower"], e["seam_upper"] = line((0, LOW), (0, SPLIT)), line((0, SPLIT), (0, TOP + 14))
    edge = path(f"M {EDGE} {LOW} L {EDGE} {SPLIT} C {EDGE} 1700 872 2100 846 2320 C 840 2362 824 2378 790 2382")
    e["edge_lower"], e["edge_upper"] = edge.cut(z=SPLIT)
    e["belt"] = line((0, SPLIT), (EDGE, SPLIT))
    e["door_cap"] = path("M 0 2394 C 340 2394 600 2390 790 2382")
    e["pillar_cap"] = line((790, 2382), e["pillar_side"].end)
    return {**{n: c for n, c in e.items() if n not in ("bumper_door", "belt", "door_cap")},
            **{f"{n}_half": c.shift() for n, c in e.items() if n in ()}} | _split(e)  # fmt: skip


def _split(e: dict[str, Curve]) -> dict[str, Curve]:
    # Door edges start at the seam, each door its own: turned round so that they are not joined over the middle.
    return {name: e[name].back() for name in ("bumper_door", "belt", "door_cap")}


def _base(b: Board) -> None:
    o = ORDER
    b.zone("bumper", "rear_bumper", "rear bumper", o, look="B", material="plastic", paint="ours",
           edges="under bumper_side_l bumper_pillar_l bumper_door_l bumper_door_r bumper_pillar_r bumper_side_r")
    for s, side, at in (("l", "left", 4), ("r", "right", 30)):
        b.zone(f"pillar_{side}", f"rear_pillar_{side}", f"{side} rear pillar, from the rear", o + at,
               edges=f"bumper_pillar_{s} pillar_side_{s} pillar_cap_{s} edge_upper_{s} edge_lower_{s}")
        b.zone(f"door_{side}_lower", f"rear_door_{side}", f"{side} rear door, lower", o + at + 4,
               edges=f"bumper_door_{s} edge_lower_{s} belt_{s} seam_lower_l")
        b.zone(f"door_{side}_upper", f"rear_door_{side}", f"{side} rear door, upper", o + at + 10,
               edges=f"belt_{s} edge_upper_{s} door_cap_{s} seam_upper_l")
    b.zone("cap", "rear_cap", "rear roof cap", o + 50, look="B", material="plastic", paint="ours", laps="lamp fit seal",
           edges="door_cap_l pillar_cap_l cap_l cap_r pillar_cap_r door_cap_r")


def _overlays(b: Board) -> None:
    o, none = ORDER, {"material": "plastic", "paint": "none"}
    for side, sign, at in (("left", 1, 4), ("right", -1, 30)):
        def turned(curve: Curve, sign: int = sign) -> Curve:
            return curve if sign > 0 else mirrored(curve)
        b.zone(f"lamp_{side}", f"rear_lamp_{side}", f"{side} rear lamp", o + at + 2, laps="lamp fit seal", shape=turned(LAMP), **none)
        b.zone(f"window_{side}", f"rear_window_{side}", f"{side} rear door window", o + at + 12, material="glass", paint="none",
               laps="lamp seal", shape=turned(WINDOW))
        b.zone(f"hinges_{side}", f"rear_hinges_{side}", f"{side} rear door hinges", o + at + 8, paint="maker",
               shape=turned(HINGES))
    b.zone("plate", "rear_plate", "rear number plate", o + 18, shape=PLATE, **none)
    b.zone("door_handle", "rear_door_handle", "rear door handle", o + 36, material="plastic", paint="ours", shape=HANDLE)
    b.zone("brake_lamp", "high_brake_lamp", "high brake lamp and camera", o + 52, laps="lamp fit seal", shape=BRAKE, **none)


def _more_joints(b: Board) -> None:
    b.joint("rear_plate", "rear_door_left", PLATE, gap="moulding")
    b.joint("rear_door_handle", "rear_door_right", HANDLE, gap="moulding")
    b.joint("high_brake_lamp", "rear_cap", BRAKE)
    for side, sign in (("left", 1), ("right", -1)):
        def turned(curve: Curve, sign: int = sign) -> Curve:
            return curve if sign > 0 else mirrored(curve)
        b.joint(f"rear_lamp_{side}", f"rear_pillar_{side}", turned(LAMP))
        b.joint(f"rear_window_{side}", f"rear_door_{side}", turned(WINDOW))
        b.joint(f"rear_hinges_{side}", f"rear_door_{side}", turned(line((840, 700), (840, 2240))), gap="welded")


LAMP = rounded((918, 800, 16), (1004, 800, 30), (1004, 1240, 60), (918, 1262, 16))
WINDOW = rounded((96, 1404, 50), (812, 1404, 60), (770, 2180, 80), (96, 2196, 50))
HINGES = rounded((836, 726, 10), (908, 726, 10), (908, 1284, 10), (876, 2214, 10), (804, 2214, 10), (836, 1284, 10))
PLATE = box(170, 900, 690, 1012, 10)
HANDLE = box(-230, 930, -60, 990, 26)
BRAKE = box(-150, 2440, 150, 2490, 20)
