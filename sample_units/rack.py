"""Parts off their vans in the demo: mouldings that harden, a pair whose flame has faded, a mix-up that was stopped."""

from __future__ import annotations

from typing import Any

from sample_units.days import MINUTE, Story
from sample_units.hands import new_id
from sample_units.van import Van, must

SIDES = ("left", "right")
STRIPS = tuple(f"moulding_{name}_{side}" for side in SIDES for name in ("cab_door", "sliding_door"))
DEPARTMENTS = {"washed": "prep", "flamed": "prep", "prepped": "prep", "primed": "paint", "painted": "paint"}


def mouldings(van: Van, start: int, *, wrong: str) -> Story:
    """Four strips from coming off at `start` (ms UTC) to painted; a label of the van `wrong` is stopped on the way."""
    yield start
    parts = {of: off(van, of, "Rack 2") for of in STRIPS}
    for number, part in enumerate(parts.values()):
        broken = number % 2 + 1
        van_event(
            van, "strip", "clips_counted", {"part": part, "out": 9 + number, "broken": broken, "replaced": broken}
        )
    for minutes, stage in ((35, "washed"), (80, "flamed"), (95, "prepped"), (130, "primed")):
        yield start + minutes * MINUTE
        for part in parts.values():
            through(van, part, stage)
    yield start + 150 * MINUTE
    stopped(van, parts[STRIPS[1]], "painted", wrong)
    yield start + 215 * MINUTE
    for part in parts.values():
        through(van, part, "painted", booth="Booth 1", mix="FG-0412", place="Rack 5")


def arch_trims(van: Van, start: int) -> Story:
    """The front arch trims, flamed at `start` and then left hanging until the flame's work had faded."""
    yield start
    parts = [off(van, f"front_arch_trim_{side}", "Rack 1, lowest bar") for side in SIDES]
    for minutes, stage in ((20, "washed"), (55, "flamed")):
        yield start + minutes * MINUTE
        for part in parts:
            through(van, part, stage)


def off(van: Van, of: str, place: str) -> str:
    """Take a part off and return its id."""
    part = new_id()
    van_event(van, "strip", "part_off", {"part": part, "of": of, "place": place})
    return part


def through(van: Van, part: str, stage: str, **more: str) -> None:
    """Note a stage, the code of the part's own label read."""
    since = next(row["stage"] for row in van.rows("parts") if row["id"] == part)
    van_event(
        van, DEPARTMENTS[stage], "part_stage", {"part": part, "stage": stage, "since": since, "label": part, **more}
    )


def stopped(van: Van, part: str, stage: str, six: str) -> None:
    """Stop the label of another van."""
    van_event(van, DEPARTMENTS[stage], "mixup_stopped", {"part": part, "stage": stage, "six": six})


def van_event(van: Van, department: str, event: str, body: dict[str, Any]) -> None:
    """Note something at a page of the server, by who of a department works on this van."""
    hands = van.shop.hands(van.shop.of(department, van.spec.key))
    must(hands.online(van.id, event, body))
