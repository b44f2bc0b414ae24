"""The task of a plan: a unit's markers with their open methods, its parts and joints, as `trade.repair` takes them."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from hashlib import sha256
from typing import Any

from inspect_app.journal.events import canonical
from inspect_app.journal.queries import plans, setup
from inspect_app.journal.ways import Ground as Spots
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.outline import Outline, Zone
from inspect_app.trade.repair import Flaw, Ground, PartChoice, Prices, UnitPlan, part_choices, plan_unit
from inspect_app.trade.repair_spots import WHOLE
from inspect_app.trade.repair_unit import Chosen
from inspect_app.trade.selectors import Opened
from inspect_app.words import gettext as _

SAID = ("kind", "size", "count", "part", "class", "raking", "severity", "attempt", "view", "x", "y")
"""What of a marker a plan stands on: where one of these changes, the plan no longer fits."""
Pair = tuple[str, str]


@dataclass(frozen=True, kw_only=True)
class Task:
    """What is to be planned. `rows` are markers by tag, `opened` what is open for each of them; `begun` are left out."""

    catalogue: Catalogue
    flaws: tuple[Flaw, ...]
    grounds: Mapping[str, Ground]
    joints: tuple[Pair, ...]
    effect: bool
    prices: Prices | None
    rows: Mapping[str, sqlite3.Row]
    opened: Mapping[str, Opened]
    begun: tuple[sqlite3.Row, ...]

    def plan(self, chosen: Mapping[str, Chosen] | None = None) -> UnitPlan:
        """Return the cheapest plan, with a person's word for some parts; raises ValueError in one sentence."""
        return plan_unit(
            self.catalogue, self.flaws, self._grounds(chosen), self.joints, effect=self.effect, prices=self.prices
        )

    def choices(self, plan: UnitPlan, chosen: Mapping[str, Chosen] | None = None) -> tuple[PartChoice, ...]:
        """Return what every part's other choice would cost."""
        grounds = self._grounds(chosen)
        return part_choices(
            self.catalogue, self.flaws, grounds, self.joints, plan, effect=self.effect, prices=self.prices
        )

    def _grounds(self, chosen: Mapping[str, Chosen] | None) -> Mapping[str, Ground]:
        if unknown := sorted(set(chosen or ()) - {flaw.part for flaw in self.flaws}):
            raise ValueError(_("There is nothing to put right on '%(part)s'; reload the page.", part=unknown[0]))
        return {
            **self.grounds,
            **{part: replace(self.grounds[part], chosen=one) for part, one in (chosen or {}).items()},
        }

    @property
    def prints(self) -> dict[str, str]:
        """What each marker of the plan said, in short, by its id."""
        return {str(self.rows[flaw.id]["id"]): told(self.rows[flaw.id]) for flaw in self.flaws if flaw.methods}

    @property
    def basis(self) -> str:
        """A hash over all that the plan stands on: whoever accepts it has seen the plan of now."""
        grounds = {part: [one.material, one.off_van, bool(one.no_spots)] for part, one in self.grounds.items()}
        methods = {flaw.id: list(flaw.methods) for flaw in self.flaws}
        prices = None if self.prices is None else [dict(self.prices.per_hour), self.prices.booth_visit]
        on = [self.catalogue.hash, self.prints, grounds, methods, self.effect, prices]
        return sha256(canonical(on).encode()).hexdigest()


def told(row: Any) -> str:
    """Return what a marker says, in short, to see later whether it has changed."""
    return sha256(canonical([row[name] for name in SAID]).encode()).hexdigest()[:16]


def task(db: sqlite3.Connection, unit: Any, catalogue: Catalogue, outline: Outline, *, money: bool = False) -> Task:
    """Return what there is to plan on a unit (a row of units) now.

    `money` counts in hundredths of the plant's money, at its price of an hour; where none is set, in minutes.
    """
    rows = [row for row in plans.to_work(db, unit["id"]) if row["part"]]
    held_back = {row["id"] for row in rows if row["begun"] or _sent_elsewhere(catalogue, row)}
    free = [row for row in rows if row["id"] not in held_back]
    zones = {zone.id: zone for zone in outline.zones}
    on = Spots(db, unit["id"], catalogue, outline)
    held = plans.latest(db, unit["id"])
    laid = held["markers"] if held else {}
    opened = {row["tag"]: _opened(catalogue, row, zones.get(row["zone"]), on, laid=row["id"] in laid) for row in free}
    flaws = tuple(
        Flaw(id=row["tag"], part=row["part"], methods=opened[row["tag"]].open, count=row["count"] or 1) for row in free
    )
    grounds = _grounds(db, unit["id"], outline, flaws)
    pairs = {tuple(sorted((part.id, other))) for part in outline.parts for other in part.neighbours}
    return Task(
        catalogue=catalogue,
        flaws=flaws,
        grounds=grounds,
        joints=tuple((a, b) for a, b in sorted(pairs) if grounds[a].material == grounds[b].material == "metal"),
        effect=unit["finish"] == "metallic",
        prices=prices(db) if money else None,
        rows={row["tag"]: row for row in free},
        opened=opened,
        begun=tuple(row for row in rows if row["id"] in held_back),
    )


def _sent_elsewhere(catalogue: Catalogue, row: sqlite3.Row) -> bool:
    """Tell whether a person has sent a marker's work to a department that its method does not go through."""
    method = catalogue.methods.get(row["method"])
    return method is not None and row["department"] not in {step.department for step in method.chain}


def prices(db: sqlite3.Connection) -> Prices | None:
    """Return the plant's prices of an hour, by department, and of a booth visit; None where no hour has one."""
    hour, visit = setup.hour_cost(db), setup.booth_cost(db)
    return None if hour is None else Prices(per_hour={**setup.hour_costs(db), "": hour}, booth_visit=visit)


def _grounds(db: sqlite3.Connection, unit: str, outline: Outline, flaws: Sequence[Flaw]) -> dict[str, Ground]:
    off, dense = plans.parts_off(db, unit), _dense(db, unit, flaws)
    materials: dict[str, str] = {}
    for zone in outline.zones:
        if materials.get(zone.part) != "metal":
            materials[zone.part] = zone.material
    found = {
        part.id: Ground(material=materials[part.id], off_van=part.id in off, no_spots=dense.get(part.id, ""))
        for part in outline.parts
    }
    for flaw in flaws:  # drawn on another outline once, as an event that came late may be
        found.setdefault(flaw.part, Ground(material="metal"))
    return found


def _dense(db: sqlite3.Connection, unit: str, flaws: Sequence[Flaw]) -> dict[str, str]:
    """Why a part is not mended spot by spot, where flaws lie too close together and a new film would cover them all."""
    renewable = {flaw.part for flaw in flaws if any(method in WHOLE for method in flaw.methods)}
    return {
        row["part"]: _("%(found)s: so close together they are not mended one by one", found=row["text"])
        for row in plans.dense(db, unit)
        if row["part"] in renewable
    }


def _opened(catalogue: Catalogue, row: sqlite3.Row, zone: Zone | None, on: Spots, *, laid: bool) -> Opened:
    """The methods that come into question for a marker; of a kind that no rule knows, the one it has.

    A method that a person chose stays: it is noted so, or is neither the usual nor the mildest open one of the kind,
    unless a plan has `laid` it down.
    """
    known = {key for key, method in catalogue.methods.items() if not method.retired}
    ways = on.ways(row)
    if ways is None:
        return Opened(open=(row["method"],) if row["method"] in known else (), barred={}, asks=())
    found = ways.opened
    usual = (catalogue.kind(row["kind"]).method_for(zone.material if zone else "metal"), *found.open[:1])
    if row["method"] in known and (row["method_by"] or (row["method"] not in usual and not laid)):
        return replace(found, open=(row["method"],))
    bare = zone is not None and zone.paint == "none"  # glass and what comes painted: there is no film to renew
    return replace(found, open=tuple(one for one in found.open if one in known and not (bare and one in WHOLE)))


@dataclass(frozen=True, kw_only=True)
class Moved:
    """How a unit has moved on since its plan: tags that are new, and tags that say something else than they did."""

    new: tuple[str, ...]
    changed: tuple[str, ...]

    def __bool__(self) -> bool:
        return bool(self.new or self.changed)


def moved(db: sqlite3.Connection, plan: Mapping[str, Any], now: Task) -> Moved:
    """Return what has changed on a unit since a plan (of `queries.plans.latest`) was accepted."""
    held: Mapping[str, str] = plan["markers"]
    new = [tag for tag, row in now.rows.items() if row["id"] not in held and now.opened[tag].open]
    changed = [
        row["tag"]
        for row in plans.markers_now(db, plan["unit"])
        if row["id"] in held and (told(row) != held[row["id"]] or row["state"] in ("withdrawn", "no_flaw", "accepted"))
    ]
    return Moved(new=tuple(new), changed=tuple(changed))
