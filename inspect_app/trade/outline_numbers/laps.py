"""In which laps each drawn zone is looked at.

A fitting that sits on a panel (a handle, a plate, a wiper) is seen with the panel under the lamp and has no look of its
own there: it is a zone so that a flaw on it can be named. Common practice, no source.
"""

from __future__ import annotations

WITH_ITS_PANEL = frozenset({
    "sensor_area", "plate", "wiper_left", "wiper_right", "cab_door_handle", "sliding_door_handle",
    "door_handle", "hinges_left", "hinges_right", "flap", "lamp_left", "lamp_right", "brake_lamp", "aerial",
    "rail_left", "rail_right", "fan", "headlamp",
})  # fmt: skip
GLASS = frozenset({
    "windscreen", "cab_door_glass", "sliding_door_window", "window_left", "window_right",
})  # fmt: skip
TWICE_SHOWN = frozenset({"front.mirror_left", "front.mirror_right"})  # the side view has the larger face
FIT = frozenset({
    "valance", "bumper", "grille", "headlamp_left", "headlamp_right", "bonnet", "cab_door_lower",
    "sliding_door_lower", "mirror", "moulding_cab_door", "moulding_sliding_door", "moulding_rear_panel",
    "moulding_rear_corner", "moulding_side_panel", "front_arch_trim", "rear_arch_trim", "sill",
    "running_board", "storage_door",
    "flap", "door_left_lower", "door_right_lower", "plate", "front_cap", "rear_cap", "fan", "rail_left",
    "rail_right", "aerial",
})  # fmt: skip
SEAL = GLASS | frozenset({
    "front_cap", "rear_cap", "gutter_left", "gutter_right", "fan", "aerial", "rail_left", "rail_right",
    "storage_door", "flap", "lamp_left", "lamp_right", "brake_lamp",
})  # fmt: skip


def laps(view: str, name: str) -> tuple[str, ...]:
    """Return the laps of a zone, in the order they are walked; none for a fitting seen with its panel in every lap."""
    under_lamp = name not in WITH_ITS_PANEL | GLASS and f"{view}.{name}" not in TWICE_SHOWN
    return tuple(lap for lap, held in (("lamp", under_lamp), ("fit", name in FIT), ("seal", name in SEAL)) if held)
