"""What makes the rear look like a van. Nothing here can be tapped."""

from __future__ import annotations

from sample_units.outline_van.board import Board
from sample_units.outline_van.ends import mirrored
from sample_units.outline_van.pen import box, chain, line, rounded


def behind(b: Board) -> None:
    """Draw what lies under the skin, then the skin."""


def front(b: Board) -> None:
    """Draw everything on the skin, the lowest first."""
