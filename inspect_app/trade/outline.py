"""The outline: a drawing of a van in millimetres that knows its zones, parts and joints.

It answers where a tap lies, how to say so in words, which joint is near and which parts meet. It is an SVG file under a
few rules (see outline_read); what was read is written anew, so that nothing foreign in an uploaded file survives.
"""

from __future__ import annotations

import hashlib
from collections import Counter
from dataclasses import dataclass
from functools import cache, cached_property, lru_cache
from importlib import resources
from itertools import pairwise
from typing import Any

from inspect_app.trade import outline_json, outline_parts, outline_read, outline_words, outline_write
from inspect_app.trade.outline_model import Joint, OutlineError, Part, View, Zone
from inspect_app.trade.outline_ring import Ring, to_edge

__all__ = ["Joint", "Outline", "OutlineError", "Part", "View", "Zone", "builtin", "load", "load_foreign"]

BUILTIN = "van_lwb_high"
SNAP = 30.0  # mm: a finger that misses the edge of the body by this much still means the body


@dataclass(frozen=True, kw_only=True)
class Outline:
    """All views of one kind of van; immutable, named by the hash of its canonical rewriting."""

    id: str
    label: str
    views: tuple[View, ...]

    @cached_property
    def hash(self) -> str:
        """The SHA-256 of `to_svg()` in hexadecimal."""
        return hashlib.sha256(self.to_svg().encode()).hexdigest()

    @cached_property
    def zones(self) -> tuple[Zone, ...]:
        """All zones in walking order."""
        return tuple(sorted((z for v in self.views for z in v.zones), key=lambda z: z.order))

    @cached_property
    def parts(self) -> tuple[Part, ...]:
        """All parts, in the order in which a walk meets them."""
        return outline_parts.collect(self.zones, self.views)

    def view(self, view: str) -> View:
        """Return a view by its id; KeyError if there is none."""
        return self._views[view]

    def zone(self, zone: str) -> Zone:
        """Return a zone by its id; KeyError if there is none."""
        return self._zones[zone]

    def zone_or_none(self, zone: str) -> Zone | None:
        """Return a zone by its id, None if there is none: what was drawn on another outline once."""
        return self._zones.get(zone)

    def part(self, part: str) -> Part:
        """Return a part by its id; KeyError if there is none."""
        return self._parts[part]

    def joint(self, joint: str) -> Joint:
        """Return a joint by its id; KeyError if there is none."""
        return self._joints[joint]

    def locate(self, view: str, x: int, y: int) -> Zone | None:
        """Return the zone at a position in tenths of mm: an overlay before what it lies on, None off the body.

        A point up to SNAP mm off the body belongs to the nearest zone.
        """
        px, py = x / 10, y / 10
        for left, right, top, bottom, zone, ring in self._boxes.get(view, ()):
            if left <= px <= right and top <= py <= bottom and ring.holds(px, py):
                return zone
        near = [
            (ring.distance(px, py), place, zone)
            for place, (zone, ring) in enumerate(self._stacks.get(view, ()))
            if ring.left - SNAP <= px <= ring.right + SNAP and ring.top - SNAP <= py <= ring.bottom + SNAP
        ]
        return next((zone for distance, _, zone in sorted(near, key=lambda n: n[:2]) if distance <= SNAP), None)

    def panel_of(self, zone_id: str) -> Zone:
        """Return the base zone an overlay lies on, itself for a base zone; KeyError if there is no such zone."""
        if zone_id not in self._panels:
            self._panels[zone_id] = self._below(self._zones[zone_id])
        return self._panels[zone_id]

    def _below(self, zone: Zone) -> Zone:
        if not zone.overlay or not zone.rings:
            return zone
        middle = outline_parts.polygon(zone).representative_point()
        base = [(z, ring) for z, ring in self._stacks[zone.view] if not z.overlay]
        inside = next((z for z, ring in base if ring.holds(middle.x, middle.y)), None)
        return inside or min(base, key=lambda b: b[1].distance(middle.x, middle.y))[0]

    def nearest_joint(self, view: str, x: int, y: int, within: int) -> Joint | None:
        """Return the joint nearest to a position, at most `within` away (all in tenths of mm), or None."""
        if view not in self._views:
            return None
        px, py = x / 10, y / 10
        best, found = within / 10, None
        for joint in self._views[view].joints:
            left, top, right, bottom = joint.box
            if left - best <= px <= right + best and top - best <= py <= bottom + best:
                distance = _to_joint(joint, px, py)
                if distance < best or (found is None and distance == best):
                    best, found = distance, joint
        return found

    def describe(self, zone_id: str, x: int, y: int, spread: int = 0) -> str:
        """Return the spot in words, rounded by its `spread`; all in tenths of mm. KeyError if there is no such zone."""
        zone = self._zones[zone_id]
        side = zone.view if zone.view == "roof" else self._views[zone.view].nose
        return outline_words.describe(zone.label, zone.rings[0] if zone.rings else None, side, x, y, spread)

    def to_svg(self) -> str:
        """Return the outline written anew as canonical SVG; `load` reads it back to an equal outline."""
        return self._svg

    def to_json(self) -> dict[str, Any]:
        """Return all that a browser needs to draw it and to find and name a spot; lengths in mm, see outline_json."""
        told = outline_json.for_browser(self.views, self.parts)
        return {"id": self.id, "label": self.label, "hash": self.hash, **told}

    def to_sheet(self) -> dict[str, Any]:
        """Return what a sheet draws of it: its views and their art, paths absolute in mm."""
        return {"id": self.id, "label": self.label, "views": outline_json.for_sheet(self.views)}

    @cached_property
    def _svg(self) -> str:
        return outline_write.svg(self.id, self.label, self.views)

    @cached_property
    def _panels(self) -> dict[str, Zone]:
        """What `panel_of` has found so far."""
        return {}

    @cached_property
    def _views(self) -> dict[str, View]:
        return {view.id: view for view in self.views}

    @cached_property
    def _zones(self) -> dict[str, Zone]:
        return {zone.id: zone for zone in self.zones}

    @cached_property
    def _joints(self) -> dict[str, Joint]:
        return {joint.id: joint for view in self.views for joint in view.joints}

    @cached_property
    def _parts(self) -> dict[str, Part]:
        return {part.id: part for part in self.parts}

    @cached_property
    def _boxes(self) -> dict[str, list[tuple[float, float, float, float, Zone, Ring]]]:
        """The same as `_stacks`, each with its ring's left, right, upper and lower end, for a quick no."""
        return {
            view: [(ring.left, ring.right, ring.top, ring.bottom, zone, ring) for zone, ring in stack]
            for view, stack in self._stacks.items()
        }

    @cached_property
    def _stacks(self) -> dict[str, list[tuple[Zone, Ring]]]:
        """The zones of each view, the topmost first: what is drawn last lies on top, and overlays on all others."""
        stacks: dict[str, list[tuple[Zone, Ring]]] = {}
        for view in self.views:
            upwards = sorted(view.zones, key=lambda zone: zone.overlay)
            stacks[view.id] = [(zone, zone.rings[0]) for zone in reversed(upwards) if zone.rings]
        return stacks


def _to_joint(joint: Joint, x: float, y: float) -> float:
    return min(to_edge((*a, *b), x, y) for line in joint.lines for a, b in pairwise(line))


@lru_cache(maxsize=8)  # what is kept is read before, and once more by whoever draws on it
def load(text: str) -> Outline:
    """Read an outline from SVG text and check all of it, overlaps too; raise OutlineError with a sentence a fault."""
    return load_foreign(text)[0]


def load_foreign(text: str) -> tuple[Outline, Counter[str]]:
    """Do what `load` does; return also what was left out of the file, counted by the name of element or attribute."""
    head = outline_read.read(text)
    outline_parts.check(head.views)
    return Outline(id=head.id, label=head.label, views=head.views), head.left_out


@cache
def builtin() -> Outline:
    """Return the outline that comes with the product: a long-wheelbase high-roof panel van."""
    file = resources.files("inspect_app.trade") / "outlines" / f"{BUILTIN}.svg"
    head = outline_read.read(file.read_text(encoding="utf-8"))
    return Outline(id=head.id, label=head.label, views=head.views)
