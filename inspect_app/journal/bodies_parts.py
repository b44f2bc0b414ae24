"""Bodies of what happens to a part while it is off its van. What was read of its label: six characters, or its QR code."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, StringConstraints

from inspect_app.journal.bodies import UNIT_BODIES, Body, Id, Key, Text, Written

Clips = Annotated[int, Field(ge=0, le=500)]
Six = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=20), Written]
Short = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=80), Written]


class PartOff(Body):
    """A part comes off its van. `of` is the part of the outline, `place` where it hangs; `material` when the outline does not tell."""

    part: Id
    of: Key
    material: Literal["plastic", "fibre", "metal"] | None = None
    place: Short | None = None


class LabelRead(Body):
    """What was read of the label of the part in hand: its last six as typed, or the part its QR code names; `van` where six fit two."""

    part: Id
    six: Six | None = None
    label: Id | None = None
    van: Id | None = None


class PartStage(LabelRead):
    """The part is through a stage; `since` is the stage it was in for whoever did it. Painted: booth and mix, perhaps the sprayer."""

    stage: Key
    since: Key
    booth: Short | None = None
    mix: Short | None = None
    sprayer: Id | None = None
    place: Short | None = None


class PartRefitted(LabelRead):
    """The part is on its van again; `reason` why its paint may be of another mix than its pair's."""

    reason: Text | None = None


class PartPutBack(Body):
    """The part went back on as it had come off, nothing done to it."""

    part: Id
    reason: Text


class MixupStopped(LabelRead):
    """The label in hand was that of another van, at this stage."""

    stage: Key


class ClipsCounted(Body):
    """The clips of a part so far: how many came off, how many of them broke, how many new ones were fitted or laid ready."""

    part: Id
    out: Clips
    broken: Clips
    replaced: Clips


PART_BODIES: dict[str, type[Body]] = {
    "part_off": PartOff,
    "part_stage": PartStage,
    "part_refitted": PartRefitted,
    "part_put_back": PartPutBack,
    "mixup_stopped": MixupStopped,
    "clips_counted": ClipsCounted,
}
UNIT_BODIES.update(PART_BODIES)
