"""Readings in the demo: film on what was painted here, a colour that does not pass, the air before a coat."""

from __future__ import annotations

from typing import Any

from sample_units.days import MINUTE, Story
from sample_units.hands import new_id
from sample_units.van import Van, must

COLOUR = {
    "part": "moulding_cab_door_left",
    "beside": "cab_door_left",
    "colour": [
        {"angle": 15, "part": [8890, -150, -300], "beside": [9390, -90, -520]},
        {"angle": 45, "part": [5240, -140, -610], "beside": [5310, -120, -700]},
        {"angle": 110, "part": [2380, -90, -480], "beside": [2420, -60, -530]},
    ],
}
"""Of an invented colour: nearly alike when seen straight, darker and less blue beside the gloss."""


def read(van: Van, who: str, what: str, **told: Any) -> str:
    """Take a reading and return its id."""
    key = new_id()
    must(van.shop.hands(who).online(van.id, "reading_taken", {"reading": key, "what": what, **told}))
    return key


def booth_air(van: Van, start: int) -> Story:
    """The dew point before a coat: too near it in the morning, then warmed up."""
    painter = van.shop.of("paint", van.spec.key)
    yield start
    read(van, painter, "dew", air=180, surface=128, humidity=640)
    yield start + 40 * MINUTE
    read(van, painter, "dew", air=220, surface=205, humidity=520)


def water_came_in(van: Van, who: str, start: int) -> Story:
    """A shower that found a way in at a lamp; once the lamp is seated anew, the shower comes again."""
    yield start
    found = {"method": "shower", "minutes": 10, "flow": 150, "result": "entry", "where": "left rear lamp, lower corner"}
    must(van.shop.hands(who).online(van.id, "gate_confirmed", {"gate": "water", "values": found}))


def films(van: Van, who: str, start: int) -> Story:
    """Film of a door by magnet, of a moulding by ultrasound, of a cap that nobody has a gauge for; and a tape pull."""
    yield start
    read(van, who, "film", part="cab_door_left", method="magnetic", film=1080)
    read(van, who, "film", part="moulding_sliding_door_left", method="ultrasonic", film=1150)
    read(van, who, "film", part="rear_cap", method="none")
    read(van, who, "adhesion", part="moulding_sliding_door_left", scale="ISO 2409", grade=0)


def colour_off(van: Van, who: str, start: int) -> Story:
    """A moulding that is darker than its door near the gloss, and a gap that passes."""
    yield start
    read(van, who, "colour", **COLOUR)
    read(van, who, "gap", joint="left.joint.cab_door_to_b_pillar", gap=[48, 50, 52], flush=[3, 2, 2])
