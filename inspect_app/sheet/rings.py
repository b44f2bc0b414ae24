"""The wax ring: its shape tells the state, its weight the severity, so that a grey copy says as much."""

import math
from typing import Any

from inspect_app.sheet.text import WAX
from inspect_app.words import N_

WEIGHTS = {"S1": 2.0, "S2": 1.55, "S3": 1.15, "S4": 0.8, "S5": 0.55}
"""Stroke in points at a radius of 5; a note is hardly there, a safety matter cannot be missed."""
THIN = 0.55
STATES = {
    "open": N_("open"),
    "in_rework": N_("in rework"),
    "reworked": N_("reworked, second look due"),
    "cleared": N_("cleared"),
    "accepted": N_("accepted, within limit"),
    "conceded": N_("conceded"),
    "no_flaw": N_("no flaw"),
    "withdrawn": N_("withdrawn"),
}
"""Every state with its words, in the order of the job."""
SHORT = {**STATES, "reworked": N_("reworked"), "accepted": N_("accepted")}
"""The same in as few words as there may be."""

_HEAVY = ("open", "in_rework", "reworked", "conceded")
_TURN = math.radians(385)
_ARCS = 5
_HANDS = 6
"""How many different strokes there are of each ring."""


def _wax_path(canvas: Any, x: float, y: float, radius: float, seed: int) -> Any:
    """Trace a ring as a hand draws it: it starts a little wide, ends a little inside, and crosses its own start."""
    start = math.radians(70 + 47 * seed)
    step = _TURN / _ARCS
    handle = 4 / 3 * math.tan(step / 4)
    path = canvas.beginPath()
    for arc in range(_ARCS):
        ends = []
        for turn in (arc, arc + 1):
            angle = start + turn * step
            reach = radius * (1.05 - 0.10 * turn / _ARCS + 0.03 * math.sin(seed + 2.1 * turn))
            ends.append((math.cos(angle) * reach, math.sin(angle) * reach))
        (ax, ay), (bx, by) = ends
        if arc == 0:
            path.moveTo(x + ax, y + ay)
        path.curveTo(
            x + ax - ay * handle, y + ay + ax * handle, x + bx + by * handle, y + by - bx * handle, x + bx, y + by
        )
    return path


def draw_ring(
    canvas: Any, x: float, y: float, state: str, severity: str, *, radius: float = 5.0, seed: int = 0
) -> None:
    """Draw a marker's ring round x, y; `seed` varies the hand, the same seed gives the same stroke.

    Each ring of its kind is stored in the file once: sixty rings, drawn three times over, are most of a sheet's lines.
    """
    name = f"ring_{state}_{severity if state in _HEAVY else ''}_{seed % _HANDS}"
    if not canvas.hasForm(name):
        canvas.beginForm(name, -9, -9, 9, 9)
        _trace_ring(canvas, state, severity, seed % _HANDS)
        canvas.endForm()
    canvas.saveState()
    scale = radius / 5
    canvas.transform(scale, 0, 0, scale, x, y)
    canvas.doForm(name)
    canvas.restoreState()


def _trace_ring(canvas: Any, state: str, severity: str, seed: int) -> None:
    """Draw a ring of radius 5 round the origin."""
    radius, x, y = 5.0, 0.0, 0.0
    weight = WEIGHTS.get(severity, 1.0) if state in _HEAVY else THIN
    canvas.setStrokeColorRGB(*WAX)
    canvas.setLineWidth(weight)
    canvas.setLineCap(1)
    if state == "reworked":
        canvas.setDash([radius * 0.62, radius * 0.5])
    elif state in ("no_flaw", "withdrawn"):
        canvas.setLineWidth(0.8)
        canvas.setDash([0, radius * 0.42])
    canvas.drawPath(_wax_path(canvas, x, y, radius, seed), stroke=1, fill=0)
    canvas.setDash()
    _draw_sign(canvas, x, y, state, radius, weight)


def _draw_sign(canvas: Any, x: float, y: float, state: str, radius: float, weight: float) -> None:
    """Add what a state carries besides its ring: a bar under it, a stroke through it, a square about it."""
    if state == "in_rework":
        canvas.line(x - radius * 0.85, y - radius * 1.5, x + radius * 0.85, y - radius * 1.5)
    elif state == "cleared":
        canvas.setLineWidth(THIN * 1.4)
        canvas.line(x - radius * 1.25, y - radius * 0.8, x + radius * 1.25, y + radius * 0.8)
    elif state == "conceded":
        canvas.setLineWidth(max(THIN, weight * 0.7))
        half = radius * 1.42
        canvas.rect(x - half, y - half, 2 * half, 2 * half, stroke=1, fill=0)


def draw_run(canvas: Any, start: tuple[float, float], end: tuple[float, float], *, radius: float = 5.0) -> None:
    """Draw a flaw that runs from one spot to another: a thin wax line from the ring's edge, with a foot at its end."""
    length = math.dist(start, end)
    if length <= radius * 1.2:
        return
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    canvas.saveState()
    canvas.setStrokeColorRGB(*WAX)
    canvas.setLineWidth(0.7 * radius / 5)
    canvas.line(start[0] + ux * radius, start[1] + uy * radius, *end)
    foot = radius * 0.4
    canvas.line(end[0] - uy * foot, end[1] + ux * foot, end[0] + uy * foot, end[1] - ux * foot)
    canvas.restoreState()
