"""The nouns of an outline: views, zones, parts, joints and the art that makes them look like a van.

An outline is measured in millimetres, x to the right and y down from the upper left corner of each view. Positions that
people mark are tenths of a millimetre.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from inspect_app.trade.outline_path import Command, Point, polylines, write_path
from inspect_app.trade.outline_ring import Ring
from inspect_app.trade.outline_short import settled

DRAWN = ("left", "right", "front", "rear", "roof")
LISTED = ("openings", "inside")
NOSES = ("left", "right", "front", "rear")
ART = ("body", "line", "thin", "glass", "tyre", "rim", "lamp", "trim", "shade")
CLASSES = ("A", "B", "C", "D")
LAPS = ("lamp", "fit", "seal")
MATERIALS = ("metal", "plastic", "glass", "rubber")
PAINTS = ("ours", "maker", "none")
FLAT = 2.0  # mm between a curve and the polygon that stands for it


class OutlineError(ValueError):
    """An outline that cannot be used; `faults` are sentences that name the id of what is wrong."""

    def __init__(self, *faults: str):
        super().__init__(faults[0])
        self.faults = faults


@dataclass(frozen=True, kw_only=True)
class Art:
    """A path that is only looked at; `kind` is one of ART and says how it is inked."""

    kind: str
    path: tuple[Command, ...]

    @cached_property
    def d(self) -> str:
        """The path data as text."""
        return write_path(self.path)


@dataclass(frozen=True, kw_only=True)
class Zone:
    """One named area on one view, what is looked at; in a list-only view it has no path and no rings."""

    id: str
    view: str
    part: str
    label: str
    surface_class: str
    laps: tuple[str, ...]
    material: str
    paint: str
    overlay: bool
    order: int
    path: tuple[Command, ...]

    @cached_property
    def d(self) -> str:
        """The path data as text; empty in a list-only view."""
        return write_path(self.path)

    @cached_property
    def rings(self) -> tuple[Ring, ...]:
        """The flattened outline, in mm: one ring, or none in a list-only view."""
        return tuple(Ring(line[:-1]) for line in polylines(settled(self.path), FLAT))


@dataclass(frozen=True, kw_only=True)
class Joint:
    """Where two parts meet: an open line on one view; `nominal` gap and `tolerance` in tenths of mm."""

    id: str
    view: str
    parts: tuple[str, str]
    label: str
    nominal: int
    tolerance: int
    path: tuple[Command, ...]

    @cached_property
    def d(self) -> str:
        """The path data as text."""
        return write_path(self.path)

    @cached_property
    def lines(self) -> tuple[tuple[Point, ...], ...]:
        """The flattened line in mm, in one piece or more."""
        return tuple(tuple(line) for line in polylines(settled(self.path), FLAT))

    @cached_property
    def box(self) -> tuple[float, float, float, float]:
        """The left, upper, right and lower ends of the line in mm."""
        xs, ys = zip(*(point for line in self.lines for point in line), strict=True)
        return min(xs), min(ys), max(xs), max(ys)


@dataclass(frozen=True, kw_only=True)
class View:
    """One drawing, `width` by `height` mm, set at `x`, `y` on the sheet; a listed view has zones but no drawing."""

    id: str
    label: str
    width: int
    height: int
    nose: str
    listed: bool
    x: int
    y: int
    art: tuple[Art, ...]
    zones: tuple[Zone, ...]
    joints: tuple[Joint, ...]


@dataclass(frozen=True, kw_only=True)
class Part:
    """The physical thing: its zones on all views, the parts it meets, who paints it, its area as drawn in cm²."""

    id: str
    label: str
    zones: tuple[str, ...]
    neighbours: tuple[str, ...]
    paint: str
    area_cm2: int


def part_label(part: str) -> str:
    """Return a part's name in words: `cab_door_left` is the left cab door."""
    words = part.split("_")
    side = [words.pop()] if words[-1] in ("left", "right") else []
    return " ".join(side + words).replace("a pillar", "A-pillar").replace("b pillar", "B-pillar")
