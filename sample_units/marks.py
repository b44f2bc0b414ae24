"""The vans of the demo and the marks on them, from units.toml; everyday marks are drawn by lot with a fixed seed."""

from __future__ import annotations

import random
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

from shapely import LineString, Polygon

from inspect_app.trade import outline as trade_outline
from inspect_app.trade.outline import Outline
from inspect_app.trade.outline_ring import Ring

FILE = Path(__file__).with_name("units.toml")
SNAP = 4_000  # tenths of mm, as the server snaps
FINE, COARSE = (40, 80, 120), 1000  # how far a placed mark may be off, tenths of mm: with the loupe, and without


@dataclass(frozen=True, kw_only=True)
class Mark:
    """One mark an inspector makes. Sizes in tenths of mm; `off` is a gap's distance from its joint's nominal."""

    zone: str
    kind: str
    size: int | None = None
    count: int = 1
    off: int | None = None
    joint: str | None = None
    severity: str | None = None
    raking: bool = False
    method: str | None = None
    method_reason: str | None = None
    note: str | None = None
    origin: str | None = None
    photo: str | None = None
    here: str | None = None
    late: bool = False
    name: str = ""


@dataclass(frozen=True, kw_only=True)
class Spec:
    """One van of the demo as it was ordered, with its marks. `due`: working days from today."""

    key: str
    chassis: str
    build_number: str
    make: str
    model: str
    colour: str
    colour_hex: str
    finish: str
    options: tuple[str, ...]
    due: int
    place: str
    keys: str
    marks: tuple[Mark, ...]
    absent: tuple[str, ...]

    @property
    def order(self) -> dict[str, Any]:
        """What `unit_arrived` says, but for plant and due date."""
        named = ("chassis", "build_number", "make", "model", "colour", "colour_hex", "finish")
        return {**{name: getattr(self, name) for name in named}, "options": list(self.options)}


def specs() -> tuple[Spec, ...]:
    """Every van of the demo."""
    file = tomllib.loads(FILE.read_text(encoding="utf-8"))
    return tuple(_spec(row, file["not_ordered"], file["everyday"]) for row in file["units"])


def _spec(row: dict[str, Any], optional: Mapping[str, list[str]], everyday: Sequence[dict[str, Any]]) -> Spec:
    absent = tuple(zone for option, zones in optional.items() if option not in row["options"] for zone in zones)
    marks = [Mark(**mark) for mark in row.pop("marks", [])]
    kinds = [kind for kind in everyday if row.get("heavy", True) or not kind.get("heavy")]
    row.pop("heavy", None)
    marks += _by_lot(row["key"], kinds, row.pop("fill", 0), absent)
    return Spec(**{**row, "options": tuple(row["options"])}, marks=tuple(marks), absent=absent)


def _by_lot(unit: str, kinds: Sequence[dict[str, Any]], many: int, absent: tuple[str, ...]) -> list[Mark]:
    lot = random.Random(f"everyday {unit}")
    zones = [zone for zone in painted() if zone not in absent]
    return [_drawn(lot, kind, zones) for kind in lot.choices(kinds, [kind["share"] for kind in kinds], k=many)]


def _drawn(lot: random.Random, kind: dict[str, Any], zones: Sequence[str]) -> Mark:
    mark = Mark(zone=lot.choice(kind.get("zones", zones)), kind=kind["kind"], size=lot.choice(kind["sizes"]))
    if mark.kind == "nib" and lot.random() < 0.3:
        mark = replace(mark, count=lot.randint(2, 4))
    return replace(mark, raking=mark.kind in ("nib", "swirl", "scratch", "fibre", "dent") and lot.random() < 0.25)


@cache
def painted() -> tuple[str, ...]:
    """Painted zones of the drawn views, large ones more often: a flaw falls where there is paint."""
    found: list[str] = []
    for view in trade_outline.builtin().views:
        for zone in view.zones:
            if view.listed or "lamp" not in zone.laps or zone.material not in ("metal", "plastic"):
                continue
            area = Polygon(zone.rings[0].points).area
            found += [zone.id] * (1 + round(area / 350_000))
    return tuple(found)


def spot(outline: Outline, mark: Mark, lot: random.Random) -> dict[str, Any]:
    """Where on its zone a mark lies, as the body of `marker_made` says it, with its size or gap."""
    zone = outline.zone(mark.zone)
    if not zone.rings:
        return {"view": zone.view, "zone": zone.id, "size": mark.size}
    measured = {"size": mark.size}
    if mark.joint is None:
        x, y = inside(outline, mark.zone, lot)
    else:
        joint = next(one for one in outline.view(zone.view).joints if one.id == mark.joint)
        x, y = beside(outline, mark.zone, mark.joint, joint.lines[0], lot)
        if mark.off is not None:
            measured = {"gap": joint.nominal + mark.off}
    return {
        "view": zone.view,
        "x": x,
        "y": y,
        "spread": COARSE if lot.random() < 0.12 else lot.choice(FINE),
        **measured,
    }


def inside(outline: Outline, zone_id: str, lot: random.Random) -> tuple[int, int]:
    """A spot of the zone off its edges, where nothing lies over it: somewhere on a plumb line through it."""
    calm = _calm(outline.zone(zone_id).rings[0])
    left, top, right, bottom = calm.bounds
    for _ in range(200):
        x = lot.uniform(left, right)
        cut = calm.intersection(LineString([(x, top), (x, bottom)]))
        if cut.length == 0:
            continue
        y = (
            cut.interpolate(lot.random(), normalized=True).y
            if cut.geom_type == "LineString"
            else cut.geoms[0].centroid.y
        )
        if _hits(outline, zone_id, x, y):
            return round(x * 10), round(y * 10)
    raise LookupError(f"no free spot was found on {zone_id}")


@cache
def _calm(ring: Ring) -> Polygon:
    """What of a zone lies away from its edges."""
    shape = ring.polygon
    return shape.buffer(-min(40.0, shape.area / shape.length / 3))


def beside(outline: Outline, zone: str, joint: str, line: Sequence[Any], lot: random.Random) -> tuple[int, int]:
    """A spot of the zone a few millimetres from its joint."""
    for _ in range(400):
        at = lot.randrange(len(line) - 1)
        (x1, y1), (x2, y2) = line[at : at + 2]
        along = lot.random()
        x = x1 + (x2 - x1) * along + lot.uniform(-14, 14)
        y = y1 + (y2 - y1) * along + lot.uniform(-14, 14)
        near = outline.nearest_joint(outline.zone(zone).view, round(x * 10), round(y * 10), SNAP)
        if _hits(outline, zone, x, y) and near is not None and near.id == joint:
            return round(x * 10), round(y * 10)
    raise LookupError(f"no spot of {zone} was found beside {joint}")


def _hits(outline: Outline, zone_id: str, x: float, y: float) -> bool:
    found = outline.locate(outline.zone(zone_id).view, round(x * 10), round(y * 10))
    return found is not None and found.id == zone_id
