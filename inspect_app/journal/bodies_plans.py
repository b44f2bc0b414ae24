"""Body of an accepted plan: which markers it was made for, and where a person chose otherwise."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, StringConstraints

from inspect_app.journal.bodies import UNIT_BODIES, Body, Key, Text


class Otherwise(Body):
    """A part that is done otherwise than the sums say, and why."""

    part: Key
    chosen: Literal["spots", "refinish"]
    reason: Text


class PlanAccepted(Body):
    """The plan as it was shown: `basis` tells the markers and figures it stood on, `counted` in what it was counted."""

    basis: Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{64}$")]
    counted: Literal["minutes", "money"] = "minutes"
    otherwise: Annotated[list[Otherwise], Field(max_length=200, default_factory=list)]


UNIT_BODIES.update({"plan_accepted": PlanAccepted})
