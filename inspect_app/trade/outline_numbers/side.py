"""The left side of the van, nose to the left; the right side is the same drawing turned over, but for its doors."""

from __future__ import annotations

from dataclasses import dataclass

from inspect_app.trade.outline_numbers import side_art
from inspect_app.trade.outline_numbers import side_shapes as shapes
from inspect_app.trade.outline_numbers.board import GLASS, OURS, Board
from inspect_app.trade.outline_numbers.pen import line
from inspect_app.trade.outline_numbers.plan import Plan
from inspect_app.trade.outline_numbers.side_edges import SILL, SLIDE_END, edges
from inspect_app.trade.outline_numbers.side_shapes import Shapes

MIDDLE = 2655.0  # of the B-pillar


@dataclass(frozen=True)
class _Walk:
    """Places in the walk: down the left side from front to rear, and back up the right side from rear to front."""

    start: int
    step: int

    def __call__(self, place: int) -> int:
        return self.start + self.step * place


def draw(side: str, plan: Plan) -> Board:
    """Return the finished board of the `left` or `right` side."""
    left = side == "left"
    b = Board(
        id=side, label=f"{side.capitalize()} side", width=plan.long, height=plan.tall, nose=side,
        centre=100 if left else plan.long - 100, bend=plan.side, ground=plan.ground, mirrored=not left,
    )  # fmt: skip
    b.edges = edges(plan)
    own = Shapes(plan)
    side_art.behind(b, plan)
    at = _Walk(200, 1) if left else _Walk(590, -1)
    _front(b, side, at)
    _doors(b, side, at)
    (_sliding_door if plan.slides(side) else _side_panel)(b, side, at)
    _sill(b, side, at)
    _back(b, side, at)
    _cantrail(b, side, at, plan.split)
    _tail(b, side, at)
    _lying_on_doors(b, side, at, plan.slides(side))
    _lying_on_panels(b, side, at, own)
    b.meet()
    _more_joints(b, side, own)
    side_art.on_top(b, own)
    return b


def _front(b: Board, s: str, at: _Walk) -> None:
    b.zone(
        "front_bumper",
        "front_bumper",
        f"front bumper, {s} corner",
        at(0),
        **OURS,
        edges="nose bumper_wing bumper_arch bumper_under",
    )
    b.zone(
        "front_wing",
        f"wing_{s}",
        f"{s} front wing",
        at(2),
        edges="hood wing_pillar wing_frame wing_door sill_wing wing_arch bumper_wing",
    )
    b.zone(
        "front_arch_trim",
        f"front_arch_trim_{s}",
        f"{s} front arch trim",
        at(6),
        look="B",
        **OURS,
        edges="sill_arch_front wing_arch bumper_arch front_foot_fore front_inner front_foot_aft",
    )
    b.zone("a_pillar", f"a_pillar_{s}", f"{s} A-pillar", at(8), edges="screen pillar_cantrail frame wing_pillar")


def _doors(b: Board, s: str, at: _Walk) -> None:
    b.zone(
        "cab_door_upper",
        f"cab_door_{s}",
        f"{s} cab door, upper",
        at(14),
        edges="wing_frame frame door_cantrail cab_high door_belt",
    )
    b.zone(
        "cab_door_lower", f"cab_door_{s}", f"{s} cab door, lower", at(18), edges="wing_door door_belt cab_low sill_cab"
    )
    b.zone(
        "b_pillar",
        f"b_pillar_{s}",
        f"{s} B-pillar",
        at(24),
        edges="cab_low cab_high b_cantrail slide_high slide_low sill_b",
    )


def _sliding_door(b: Board, s: str, at: _Walk) -> None:
    _behind_the_pillar(b, s, at, "sliding_door", "sliding door")


def _side_panel(b: Board, s: str, at: _Walk) -> None:
    """Close the side where the other one has its sliding door: a panel of the same shape, welded in."""
    _behind_the_pillar(b, s, at, "side_panel", "side panel")


def _behind_the_pillar(b: Board, s: str, at: _Walk, key: str, called: str) -> None:
    part = f"{key}_{s}"
    high, low = "slide_high slide_cantrail panel_high slide_belt", "slide_low slide_belt panel_low sill_slide"
    b.zone(f"{key}_upper", part, f"{s} {called}, upper", at(26), edges=high)
    b.zone(f"{key}_lower", part, f"{s} {called}, lower", at(30), edges=low)


def _sill(b: Board, s: str, at: _Walk) -> None:
    b.zone(
        "sill",
        f"sill_{s}",
        f"{s} sill",
        at(36),
        look="B",
        **OURS,
        edges="sill_wing sill_cab sill_b sill_slide sill_panel sill_arch_rear sill_under sill_arch_front",
    )


def _back(b: Board, s: str, at: _Walk) -> None:
    b.zone(
        "rear_panel_upper",
        f"rear_panel_{s}",
        f"{s} rear panel, upper",
        at(40),
        edges="panel_high panel_cantrail pillar_upper panel_belt",
    )
    b.zone(
        "rear_panel_lower",
        f"rear_panel_{s}",
        f"{s} rear panel, lower",
        at(42),
        edges="panel_low panel_belt pillar_lower bumper_panel panel_arch sill_panel",
    )
    b.zone(
        "rear_arch_trim",
        f"rear_arch_trim_{s}",
        f"{s} rear arch trim",
        at(50),
        look="B",
        **OURS,
        edges="rear_bumper_arch panel_arch sill_arch_rear rear_foot_fore rear_inner rear_foot_aft",
    )


def _cantrail(b: Board, s: str, at: _Walk, split: bool) -> None:
    """Add the strip between doors and roof; what of it lies above 2.2 m is a zone of its own, if it is worth one."""
    below = "pillar_rail panel_cantrail slide_cantrail b_cantrail door_cantrail pillar_cantrail"
    label = f"{s} cantrail, lower" if split else f"{s} cantrail"
    edges = f"cap_low cantrail_split {below}" if split else f"cap_low cap_high roof pillar_top {below}"
    b.zone("cantrail_lower", f"cantrail_{s}", label, at(54), look="B", edges=edges)
    if split:
        label = f"{s} cantrail, above 2.2 m"
        b.zone(
            "cantrail_upper", f"cantrail_{s}", label, at(56), look="C", edges="cap_high roof pillar_top cantrail_split"
        )


def _tail(b: Board, s: str, at: _Walk) -> None:
    b.zone(
        "rear_pillar",
        f"rear_pillar_{s}",
        f"{s} rear pillar",
        at(58),
        edges="pillar_lower pillar_upper pillar_rail pillar_top back bumper_pillar",
    )
    b.zone(
        "rear_bumper",
        "rear_bumper",
        f"rear bumper, {s} corner",
        at(60),
        look="B",
        **OURS,
        edges="rear_bumper_arch bumper_panel bumper_pillar bumper_rear rear_bumper_under",
    )


def _lying_on_doors(b: Board, s: str, at: _Walk, slides: bool) -> None:
    b.zone(
        "headlamp", f"headlamp_{s}", f"{s} headlamp, side", at(4), material="plastic", paint="none", shape=shapes.LAMP
    )
    b.zone("cab_door_glass", f"cab_door_glass_{s}", f"{s} cab door glass", at(16), shape=shapes.CAB_GLASS, **GLASS)
    handles = [("cab_door", 22, shapes.HANDLE)]
    if slides:
        b.zone(
            "sliding_door_window",
            f"sliding_door_window_{s}",
            f"{s} sliding door window",
            at(28),
            shape=shapes.WINDOW,
            **GLASS,
        )
        handles.append(("sliding_door", 34, shapes.SLIDE_HANDLE))
    for name, place, shape in handles:
        words = name.replace("_", " ")
        b.zone(f"{name}_handle", f"{name}_handle_{s}", f"{s} {words} handle", at(place), shape=shape, **OURS)
    b.zone("mirror", f"mirror_{s}", f"{s} mirror", at(12), shape=shapes.MIRROR, **OURS)


def _lying_on_panels(b: Board, s: str, at: _Walk, own: Shapes) -> None:
    for name, place in zip(_mouldings(s, own), (20, 32, 44, 52), strict=True):
        label = f"{s} moulding, {name.replace('_', ' ')}"
        b.zone(f"moulding_{name}", f"moulding_{name}_{s}", label, at(place), shape=own.moulding(name), **OURS)
    if own.plan.slides(s):
        label = f"{s} running board"
        b.zone("running_board", f"running_board_{s}", label, at(38), look="B", paint="ours", shape=shapes.STEP)
    b.zone("storage_door", f"storage_door_{s}", f"{s} storage door", at(46), shape=own.storage, **OURS)
    words = "fuel flap" if s == "left" else "inlet flap"
    b.zone("flap", f"flap_{s}", f"{s} {words}", at(48), shape=shapes.FLAP, **OURS)


def _mouldings(s: str, own: Shapes) -> tuple[str, ...]:
    return "cab_door", "sliding_door" if own.plan.slides(s) else "side_panel", "rear_panel", "rear_corner"


def _more_joints(b: Board, s: str, own: Shapes) -> None:
    for one, other, curve in (
        ("headlamp", "wing", shapes.LAMP),
        ("cab_door_glass", "cab_door", shapes.CAB_GLASS),
        ("sliding_door_window", "sliding_door", shapes.WINDOW),
        ("cab_door_handle", "cab_door", shapes.HANDLE),
        ("sliding_door_handle", "sliding_door", shapes.SLIDE_HANDLE),
        ("mirror", "cab_door", shapes.MIRROR_FOOT),
        ("running_board", "sill", shapes.STEP_LINE),
        ("storage_door", "rear_panel", own.storage),
        ("flap", "rear_panel", shapes.FLAP),
        *((f"moulding_{name}", name.replace("corner", "panel"), own.moulding(name)) for name in _mouldings(s, own)),
        ("moulding_rear_panel", "rear_arch_trim", own.arch_gap(rear=False)),
        ("moulding_rear_corner", "rear_arch_trim", own.arch_gap(rear=True)),
    ):
        if own.plan.slides(s) or not one.startswith(("sliding_door", "running_board")):
            b.joint(f"{one}_{s}", f"{other}_{s}", curve)
    _across(b, s, own)


def _across(b: Board, s: str, own: Shapes) -> None:
    """Add the joints of neighbours that share no edge: what is measured there is the width between them."""
    low, high = own.plan.mouldings
    beside = _mouldings(s, own)[1]
    if own.plan.slides(s):
        b.joint(f"cab_door_{s}", f"sliding_door_{s}", line((MIDDLE, SILL), (MIDDLE, 2085)), gap="across")
    between = line((MIDDLE, low), (MIDDLE, high))
    b.joint(f"moulding_cab_door_{s}", f"moulding_{beside}_{s}", between, gap="between_mouldings")
    ahead = line((SLIDE_END, low), (SLIDE_END, high))
    b.joint(f"moulding_{beside}_{s}", f"moulding_rear_panel_{s}", ahead, gap="door")
