"""The van from the rear: its left is on the viewer's left. Half is drawn, the other half is its mirror."""

from __future__ import annotations

from dataclasses import replace

from inspect_app.trade.outline_numbers import rear_art
from inspect_app.trade.outline_numbers.board import BOUGHT, GLASS, OURS, Board
from inspect_app.trade.outline_numbers.ends import SIDES, flank, halves, on_side
from inspect_app.trade.outline_numbers.pen import Curve, box, line, path, rounded
from inspect_app.trade.outline_numbers.plan import Plan

ORDER = 400
SPLIT, TOP, LOW, EDGE = 1284.0, 2380.0, 604.0, 892.0


def draw(plan: Plan) -> Board:
    """Return the finished board of the rear; y towards the van's left runs to the left of the paper."""
    board = Board(
        id="rear", label="Rear", width=plan.broad, height=plan.tall, nose="rear", centre=plan.broad / 2,
        bend=plan.rear, ground=plan.ground, mirrored=True,
    )  # fmt: skip
    board.edges = halves(_edges(plan.wide)) | {
        "seam_lower": line((0, LOW), (0, SPLIT)),
        "seam_upper": line((0, SPLIT), (0, TOP + 14)),
    }
    rear_art.behind(board)
    _base(board)
    for (side, turned), at in zip(SIDES, (ORDER + 4, ORDER + 30), strict=True):
        _leaf(board, side, at)
        for name, shape, other in (("lamp", LAMP, "pillar"), ("window", WINDOW, "door")):
            board.joint(f"rear_{name}_{side}", f"rear_{other}_{side}", turned(shape))
        board.joint(f"rear_hinges_{side}", f"rear_door_{side}", turned(HINGE_LINE), gap="welded")
        _on_leaf(board, side, at)
    brake = _brake(plan)
    _overlays(board, brake)
    board.meet()
    rear_art.on_top(board, brake)
    return board


def _edges(wide: bool) -> dict[str, Curve]:
    """Return the edges of the left half; door edges run towards the seam, so that each leaf keeps its own."""
    skin = flank(wide).cut(z=600.0)[1]
    foot = skin.start
    side, cap = skin.cut(z=TOP)
    edge = path(f"M {EDGE} {LOW} L {EDGE} {SPLIT} C {EDGE} 1700 872 2100 846 2320 C 840 2362 824 2378 790 2382")
    lower, upper = edge.cut(z=SPLIT)
    return {
        "under": line((0, 300), (900, 300)),
        "bumper_side": path(
            f"M 900 300 C 980 300 1024 312 1028 360 L 1030 560 C 1030 590 1024 598 {foot[0]} {foot[1]}"
        ),
        "bumper_pillar": line(foot, (EDGE, LOW)),
        "bumper_door": line((EDGE, LOW), (0, LOW)),
        "pillar_side": side,
        "cap": cap,
        "edge_lower": lower,
        "edge_upper": upper,
        "belt": line((EDGE, SPLIT), (0, SPLIT)),
        "door_cap": path("M 790 2382 C 600 2390 340 2394 0 2394"),
        "pillar_cap": line((790, 2382), side.end),
    }


def _base(b: Board) -> None:
    b.zone(
        "bumper",
        "rear_bumper",
        "rear bumper",
        ORDER,
        look="B",
        **OURS,
        edges="under bumper_side_l bumper_pillar_l bumper_door_l bumper_door_r bumper_pillar_r bumper_side_r",
    )
    b.zone(
        "cap",
        "rear_cap",
        "rear roof cap",
        ORDER + 50,
        look="B",
        **OURS,
        edges="door_cap_l pillar_cap_l cap_l cap_r pillar_cap_r door_cap_r",
    )


def _leaf(b: Board, side: str, at: int) -> None:
    s = side[0]
    b.zone(
        f"pillar_{side}",
        f"rear_pillar_{side}",
        f"{side} rear pillar, from the rear",
        at,
        edges=on_side(s, "bumper_pillar pillar_side pillar_cap edge_upper edge_lower"),
    )
    b.zone(
        f"door_{side}_lower",
        f"rear_door_{side}",
        f"{side} rear door, lower",
        at + 4,
        edges=on_side(s, "bumper_door edge_lower belt") + " seam_lower",
    )
    b.zone(
        f"door_{side}_upper",
        f"rear_door_{side}",
        f"{side} rear door, upper",
        at + 10,
        edges=on_side(s, "belt edge_upper door_cap") + " seam_upper",
    )


def _on_leaf(b: Board, side: str, at: int) -> None:
    turned = dict(SIDES)[side]
    b.zone(
        f"lamp_{side}",
        f"rear_lamp_{side}",
        f"{side} rear lamp",
        at + 2,
        shape=turned(LAMP),
        **BOUGHT,
    )
    b.zone(f"window_{side}", f"rear_window_{side}", f"{side} rear door window", at + 12, shape=turned(WINDOW), **GLASS)
    b.zone(f"hinges_{side}", f"rear_hinges_{side}", f"{side} rear door hinges", at + 8, shape=turned(HINGES))


def _overlays(b: Board, brake: Curve) -> None:
    b.zone("plate", "rear_plate", "rear number plate", ORDER + 18, shape=PLATE, **BOUGHT)
    b.joint("rear_plate", "rear_door_left", PLATE, gap="moulding")
    b.zone("door_handle", "rear_door_handle", "rear door handle", ORDER + 36, shape=HANDLE, **OURS)
    b.joint("rear_door_handle", "rear_door_right", HANDLE, gap="moulding")
    b.zone(
        "brake_lamp",
        "high_brake_lamp",
        "high brake lamp and camera",
        ORDER + 52,
        shape=brake,
        **BOUGHT,
    )
    b.joint("high_brake_lamp", "rear_cap", brake)


LAMP = rounded((918, 800, 16), (1004, 800, 30), (1004, 1240, 60), (918, 1262, 16))
WINDOW = rounded((96, 1404, 50), (812, 1404, 60), (770, 2180, 80), (96, 2196, 50))
HINGES = rounded((836, 726, 10), (908, 726, 10), (908, 1284, 10), (876, 2214, 10), (804, 2214, 10), (836, 1284, 10))
HINGE_LINE = line((842, 736), (842, 1284), (810, 2204))
PLATE = box(170, 900, 690, 1012, 10).stiff(430, 956)
HANDLE = box(-230, 930, -60, 990, 26).stiff(-145, 960)


def _brake(plan: Plan) -> Curve:
    """Return the high brake lamp: above the doors, however little room a low roof leaves there."""
    low = max(plan.up_end(2440), plan.up_end(2394) + 14)
    return replace(box(-150, low, 150, low + 50, 20), placed=True)
