"""Bodies of a reading taken at the van, and of a gate confirmed with values. Film is tenths of a micrometre, colour hundredths, all else tenths."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from inspect_app.journal.bodies import UNIT_BODIES, Body, Id, Key, Text

Film = Annotated[int, Field(ge=1, le=20_000)]  # 2 mm; no gauge for paint reads more
Hundredths = Annotated[int, Field(ge=-15_000, le=20_000)]  # L* goes above 100 near the gloss of a metallic colour
Lab = Annotated[list[Hundredths], Field(min_length=3, max_length=3)]
Width = Annotated[int, Field(ge=0, le=1_000)]
Step = Annotated[int, Field(ge=-500, le=500)]
Three = Annotated[list[Width], Field(min_length=3, max_length=9)]
Steps = Annotated[list[Step], Field(min_length=3, max_length=9)]
Degrees = Annotated[int, Field(ge=-300, le=900)]


class ColourPair(Body):
    """L*, a*, b* of the part and of what lies beside it, in hundredths, at one angle in degrees."""

    angle: Annotated[int, Field(ge=-15, le=110)]
    part: Lab
    beside: Lab


class ReadingTaken(Body):
    """One reading. `what` says which of the fields are told; `part` is what it was read on, `beside` its neighbour, `joint` that of a gap;
    `for_marker` the marker it was taken for.
    """

    reading: Id
    what: Literal["film", "colour", "gap", "adhesion", "dew"]
    part: Key | None = None
    beside: Key | None = None
    joint: Key | None = None
    for_marker: Id | None = None
    method: Literal["magnetic", "eddy", "ultrasonic", "witness", "none"] | None = None
    where: Literal["body", "radar", "parking_disc"] | None = None
    film: Film | None = None
    colour: Annotated[list[ColourPair], Field(min_length=1, max_length=6)] | None = None
    gap: Three | None = None
    flush: Steps | None = None
    scale: Literal["ISO 2409", "ASTM D3359"] | None = None
    grade: Annotated[int, Field(ge=0, le=5)] | None = None
    air: Annotated[int, Field(ge=-300, le=600)] | None = None
    surface: Degrees | None = None
    humidity: Annotated[int, Field(ge=1, le=1_000)] | None = None


Told = Annotated[int, Field(ge=-1_000_000, le=10_000_000)] | Text  # a figure or a few words


class GateConfirmed(Body):
    """A gate confirmed by name, with the values that it asks for; or taken back; or a silent `tablet` passed over."""

    gate: Key
    tablet: Key | None = None
    withdrawn: bool = False
    values: Annotated[dict[Key, Told], Field(max_length=12)] | None = None


UNIT_BODIES.update({"reading_taken": ReadingTaken, "gate_confirmed": GateConfirmed})
