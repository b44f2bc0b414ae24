"""Arrows and rings on a photo as lines for the sheet; the tablet draws the same shapes (client/photo_marks.js)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import atan2, cos, hypot, pi, sin
from typing import Any

from inspect_app.sheet.data import Stroke

BARB, SPREAD = 60, 0.45  # length in thousandths, and radians to either side
TURN = 32  # chords of a ring


def strokes(marks: Iterable[Mapping[str, Any]]) -> tuple[Stroke, ...]:
    """Lines in thousandths of the picture, y down: a ring is one, an arrow its shaft and its head."""
    return tuple(line for mark in marks for line in (_ring(mark) if mark["form"] == "ring" else _arrow(mark)))


def _ring(mark: Mapping[str, Any]) -> list[Stroke]:
    x, y = (mark["x"] + mark["x2"]) / 2, (mark["y"] + mark["y2"]) / 2
    rx, ry = abs(mark["x2"] - mark["x"]) / 2, abs(mark["y2"] - mark["y"]) / 2
    return [tuple((x + rx * cos(2 * pi * i / TURN), y + ry * sin(2 * pi * i / TURN)) for i in range(TURN + 1))]


def _arrow(mark: Mapping[str, Any]) -> list[Stroke]:
    start, tip = (mark["x"], mark["y"]), (mark["x2"], mark["y2"])
    angle, barb = atan2(tip[1] - start[1], tip[0] - start[0]), min(BARB, hypot(tip[0] - start[0], tip[1] - start[1]))
    ends = [(tip[0] - barb * cos(angle + turn), tip[1] - barb * sin(angle + turn)) for turn in (-SPREAD, SPREAD)]
    return [(start, tip), (ends[0], tip, ends[1])]
