"""Bodies of what decides how a flaw is put right: what was seen of it close by, which method, and what comes first."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import model_validator
from pydantic_core import PydanticCustomError

from inspect_app.journal.bodies import UNIT_BODIES, Body, Id, Key, Text
from inspect_app.words import N_


class SpotExamined(Body):
    """What somebody saw close by; only what is named is known. See `trade.selectors.Facts`."""

    marker: Id
    depth: Literal["clear", "base", "primer", "metal", "plastic"] | None = None
    on_edge: bool | None = None
    nail_catches: bool | None = None
    cured: bool | None = None
    body_repaired: bool | None = None
    driver_view: bool | None = None
    traced: bool | None = None

    @model_validator(mode="after")
    def _something(self) -> Self:
        if not self.seen():
            raise PydanticCustomError("nothing_seen", N_("it says nothing that was seen; name at least one thing"))
        return self

    def seen(self) -> dict[str, str | bool]:
        """Return what was seen, by the name of its fact."""
        return self.model_dump(exclude={"marker"}, exclude_none=True)


class MethodChosen(Body):
    """The markers of a job are to be put right by this method; a barred one needs a reason."""

    job: Id
    method: Key
    reason: Text | None = None


class JobPinned(Body):
    """A manager puts a job before all others, or no longer."""

    job: Id
    pinned: bool = True


UNIT_BODIES.update({"spot_examined": SpotExamined, "method_chosen": MethodChosen, "job_pinned": JobPinned})
