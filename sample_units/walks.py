"""Walks round a van: zones in walking order, marks where they lie, looks as the walk goes; and looking again."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from inspect_app.journal import coverage
from sample_units.days import MINUTE, Story
from sample_units.hands import Hands, new_id
from sample_units.marks import Mark
from sample_units.van import Van, must

LAPS = ("lamp", "fit", "seal")
FIT_GROUPS = ("gap", "taper", "flush", "line_break", "clip", "fastener", "hinge", "label")


@dataclass(frozen=True, kw_only=True)
class Stop:
    """One zone in one lap, with the marks made there."""

    view: str
    zone: str
    lap: str
    marks: tuple[tuple[int, Mark], ...]
    looks: bool = True  # a handle or a plate is looked at with the panel it sits on


def walk(van: Van, who: str, purpose: str, start: int, minutes: float, *, part: float = 1.0) -> Story:
    """Walk a van from `start` for so many minutes; `part` below 1 stops there and leaves the walk under way."""
    yield start
    key = new_id()
    van.do(who, "walk_started", {"walk": key, "purpose": purpose})
    stops = _stops(van, purpose)
    each = minutes * MINUTE / len(stops)
    stops = stops[: round(len(stops) * part)]
    done = 0
    for _, group in groupby(stops, key=lambda stop: (stop.lap, stop.view)):
        here = list(group)
        begun, done = start + each * done, done + len(here)
        yield round(start + each * done)
        _visit(van, who, key, here, begun, each)
    if part == 1.0:
        yield round(start + minutes * MINUTE + MINUTE)
        van.do(who, "walk_finished", {"walk": key})


def _stops(van: Van, purpose: str) -> list[Stop]:
    """Every zone and lap of the purpose in walking order, lap after lap."""
    journal, row = van.shop.journal, van.rows_of_unit()
    outline = journal.outline(row["outline"])
    laps = journal.catalogue().walks[purpose].laps
    needed = coverage.required(journal.versions, journal.read(), row, laps)
    marks = [(number, mark) for number, mark in enumerate(van.spec.marks) if number not in van.ids and not mark.late]
    found = []
    for lap in LAPS:
        for zone in sorted((zone for view in outline.views for zone in view.zones), key=lambda zone: zone.order):
            here = tuple(one for one in marks if one[1].zone == zone.id and _lap(one[1], zone.laps, laps) == lap)
            if here or (zone.id, lap) in needed:
                looks = (zone.id, lap) in needed
                found.append(Stop(view=zone.view, zone=zone.id, lap=lap, marks=here, looks=looks))
    return found


def _lap(mark: Mark, of_zone: tuple[str, ...], walked: tuple[str, ...]) -> str:
    wanted = "fit" if mark.kind in FIT_GROUPS and "fit" in of_zone and "fit" in walked else "lamp"
    return wanted if wanted in of_zone or not of_zone else of_zone[0]


def _visit(van: Van, who: str, walk: str, stops: list[Stop], begun: float, each: float) -> None:
    """Send what was done at these stops, as a tablet does when it has caught up; then photos and what follows."""
    hands = van.shop.hands(who)
    events: list[dict[str, Any]] = []
    for place, stop in enumerate(stops):
        at = begun + each * place
        for order, (number, mark) in enumerate(stop.marks, start=1):
            when = round(at + each * 0.8 * order / (len(stop.marks) + 1))
            events += _marked(van, hands, walk, stop.lap, (number, mark), when)
        if stop.looks:
            body = {"walk": walk, "zone": stop.zone, "lap": stop.lap, "found": len(stop.marks)}
            events.append(hands.event(van.id, "zone_looked", body, at=round(at + each * 0.95)))
    for answer in hands.send(*events):
        must(answer)
    for number, mark in (one for stop in stops for one in stop.marks):
        _after(van, who, number, mark)


def _marked(van: Van, hands: Hands, walk: str, lap: str, one: tuple[int, Mark], at: int) -> Iterator[dict[str, Any]]:
    number, mark = one
    private = {"note": mark.note} if mark.note else None
    yield hands.event(van.id, "marker_made", van.marker_body(number, mark, walk, lap), private, at=at)
    marker = van.ids[number]
    if mark.method:
        yield hands.event(
            van.id,
            "marker_amended",
            {"marker": marker, "method": mark.method, "method_reason": mark.method_reason},
            at=at + 9_000,
        )
    if mark.origin:
        yield hands.event(van.id, "origin_revised", {"marker": marker, "origin": mark.origin}, at=at + 12_000)


def _after(van: Van, who: str, number: int, mark: Mark) -> None:
    """A photo; a wipe on the spot; most of what lies within its limit is accepted."""
    if mark.photo:
        van.photo(number, who)
    if mark.here:
        van.do(who, "put_right_here", {"marker": van.ids[number], "how": mark.here, "minutes": 2})
        return
    van.shop.journal.settled()
    row = van.rows("markers", f"id = '{van.ids[number]}'")[0]
    within = row["verdict"] == "within" and row["severity"] in ("S3", "S4")
    if within and not mark.name and not mark.photo and van.lot.random() < 0.75:
        van.do(who, "marker_accepted", {"marker": van.ids[number]})


def look_again(van: Van, who: str, start: int, send_back: dict[str, str]) -> Story:
    """Decide every ring that is reworked and cured, look at what the work has undone, and finish.

    `send_back`: reasons by the name of the mark; all others are cleared.
    """
    yield start
    walk = new_id()
    van.do(who, "walk_started", {"walk": walk, "purpose": "again"})
    back = {van.named(name): reason for name, reason in send_back.items()}
    moment = start
    for row in van.rows("markers", "state = 'reworked'"):
        moment += round(1.4 * MINUTE)
        yield moment
        if row["id"] in back:
            van.do(who, "marker_sent_back", {"marker": row["id"], "walk": walk, "reason": back[row["id"]]})
        else:
            van.do(who, "marker_cleared", {"marker": row["id"], "walk": walk})
    missing = sorted(_undone(van, walk))
    yield (moment := moment + len(missing) * MINUTE // 3 + MINUTE)
    hands = van.shop.hands(who)
    looks = [
        hands.event(van.id, "zone_looked", {"walk": walk, "zone": zone, "lap": lap, "found": 0}, at=moment - back_ms)
        for back_ms, (zone, lap) in zip(range(len(missing) * MINUTE // 3, 0, -MINUTE // 3), missing, strict=True)
    ]
    for answer in hands.send(*looks) if looks else ():
        must(answer)
    yield moment + MINUTE
    van.do(who, "walk_finished", {"walk": walk})


def _undone(van: Van, walk: str) -> set[tuple[str, str]]:
    journal, db = van.shop.journal, van.shop.journal.read()
    row = db.execute("SELECT * FROM walks WHERE id = ?", (walk,)).fetchone()
    unit = db.execute("SELECT * FROM units WHERE id = ?", (van.id,)).fetchone()
    return coverage.missing_of_walk(db, journal.versions, unit, row)
