"""Judgement against the bare arithmetic in it: verdicts of a unit, and its plan."""

from __future__ import annotations

import random
from collections import defaultdict
from pathlib import Path
from typing import Any

import numpy as np

from inspect_app.journal.judging import _together
from inspect_app.trade import catalogue, limits, outline
from inspect_app.trade.repair import Flaw, Ground, plan_unit
from inspect_app.trade.repair_cut import source_side
from inspect_app.trade.selectors import Facts, open_methods
from tests.bench.marks import spots
from tests.bench.measure import Finding, turns

BOOK, VAN = catalogue.builtin(), outline.builtin()
PAINT = {zone.id: zone.paint for zone in VAN.zones}


def verdicts_of_500(_folder: Path) -> list[Finding]:
    """Judge 500 markers of a unit, each by itself and what lies together, against the matrix of their distances."""
    rows, areas = _markers(500), {part.id: part.area_cm2 for part in VAN.parts}
    by_part: dict[str, list[dict[str, Any]]] = defaultdict(list)
    for row in rows:
        by_part[row["part"]].append(row)
    places = np.array([(row["x"], row["y"]) for row in rows], float)

    def bare(_round: int) -> object:
        across = places[:, None] - places
        return np.hypot(across[..., 0], across[..., 1])

    def alone(row: dict[str, Any]) -> object:
        paint = PAINT[row["zone"]]
        return limits.verdict(BOOK, row["kind"], row["class"], size=row["size"], paint=paint)

    def judged(_round: int) -> object:
        return [alone(row) for row in rows], [
            _together(BOOK, areas[part], PAINT, some) for part, some in by_part.items()
        ]

    claim = (
        "Verdicts of a unit with 500 markers, each alone and what lies together, against the bare matrix of distances"
    )
    return [Finding(claim=claim, found=turns(bare, judged, rounds=40, warm=3).ratio, most=5)]


def _markers(many: int) -> list[dict[str, Any]]:
    """Rows as the judging reads them, strewn over the drawn zones."""
    lot = random.Random(5)
    kinds = [kind.key for kind in BOOK.kinds.values() if kind.severity != "S1"]
    found = []
    for number in range(many):
        spot = lot.choice(spots())
        zone = VAN.locate(spot["view"], spot["x"], spot["y"])
        assert zone is not None
        at = {
            "x": spot["x"] + lot.randint(-1500, 1500),
            "y": spot["y"] + lot.randint(-1500, 1500),
            "view": spot["view"],
        }
        said = {"kind": lot.choice(kinds), "size": lot.randint(1, 60), "count": 1, "raking": 0, "severity": "S3"}
        where = {"part": zone.part, "zone": zone.id, "class": zone.surface_class, "spread": 0}
        found.append({"id": f"m{number}", "tag": f"B{number}", **at, **said, **where})
    return found


def plan_of_60(_folder: Path) -> list[Finding]:
    """Plan a unit of 60 parts with 300 markers, against our solver alone on the graphs that the plan comes to."""
    task = _task(60, 300)
    graphs = list(_graphs(*task))

    def bare(_round: int) -> object:
        return [source_side(nodes, edges, 0, 1) for nodes, edges in graphs]

    def planned(_round: int) -> object:
        return plan_unit(BOOK, *task, effect=True)

    claim = "Plan of a unit with 60 parts and 300 markers, against the bare solver on the ready-made graphs"
    return [Finding(claim=claim, found=turns(bare, planned, rounds=40, warm=3).ratio, most=3)]


Task = tuple[list[Flaw], dict[str, Ground], list[tuple[str, str]]]
Graph = tuple[int, list[tuple[int, int, int, int]]]


def _task(parts: int, markers: int) -> Task:
    """A unit of body metal and trim with flaws in the paint, as many spots as parts to refinish."""
    lot = random.Random(11)
    materials: dict[str, str] = {}
    for zone in VAN.zones:
        if zone.material in ("metal", "plastic") and zone.paint != "none":
            materials.setdefault(zone.part, zone.material)
    some = [part for part in VAN.parts if part.id in materials][:parts]
    grounds = {part.id: Ground(material=materials[part.id]) for part in some}
    joints = [(part.id, other) for part in some for other in part.neighbours if other in grounds and part.id < other]
    kinds = ("nib", "nib", "scratch", "run", "swirl", "chip", "mottling")
    flaws = []
    for number in range(markers):
        part = lot.choice(some)
        facts = Facts(kind=lot.choice(kinds), material=materials[part.id], surface_class="B", paint=part.paint)
        flaws.append(Flaw(id=f"B{number}", part=part.id, methods=open_methods(BOOK, facts).open))
    return flaws, grounds, joints


def _graphs(flaws: list[Flaw], grounds: dict[str, Ground], joints: list[tuple[str, str]]) -> list[Graph]:
    """The whole graph of each solving of one plan: every part between the two ends, every joint between two parts."""
    from inspect_app.trade import repair_unit

    asked: list[Any] = []
    solve = repair_unit.cheapest_plan

    def listening(costs: Any, pairs: Any) -> Any:
        asked.append((dict(costs), list(pairs)))
        return solve(*asked[-1])

    repair_unit.cheapest_plan = listening
    try:
        plan_unit(BOOK, flaws, grounds, joints, effect=True)
    finally:
        repair_unit.cheapest_plan = solve
    return [_graph(costs, pairs) for costs, pairs in asked]


def _graph(costs: Any, pairs: Any) -> Graph:
    place = {part: number for number, part in enumerate(costs, 2)}
    barred = 1_000_000
    edges = [(0, place[part], barred if spot is None else int(spot), 0) for part, (spot, _whole) in costs.items()]
    edges += [(place[part], 1, barred if whole is None else int(whole), 0) for part, (_spot, whole) in costs.items()]
    edges += [(place[a], place[b], int(minutes), int(minutes)) for a, b, minutes in pairs]
    return len(place) + 2, edges
