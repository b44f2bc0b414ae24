"""Bodies of safety timers: the waits of cautions that run by the clock."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, StringConstraints

from inspect_app.journal.bodies import UNIT_BODIES, Body, Id, Key, Text, Written


class TimerStarted(Body):
    """Somebody starts the wait of a caution, for so many minutes, at a place: a booth, a flame station, a van."""

    timer: Id
    caution: Key
    place: Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=80), Written]
    minutes: Annotated[int, Field(ge=1, le=1_440)]
    job: Id | None = None


class TimerEnded(Body):
    """Somebody has looked with their own eyes; `reason` says why, when it ends before its minutes have run out."""

    timer: Id
    reason: Text | None = None


UNIT_BODIES.update({"timer_started": TimerStarted, "timer_ended": TimerEnded})
