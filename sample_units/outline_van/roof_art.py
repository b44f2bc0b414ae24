"""What makes the roof look like a van from above. Nothing here can be tapped."""

from __future__ import annotations

from sample_units.outline_van.board import Board


def behind(b: Board) -> None:
    """Draw what lies under the skin, then the skin."""


def front(b: Board) -> None:
    """Draw everything on the skin, the lowest first."""
