"""What makes the front look like a van. Nothing here can be tapped."""

from __future__ import annotations

from sample_units.outline_van import front
from sample_units.outline_van.board import Board
from sample_units.outline_van.ends import mirrored
from sample_units.outline_van.pen import Curve, box, chain, circle, line, path, rounded


def pair(b: Board, kind: str, *curves: Curve) -> None:
    """Draw curves and their mirrors."""
    b.ink(kind, *curves, *(mirrored(curve) for curve in curves))


def behind(b: Board) -> None:
    """Draw what lies under the skin, then the skin."""
    e = b.edges
    pair(b, "tyre", rounded((776, 2, 30), (990, 2, 40), (990, 420, 40), (776, 420, 40)))
    pair(b, "thin", line((820, 6), (820, 236)), line((866, 4), (866, 236)), line((912, 4), (912, 240)), line((954, 8), (954, 260)))
    b.ink("trim", box(-776, 190, 776, 300, 20))
    pair(b, "body", front.MIRROR)
    b.ink("body", chain(e["under"], *(e[f"{n}_l"] for n in SKIN), *(e[f"{n}_r"].back() for n in reversed(SKIN))))


SKIN = ("valance_side", "bumper_side", "lamp_side", "wing_side", "pillar_side", "cap")


def on_top(b: Board) -> None:
    """Draw everything on the skin, the lowest first."""
