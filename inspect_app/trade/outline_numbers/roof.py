"""The roof from above: nose to the left, the van's left side at the bottom."""

from __future__ import annotations

from itertools import pairwise

from inspect_app.trade.outline_numbers import roof_art
from inspect_app.trade.outline_numbers.board import BOUGHT, OURS, Board
from inspect_app.trade.outline_numbers.ends import SIDES, across
from inspect_app.trade.outline_numbers.pen import Curve, box, line, path, rounded
from inspect_app.trade.outline_numbers.plan import Plan

ORDER = 600
BAYS = (1960.0, 3160.0, 4360.0, 5560.0)
INNER, OUTER = 868.0, 948.0


def draw(plan: Plan) -> Board:
    """Return the finished board of the roof; `z` here is towards the van's right, so that its left lies below."""
    board = Board(
        id="roof", label="Roof", width=plan.long, height=plan.broad, nose="left", centre=100,
        bend=plan.roof, ground=plan.broad / 2,
    )  # fmt: skip
    board.edges = edges()
    roof_art.behind(board, plan)
    _base(board)
    _overlays(board)
    board.meet()
    _more_joints(board, "left", -1)
    _more_joints(board, "right", 1)
    roof_art.on_top(board)
    return board


def edges() -> dict[str, Curve]:
    """Return all edges between zones."""
    first, last = BAYS[0], BAYS[-1]
    e = {
        "front": path(
            f"M {first} {-OUTER} C 1800 {-OUTER} 1620 -900 1580 -770 C 1470 -400 1470 400 1580 770 "
            f"C 1620 900 1800 {OUTER} {first} {OUTER}"
        ),
        "rear": path(
            f"M {last} {-OUTER} C 5760 {-OUTER} 5852 -900 5866 -760 C 5882 -400 5882 400 5866 760 "
            f"C 5852 900 5760 {OUTER} {last} {OUTER}"
        ),
    }
    for i, (x0, x1) in enumerate(pairwise(BAYS), 1):
        e[f"middle_{i}"] = line((x0, 0), (x1, 0))
    return e | _half("left", -1) | _half("right", 1)


def _half(side: str, sign: int) -> dict[str, Curve]:
    inner, outer = sign * INNER, sign * OUTER
    e = {f"gutter_{side}": line((BAYS[0], outer), (BAYS[-1], outer))}
    for x, end in ((BAYS[0], "front"), (BAYS[-1], "rear")):
        e[f"{end}_gutter_{side}"] = line((x, inner), (x, outer))
    for i, (x0, x1) in enumerate(pairwise(BAYS), 1):
        e[f"inner_{i}_{side}"] = line((x0, inner), (x1, inner))
    for i, x in enumerate(BAYS):
        e[f"cross_{i}_{side}"] = line((x, 0), (x, inner))
    return e


def _base(b: Board) -> None:
    b.zone(
        "front_cap",
        "front_cap",
        "front roof cap, from above",
        ORDER,
        look="C",
        **OURS,
        edges="front front_gutter_right cross_0_right cross_0_left front_gutter_left",
    )
    b.zone(
        "rear_cap",
        "rear_cap",
        "rear roof cap, from above",
        ORDER + 50,
        look="C",
        **OURS,
        edges="rear rear_gutter_right cross_3_right cross_3_left rear_gutter_left",
    )
    for (side, _), at in zip(SIDES, (ORDER + 10, ORDER + 30), strict=True):
        b.zone(
            f"gutter_{side}",
            f"gutter_{side}",
            f"{side} gutter",
            at + 6,
            look="C",
            edges=("front_gutter_# inner_1_# inner_2_# inner_3_# rear_gutter_# gutter_#".replace("#", side)),
        )
        for i in (1, 2, 3):
            b.zone(
                f"bay_{i}_{side}",
                f"roof_bay_{i}_{side}",
                f"roof bay {i}, {side}",
                at + i,
                look="C",
                edges=f"cross_{i - 1}_{side} middle_{i} cross_{i}_{side} inner_{i}_{side}",
            )


def _overlays(b: Board) -> None:
    for (side, _), at, shape in zip(SIDES, (18, 38), (RAIL, across(RAIL)), strict=True):
        b.zone(
            f"rail_{side}", f"roof_rail_{side}", f"{side} roof rail", ORDER + at, paint="ours", shape=shape, look="C"
        )
    b.zone("fan", "roof_fan", "roof fan", ORDER + 40, shape=FAN, look="C", **BOUGHT)
    b.zone("aerial", "aerial", "aerial", ORDER + 2, shape=AERIAL, look="C", **BOUGHT)
    b.joint("aerial", "front_cap", AERIAL, gap="moulding")


def _more_joints(b: Board, side: str, sign: int) -> None:
    outer, rail = sign * OUTER, sign * RAIL_AT
    b.joint(f"gutter_{side}", f"cantrail_{side}", line((BAYS[0], outer), (BAYS[-1], outer)), gap="welded")
    for i, (x0, x1) in enumerate(pairwise((2140.0, *BAYS[1:-1], 5380.0)), 1):
        b.joint(f"roof_rail_{side}", f"roof_bay_{i}_{side}", line((x0, rail), (x1, rail)), gap="moulding")
    half = ((3560.0, 0.0, 0.0), (3560.0, sign * 200.0, 40.0), (3960.0, sign * 200.0, 40.0), (3960.0, 0.0, 0.0))
    b.joint("roof_fan", f"roof_bay_2_{side}", rounded(*half, closed=False).stiff(3760, 0), gap="moulding")


RAIL_AT = 786.0
RAIL = box(2120, -RAIL_AT - 20, 5400, -RAIL_AT + 20, 18)
FAN = box(3560, -200, 3960, 200, 40).stiff(3760, 0)
AERIAL = path("M 1720 -34 C 1760 -42 1806 -30 1820 0 C 1806 30 1760 42 1720 34 C 1700 22 1700 -22 1720 -34 Z").stiff(
    1760, 0
)
