"""Walks of the half-year: zones in walking order, marks where they lie, looks as the walk goes; and looking again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from inspect_app.journal import Journal, coverage
from inspect_app.trade import outline as trade_outline
from sample_units.days import MINUTE
from sample_units.half_year.flaws import Flaw
from sample_units.half_year.plan import lots
from sample_units.half_year.van import Live
from sample_units.hands import Hands, new_id
from sample_units.walks import FIT_GROUPS, LAPS

Timed = tuple[int, dict[str, Any]]  # when (ms UTC), and what a tablet keeps of it
Spot = tuple[str, str]  # zone, lap
ASKED = {
    "reason": "To put it right would mark more than it mends.",
    "customer": "Ms Amsel, fleet office",
    "channel": "by telephone",
}
WALKED = {"first": LAPS, "incoming": ("lamp",)}


@cache
def route(laps: tuple[str, ...]) -> tuple[tuple[str, str, bool], ...]:
    """Every zone of the outline in walking order, lap after lap; whether it is looked at by itself in that lap."""
    zones = [zone for view in trade_outline.builtin().views for zone in view.zones]
    zones.sort(key=lambda zone: zone.order)
    return tuple((zone.id, lap, lap in zone.laps) for lap in laps for zone in zones)


@dataclass(frozen=True, kw_only=True)
class Walk:
    """A walk as its tablet kept it. `end`: when it is over (ms UTC); `made`: the ids of its markers."""

    live: Live
    hands: Hands
    id: str
    end: int
    events: tuple[Timed, ...]
    made: tuple[str, ...]


def walk(live: Live, hands: Hands, letters: str, purpose: str, times: tuple[int, float], part: float = 1.0) -> Walk:
    """Walk a van from when (ms UTC), for how many minutes; `part` below 1 stops on the way. It is not finished yet."""
    (start, minutes), key, before = times, new_id(), set(live.marks)
    events: list[Timed] = [(start, hands.event(live.id, "walk_started", {"walk": key, "purpose": purpose}, at=start))]
    stops = _stops(live, purpose)
    each = minutes * MINUTE / len(stops)
    for place, (zone, lap, looks, marks) in enumerate(stops[: round(len(stops) * part)]):
        at = start + each * place
        for order, flaw in enumerate(marks, 1):
            events += mark(live, hands, letters, flaw, round(at + each * 0.8 * order / (len(marks) + 1)), key, lap)
        if looks:
            body = {"walk": key, "zone": zone, "lap": lap, "found": len(marks)}
            when = round(at + each * 0.95)
            events.append((when, hands.event(live.id, "zone_looked", body, at=when)))
    made = tuple(marker for marker in live.marks if marker not in before)
    end = round(start + (minutes + 2) * MINUTE)
    return Walk(live=live, hands=hands, id=key, end=end, events=tuple(events), made=made)


def _stops(live: Live, purpose: str) -> list[tuple[str, str, bool, list[Flaw]]]:
    laps, absent = WALKED[purpose], set(live.unit.absent)
    here: dict[Spot, list[Flaw]] = {}
    for flaw in live.unit.flaws:
        if flaw.on == purpose:
            here.setdefault((flaw.zone, _lap(flaw, laps)), []).append(flaw)
    return [
        (zone, lap, looks, here.get((zone, lap), []))
        for zone, lap, looks in route(laps)
        if zone not in absent and (looks or (zone, lap) in here)
    ]


def _lap(flaw: Flaw, walked: Sequence[str]) -> str:
    of_zone = trade_outline.builtin().zone(flaw.zone).laps
    wanted = "fit" if flaw.kind in FIT_GROUPS and "fit" in of_zone and "fit" in walked else "lamp"
    return wanted if wanted in of_zone or not of_zone else of_zone[0]


def mark(
    live: Live, hands: Hands, letters: str, flaw: Flaw, at: int, walk: str | None, lap: str | None
) -> Iterator[Timed]:
    """Mark a flaw: with its words, who made it where the inspector knows, and its photo's announcement."""
    key = new_id()
    live.marks[key] = flaw
    body = {"marker": key, "tag": live.tag(letters), "walk": walk, "lap": lap, **flaw.body()}
    yield at, hands.event(live.id, "marker_made", body, {"note": flaw.note} if flaw.note else None, at=at)
    if flaw.judged:
        yield at + 4_000, hands.event(live.id, "origin_revised", {"marker": key, "origin": flaw.origin}, at=at + 4_000)
    if flaw.photo:
        yield at + 6_000, photo(live, hands, key, "found", at + 6_000)


def photo(live: Live, hands: Hands, marker: str, role: str, at: int, **about: str) -> dict[str, Any]:
    """Announce a photo of a mark."""
    return hands.event(live.id, "photo_added", {"photo": new_id(), "marker": marker, "role": role, **about}, at=at)


def ended(walk: Walk, journal: Journal) -> Iterator[Timed]:
    """Leave what is within its limit, also together with what lies beside it, ask for a concession, finish."""
    live, hands = walk.live, walk.hands
    rows = journal.read().execute("SELECT id, verdict, severity FROM markers WHERE unit = ?", (live.id,))
    judged = {row["id"]: row for row in rows}
    asked = live.unit.flaws[live.unit.conceded] if live.unit.conceded is not None else None
    for marker in walk.made:
        flaw, found = live.marks[marker], judged[marker]
        if flaw is asked:
            body, at = {"concession": new_id(), "marker": marker}, walk.end - 90_000
            yield at, hands.event(live.id, "concession_asked", body, ASKED, at=at)
        elif found["verdict"] == "within" and found["severity"] in ("S3", "S4") and flaw.left and not flaw.photo:
            at = walk.end - 60_000
            yield at, hands.event(live.id, "marker_accepted", {"marker": marker}, at=at)
    yield walk.end, hands.event(live.id, "walk_finished", {"walk": walk.id}, at=walk.end)


def again(live: Live, hands: Hands, letters: str, journal: Journal, start: int) -> list[Timed]:
    """Look again: decide every mark that is reworked, look at what work has undone, mark what was missed, finish."""
    key, moment = new_id(), start
    events: list[Timed] = [(start, hands.event(live.id, "walk_started", {"walk": key, "purpose": "again"}, at=start))]
    for row in journal.read().execute(
        "SELECT id, kind, returns FROM markers WHERE unit = ? AND state = 'reworked' ORDER BY n", (live.id,)
    ):
        moment += 50_000
        events.append((moment, _decided(live, hands, row, key, moment)))
    missed = [flaw for flaw in live.unit.flaws if flaw.on == "again"] if not live.looked else []
    for flaw in missed:
        moment += 40_000
        events += mark(live, hands, letters, flaw, moment, key, _lap(flaw, LAPS))
    for zone, lap in sorted(undone(live, journal)):
        moment += 20_000
        body = {"walk": key, "zone": zone, "lap": lap, "found": 0}
        events.append((moment, hands.event(live.id, "zone_looked", body, at=moment)))
    moment += MINUTE
    live.looked += 1
    events.append((moment, hands.event(live.id, "walk_finished", {"walk": key}, at=moment)))
    return events


def _decided(live: Live, hands: Hands, row: Any, walk: str, at: int) -> dict[str, Any]:
    flaw = live.marks[row["id"]]
    if not flaw.returned or row["returns"]:
        return hands.event(live.id, "marker_cleared", {"marker": row["id"], "walk": walk}, at=at)
    reasons = lots()["returned"]
    reason = reasons.get(row["kind"], reasons["other"])
    return hands.event(live.id, "marker_sent_back", {"marker": row["id"], "walk": walk, "reason": reason}, at=at)


def undone(live: Live, journal: Journal) -> set[Spot]:
    """What work has undone on a van and nobody has looked at since."""
    db = journal.read()
    unit = db.execute("SELECT * FROM units WHERE id = ?", (live.id,)).fetchone()
    return coverage.voided(journal.versions, db, unit)
