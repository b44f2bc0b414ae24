"""The roof from above: nose to the left, the van's left side at the bottom."""

from __future__ import annotations

from sample_units.outline_van import roof_art
from sample_units.outline_van.board import Board
from sample_units.outline_van.pen import Curve, box, chain, circle, line, path

ORDER = 600
BAYS = (1960.0, 3160.0, 4360.0, 5560.0)
INNER, OUTER = 868.0, 948.0


def draw() -> Board:
    """Return the finished board of the roof; `z` here is towards the van's right, so that its left lies below."""
    board = Board(id="roof", label="Roof", width=6150, height=2700, nose="left", centre=100, ground=1350)
    board.edges = edges()
    roof_art.behind(board)
    _base(board)
    _overlays(board)
    board.meet()
    _more_joints(board)
    roof_art.on_top(board)
    return board


def edges() -> dict[str, Curve]:
    """All edges between zones."""
    e: dict[str, Curve] = {}
    first, last = BAYS[0], BAYS[-1]
    e["front"] = path(f"M {first} {-OUTER} C 1800 {-OUTER} 1620 -900 1580 -770 C 1470 -400 1470 400 1580 770 "
                      f"C 1620 900 1800 {OUTER} {first} {OUTER}")  # fmt: skip
    e["rear"] = path(f"M {last} {-OUTER} C 5760 {-OUTER} 5852 -900 5866 -760 C 5882 -400 5882 400 5866 760 "
                     f"C 5852 900 5760 {OUTER} {last} {OUTER}")  # fmt: skip
    for s, sign in (("left", -1), ("right", 1)):
        e[f"gutter_{s}"] = line((first, sign * OUTER), (last, sign * OUTER))
        for x, end in ((first, "front"), (last, "rear")):
            e[f"{end}_gutter_{s}"] = line((x, sign * INNER), (x, sign * OUTER))
        for i, (x0, x1) in enumerate(zip(BAYS, BAYS[1:], strict=False), 1):
            e[f"inner_{i}_{s}"] = line((x0, sign * INNER), (x1, sign * INNER))
        for i, x in enumerate(BAYS):
            e[f"cross_{i}_{s}"] = line((x, 0), (x, sign * INNER))
    for i, (x0, x1) in enumerate(zip(BAYS, BAYS[1:], strict=False), 1):
        e[f"middle_{i}"] = line((x0, 0), (x1, 0))
    return e


def _base(b: Board) -> None:
    o, ours = ORDER, {"material": "plastic", "paint": "ours", "look": "C", "laps": "lamp fit seal"}
    b.zone("front_cap", "front_cap", "front roof cap, from above", o, **ours,
           edges="front front_gutter_right cross_0_right cross_0_left front_gutter_left")
    at = 10
    for s in ("left", "right"):
        b.zone(f"gutter_{s}", f"gutter_{s}", f"{s} gutter", o + at + 6, look="C", laps="lamp seal",
               edges=f"front_gutter_{s} inner_1_{s} inner_2_{s} inner_3_{s} rear_gutter_{s} gutter_{s}")
        for i in (1, 2, 3):
            b.zone(f"bay_{i}_{s}", f"roof_bay_{i}_{s}", f"roof bay {i}, {s}", o + at + i, look="C", laps="lamp seal",
                   edges=f"cross_{i - 1}_{s} middle_{i} cross_{i}_{s} inner_{i}_{s}")
        at += 20
    b.zone("rear_cap", "rear_cap", "rear roof cap, from above", o + 50, **ours,
           edges="rear rear_gutter_right cross_3_right cross_3_left rear_gutter_left")


def _overlays(b: Board) -> None:
    o = ORDER
    for s, sign, at in (("left", -1, 18), ("right", 1, 38)):
        b.zone(f"rail_{s}", f"roof_rail_{s}", f"{s} roof rail", o + at, look="C", laps="fit seal", paint="ours",
               shape=box(2120, min(sign * 806, sign * 766), 5400, max(sign * 806, sign * 766), 18))
    b.zone("fan", "roof_fan", "roof fan", o + 40, look="C", laps="fit seal", material="plastic", paint="none", shape=FAN)
    b.zone("aerial", "aerial", "aerial", o + 2, look="C", laps="fit seal", material="plastic", paint="none", shape=AERIAL)


def _more_joints(b: Board) -> None:
    b.joint("roof_fan", "roof_bay_2_left", FAN, gap="moulding")
    b.joint("roof_fan", "roof_bay_2_right", FAN, gap="moulding")
    b.joint("aerial", "front_cap", AERIAL, gap="moulding")
    for s, sign in (("left", -1), ("right", 1)):
        b.joint(f"gutter_{s}", f"cantrail_{s}", line((BAYS[0], sign * OUTER), (BAYS[-1], sign * OUTER)), gap="welded")
        for i in (1, 2, 3):
            b.joint(f"roof_rail_{s}", f"roof_bay_{i}_{s}", line((max(BAYS[i - 1], 2140), sign * 786), (min(BAYS[i], 5380), sign * 786)), gap="moulding")


FAN = box(3560, -200, 3960, 200, 40)
AERIAL = path("M 1720 -34 C 1760 -42 1806 -30 1820 0 C 1806 30 1760 42 1720 34 C 1700 22 1700 -22 1720 -34 Z")
