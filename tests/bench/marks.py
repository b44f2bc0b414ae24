"""What a tablet sends after a walk: markers spread over the whole van, of all kinds, with looks, notes and photos between."""

from __future__ import annotations

import gzip
import json
import random
from functools import cache
from typing import Any

from shapely import Polygon

from inspect_app.trade import catalogue, outline
from sample_units.hands import Hands, new_id
from tests.bench.plant import Tablet

Event = dict[str, Any]


@cache
def spots() -> tuple[dict[str, Any], ...]:
    """A place in every zone of the built-in outline that is drawn."""
    drawn = [(zone, zone.rings[0]) for view in outline.builtin().views for zone in view.zones if zone.rings]
    places = []
    for zone, ring in drawn:
        point = Polygon(ring.points).representative_point()
        places.append({"view": zone.view, "x": round(point.x * 10), "y": round(point.y * 10), "spread": 100})
    return tuple(places)


def letters_of(hands: Hands) -> str:
    """The letters of the tablet in these hands."""
    row = hands.journal.read().execute("SELECT letters FROM tablets WHERE id = ?", (hands.tablet,)).fetchone()
    return str(row["letters"])


def markers(hands: Hands, unit: str, walk: str, count: int, *, first: int = 1, seed: int = 0) -> list[Event]:
    """Events of that many markers; one in four carries a note."""
    rng, letters = random.Random(seed), letters_of(hands)
    kinds = [kind for kind in catalogue.builtin().kinds.values() if kind.severity != "S1"]
    made = []
    for number in range(first, first + count):
        body = {
            "marker": new_id(),
            "tag": f"{letters}{number}",
            "walk": walk,
            "lap": "lamp",
            "kind": rng.choice(kinds).key,
            "size": rng.randint(1, 60),
            **rng.choice(spots()),
        }
        note = {"note": "Seen against the light, a hand's breadth below the moulding."} if number % 4 == 0 else None
        made.append(hands.event(unit, "marker_made", body, note))
    return made


def walk_of(hands: Hands, unit: str, walk: str, count: int, *, seed: int = 0) -> list[Event]:
    """Events as a walk leaves them: of ten, five looks, four markers and a photo of the marker before it."""
    rng = random.Random(seed)
    looks = [(zone.id, lap) for view in outline.builtin().views for zone in view.zones for lap in zone.laps]
    made = iter(markers(hands, unit, walk, count, seed=seed))
    events: list[Event] = []
    for step in "lmlmplmlml" * (count // 10):
        if step == "m":
            events.append(next(made))
        elif step == "p":
            photo = {"photo": new_id(), "marker": events[-1]["body"]["marker"], "role": "found"}
            events.append(hands.event(unit, "photo_added", photo))
        else:
            zone, lap = rng.choice(looks)
            events.append(hands.event(unit, "zone_looked", {"walk": walk, "zone": zone, "lap": lap, "found": 1}))
    return events


def plain(answer: bytes) -> bytes:
    """What was answered, unpacked if it came packed."""
    return gzip.decompress(answer) if answer.startswith(b"\x1f\x8b") else answer


def newest(answer: bytes) -> int:
    """The running number up to which a poll was answered."""
    n: int = json.loads(plain(answer))["n"]
    return n


def ids(content: bytes) -> list[str]:
    """The ids of the events in the body of a sync."""
    return [event["id"] for event in json.loads(content)["events"]]


def body(tablet: Tablet, events: list[Event], pending: int = 0) -> bytes:
    """The body of a sync."""
    return json.dumps(
        {"tablet": tablet.tablet, "pending": pending, "tickets": [tablet.token], "events": events}
    ).encode()
