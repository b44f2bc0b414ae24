"""The flaws of one van, drawn by lot: how many of each kind (Poisson), where, how large, who finds them and when."""

from __future__ import annotations

import math
import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from inspect_app.trade import catalogue
from sample_units.half_year import key
from sample_units.half_year.spots import Spots
from sample_units.marks import painted

PICTURED = ("nib", "run", "orange_peel", "gap", "chip", "swirl", "scratch", "dent")  # what paint_photos can draw
CLUSTERED = ("nib", "fibre", "orange_peel", "swirl")  # these fall on a few panels of a van, not all over it


@dataclass(frozen=True, kw_only=True)
class Flaw:
    """One flaw. `on`: the walk it is found on; `place`: view, x, y, spread or zone; sizes in tenths of a millimetre."""

    kind: str
    on: str
    zone: str
    place: Mapping[str, Any]
    size: int | None = None
    count: int = 1
    gap: int | None = None
    raking: bool = False
    origin: str = ""
    judged: bool = False
    note: str = ""
    photo: str = ""
    left: bool = False  # accepted, if it is within its limit
    returned: bool = False

    def body(self) -> dict[str, Any]:
        """What `marker_made` says of it, but for its id, tag, walk and lap."""
        said = {"size": self.size, "gap": self.gap}
        return {
            "kind": self.kind, **self.place, "count": self.count, "raking": self.raking,
            **{name: amount for name, amount in said.items() if amount is not None},
        }  # fmt: skip


def poisson(mean: float, lot: random.Random) -> int:
    """Draw a count whose mean is `mean` (Knuth's product of lots, fit for means up to some hundreds)."""
    least, product, count = math.exp(-mean), lot.random(), 0
    while product > least:
        product *= lot.random()
        count += 1
    return count


def of_van(
    van: key.Van, absent: Sequence[str], lots: Mapping[str, Any], spots: Spots, lot: random.Random
) -> tuple[Flaw, ...]:
    """Draw everything that is found on a van up to its signing."""
    paint = _paint(absent)
    panels = _panels(paint, lot)
    found: list[Flaw] = []
    for kind in key.MEANS:
        for _ in range(poisson(key.mean(kind, van), lot)):
            on = _when(van, lot)
            if on:
                zones = panels if kind in CLUSTERED else _zones(kind, absent, lots) or paint
                found.append(_flaw(kind, on, van, zones, lots, spots, lot))
    found += _sliding_door(van, lots, spots, lot)
    if lot.random() < key.INCOMING:
        kinds = lots["kinds"]["incoming"]["kinds"]
        found += [
            _flaw(lot.choice(kinds), "incoming", van, paint, lots, spots, lot)
            for _ in range(poisson(key.INCOMING_MEAN, lot))
        ]
    return tuple(found)


def escaped(absent: Sequence[str], lots: Mapping[str, Any], spots: Spots, lot: random.Random) -> Flaw:
    """Draw a flaw that nobody has found before the signing."""
    van = key.Van(make="", booth="", painted=0, walked=0, inspector="")
    kind = lot.choice(("scratch", "dent", "run", "scratch"))
    return _flaw(kind, "escape", van, _paint(absent), lots, spots, lot)


def _when(van: key.Van, lot: random.Random) -> str:
    """On which walk a flaw is found; "" for never."""
    share = key.finds(van)
    if share == 1.0 or lot.random() < share:
        return "first"
    return "again" if lot.random() < key.LATER else ""


def _paint(absent: Sequence[str]) -> list[str]:
    return [zone for zone in painted() if zone not in absent]


def _panels(paint: Sequence[str], lot: random.Random) -> list[str]:
    """The panels of a van that dust and the polishing machine have met, the worst most often."""
    few = lot.sample(sorted(set(paint)), 5)
    return [few[0]] * 5 + [few[1]] * 3 + [few[2]] * 2 + few[3:]


def _zones(kind: str, absent: Sequence[str], lots: Mapping[str, Any]) -> list[str]:
    """Where a kind falls that does not fall on paint all over; none named: there."""
    return [zone for zone in lots["kinds"][kind].get("zones", ()) if zone not in absent]


def _flaw(
    kind: str, on: str, van: key.Van, zones: Sequence[str], lots: Mapping[str, Any], spots: Spots, lot: random.Random
) -> Flaw:
    drawn = lots["kinds"][kind]
    joint = lot.choice(drawn["joints"]) if "joints" in drawn else None
    zone = joint[0] if joint else lot.choice(zones)
    many = lot.randint(2, 4) if kind in ("nib", "clip", "fastener") and lot.random() < 0.18 else 1
    notes = lots["notes"].get(kind)
    return Flaw(
        kind=kind,
        on=on,
        zone=zone,
        place=spots.beside(zone, joint[1], lot) if joint else spots.on(zone, lot),
        size=lot.choice(drawn["sizes"]) if drawn["sizes"] else None,
        gap=spots.nominal(joint[1]) + lot.choice(drawn["off"]) if joint and "off" in drawn else None,
        count=many,
        raking=kind in ("nib", "swirl", "scratch", "fibre", "dent") and lot.random() < 0.25,
        origin="supplier" if on == "incoming" else key.origin(kind, van.walked, _assumed(kind)),
        judged=on == "incoming" or lot.random() < key.JUDGED,
        note=lot.choice(notes) if notes and lot.random() < 0.12 else "",
        photo=_photo(kind, on, van, lot),
        left=lot.random() < 0.75,
        returned=lot.random() < key.RETURNED,
    )


def _photo(kind: str, on: str, van: key.Van, lot: random.Random) -> str:
    if on == "escape":
        return "found"
    share = key.PICTURED_LATE if key.week(van.walked) > key.PICTURED_AFTER else key.PICTURED
    return lot.choice(("found", "pair")) if kind in PICTURED and lot.random() < share else ""


def _assumed(kind: str) -> str:
    return catalogue.builtin().kinds[kind].origin_department


def _sliding_door(van: key.Van, lots: Mapping[str, Any], spots: Spots, lot: random.Random) -> list[Flaw]:
    """The gap that drifts on one make; on the others it is off now and then, and no more than it ever was."""
    if van.make == key.DRIFTS:
        off = round(lot.gauss(key.drift(van.walked), key.DRIFT_SPREAD))
        marked = off >= key.DRIFT_NOTED
    else:
        off, marked = round(lot.gauss(11, 2)), lot.random() < key.DRIFT_OTHERS
    on = _when(van, lot) if marked else ""
    if not on:
        return []
    return [
        Flaw(
            kind="gap",
            on=on,
            zone=key.DRIFT_ZONE,
            place=spots.beside(key.DRIFT_ZONE, key.DRIFT_JOINT, lot),
            gap=spots.nominal(key.DRIFT_JOINT) + off,
            origin="fit",
            judged=lot.random() < key.JUDGED,
            photo="pair" if lot.random() < 0.08 else "",
            returned=lot.random() < key.RETURNED,
        )
    ]
