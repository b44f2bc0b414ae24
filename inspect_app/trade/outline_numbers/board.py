"""A drawing board: collects the edges, zones, joints and art of one view and writes them as an outline's nouns."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import combinations
from typing import TypedDict

from inspect_app.trade.outline_model import Art, Joint, View, Zone, part_label
from inspect_app.trade.outline_numbers.laps import laps
from inspect_app.trade.outline_numbers.pen import Curve, Point, chain
from inspect_app.trade.outline_numbers.plan import Place
from inspect_app.trade.outline_path import parse_path

# Gap and tolerance in tenths of mm. Common practice and published examples of the trade; each shop replaces them.
GAPS = {
    "mirror": (5, 5),
    "running_board": (100, 30),
    "storage_door": (40, 15),
    "moulding": (5, 5),
    "arch_trim": (5, 5),
    "flap": (30, 10),
    "lamp": (30, 10),
    "windscreen": (50, 15),
    "window": (50, 15),
    "glass": (50, 15),
    "sill": (20, 10),
    "bumper": (20, 10),
    "bonnet": (40, 10),
    "door": (50, 10),
    "welded": (0, 5),
    "across": (600, 20),
    "between_mouldings": (800, 20),
}


class Look(TypedDict):
    """What a zone is made of and who paints it."""

    material: str
    paint: str


OURS: Look = {"material": "plastic", "paint": "ours"}
BOUGHT: Look = {"material": "plastic", "paint": "none"}
GLASS: Look = {"material": "glass", "paint": "none"}


@dataclass
class Board:
    """One view being drawn: `centre` is where the van's x = 0 lies on the paper, `ground` where its z = 0 does.

    `bend` is where the plan puts a place of our own van.
    """

    id: str
    label: str
    width: int
    height: int
    nose: str
    centre: float
    bend: Place
    ground: float
    mirrored: bool = False
    edges: dict[str, Curve] = field(default_factory=dict)
    shapes: dict[str, tuple[str, ...]] = field(default_factory=dict)
    art: list[Art] = field(default_factory=list)
    zones: list[Zone] = field(default_factory=list)
    joints: list[Joint] = field(default_factory=list)

    def place(self, x: float, z: float) -> Point:
        """From the van's millimetres to the paper's."""
        return self.centre + (-x if self.mirrored else x), self.ground - z

    def path(self, *curves: Curve) -> str:
        """Path data on the paper."""
        return " ".join(curve.bent(self.bend).moved(self.place).d() for curve in curves)

    def ink(self, kind: str, *curves: Curve) -> None:
        """Draw curves in one path of art."""
        self.art.append(Art(kind=kind, path=parse_path(self.path(*curves))))

    def zone(
        self,
        name: str,
        part: str,
        label: str,
        order: int,
        *,
        look: str = "A",
        material: str = "metal",
        paint: str = "maker",
        edges: str = "",
        shape: Curve | None = None,
    ) -> None:
        """Add a zone: a base zone by the names of its edges all round, an overlay by its own shape."""
        names = tuple(edges.split())
        curve = shape or (chain(*(self.edges[n] for n in names)) if names else None)
        if curve is not None and not curve.closed:
            raise ValueError(f"{self.id}.{name} is open between {curve.end} and {curve.start}")
        self.shapes[name] = names
        self.zones.append(
            Zone(
                id=f"{self.id}.{name}",
                view=self.id,
                part=part,
                label=label,
                surface_class=look,
                laps=laps(self.id, name),
                material=material,
                paint=paint,
                overlay=shape is not None,
                order=order,
                path=parse_path(self.path(curve)) if curve else (),
            )
        )

    def joint(self, one: str, other: str, curve: Curve, gap: str = "") -> None:
        """Add a joint between two parts along a curve."""
        nominal, tolerance = GAPS[gap or _gap(one, other)]
        name = f"{self.id}.joint.{self._short(one)}_to_{self._short(other)}"
        same = sum(j.id == name or j.id.startswith(name + "_no") for j in self.joints)
        d = self.path(curve)
        if curve.closed:
            start = d.split()[1:3]
            d = f"{d.removesuffix(' Z')} L {start[0]} {start[1]}"
        self.joints.append(
            Joint(
                id=f"{name}_no{same + 1}" if same else name,
                view=self.id,
                parts=(one, other),
                label=f"{self._plain(one)} to {self._plain(other)}",
                nominal=nominal,
                tolerance=tolerance,
                path=parse_path(d),
            )
        )

    def meet(self) -> None:
        """Add a joint wherever base zones of two parts share edges."""
        base = [z for z in self.zones if not z.overlay and z.path]
        shared: dict[tuple[str, str], list[str]] = {}
        for a, b in combinations(base, 2):
            common = [n for n in self.shapes[a.id.split(".")[1]] if n in self.shapes[b.id.split(".")[1]]]
            if common and a.part != b.part:
                shared.setdefault((a.part, b.part), []).extend(common)
        for (one, other), names in shared.items():
            for run in _runs([self.edges[name] for name in names]):
                self.joint(one, other, run)

    def view(self, x: int, y: int) -> View:
        """The finished view at its place on the sheet."""
        return View(
            id=self.id,
            label=self.label,
            width=self.width,
            height=self.height,
            nose=self.nose,
            listed=False,
            x=x,
            y=y,
            art=tuple(self.art),
            zones=tuple(self.zones),
            joints=tuple(self.joints),
        )

    def _short(self, part: str) -> str:
        return part.removesuffix(f"_{self.id}")

    def _plain(self, part: str) -> str:
        return part_label(part).removeprefix(f"{self.id} ")


def _runs(curves: list[Curve]) -> list[Curve]:
    runs: list[Curve] = []
    for curve in curves:
        for i, run in enumerate(runs):
            try:
                runs[i] = chain(run, curve)
                break
            except ValueError:
                continue
        else:
            runs.append(curve)
    return runs


def _gap(one: str, other: str) -> str:
    """Return the first key of GAPS that either part is named for: a moulding on a door has a moulding's gap."""
    return next((key for key in GAPS if key in one or key in other), "welded")
