"""An outline by numbers: the drawing of our own van, made to the length, height, wheelbase and width of another.

All drawings of the family have the same zones under the same ids, so that what is found on vans of different make adds
up. What a van has not, its outline has not either:

- a side without a sliding door has `side_panel_upper`, `side_panel_lower` and `moulding_side_panel` where the other has
  `sliding_door_upper`, `sliding_door_lower` and `moulding_sliding_door`; it has no `sliding_door_window`, no
  `sliding_door_handle`, no `running_board`, and its shut is not among the openings;
- a van of less than 2380 mm has no `cantrail_upper`: there is not enough of it above 2.2 m.
"""

from __future__ import annotations

from inspect_app.trade.outline import Outline
from inspect_app.trade.outline_numbers import van
from inspect_app.trade.outline_numbers.numbers import (
    BODIES,
    HEIGHT,
    LENGTH,
    OURS,
    OVERHANGS,
    ROOFS,
    SLIDING_DOORS,
    WHEELBASE,
    WIDTH,
    Numbers,
    NumbersError,
)
from inspect_app.trade.outline_numbers.plan import plan
from inspect_app.words import N_

__all__ = [
    "BODIES",
    "HEIGHT",
    "LABELS",
    "LENGTH",
    "OURS",
    "OVERHANGS",
    "ROOFS",
    "SLIDING_DOORS",
    "WHEELBASE",
    "WIDTH",
    "Numbers",
    "NumbersError",
    "make",
]

# Labels that our own van has not, for those who translate: theirs are read from its file.
LABELS = (
    N_("left side panel"),
    N_("left side panel, upper"),
    N_("left side panel, lower"),
    N_("left moulding side panel"),
    N_("left moulding, side panel"),
    N_("right side panel"),
    N_("right side panel, upper"),
    N_("right side panel, lower"),
    N_("right moulding side panel"),
    N_("right moulding, side panel"),
    N_("B-pillar to side panel"),
    N_("side panel to cantrail"),
    N_("side panel to rear panel"),
    N_("side panel to sill"),
    N_("moulding side panel to side panel"),
    N_("moulding cab door to moulding side panel"),
    N_("moulding side panel to moulding rear panel"),
)


def make(numbers: Numbers, label: str = "") -> Outline:
    """Return the outline of a van of this family, called `label` or by its size; raise NumbersError if it is none."""
    drawn = van.views(plan(numbers))
    sizes = f"{numbers.length_mm} × {numbers.width_mm} × {numbers.height_mm} mm"
    return Outline(id=numbers.id, label=label.strip() or f"Panel van, {sizes}", views=drawn)
