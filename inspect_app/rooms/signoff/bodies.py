"""The JSON that the sign-off pages send."""

from __future__ import annotations

from itertools import pairwise
from typing import Annotated, TypeVar

from flask import request
from pydantic import BaseModel, ConfigDict, Field, StringConstraints, ValidationError

from inspect_app.journal.bodies import Written
from inspect_app.journal.events import Refusal
from inspect_app.words import gettext as _

Words = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=500), Written]
Typed = Annotated[str, StringConstraints(strip_whitespace=True, max_length=200), Written]
Share = Annotated[int, Field(ge=0, le=1000)]
Stroke = Annotated[list[tuple[Share, Share]], Field(min_length=1, max_length=2000)]
MOST_POINTS = 8000
LEAST_INK = 150  # a thousandth of the pad's side is a unit; a dot or a slip is no signature


class Asked(BaseModel):
    """A body knows its fields and no others."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


class Reason(Asked):
    """Why something is refused or reopened."""

    reason: Words


class Answered(Asked):
    """The answer to a question."""

    answer: Words


class Confirmed(Asked):
    """A gate confirmed, with its values as typed, or taken back, or a silent tablet passed over with a reason."""

    tablet: Annotated[str, StringConstraints(max_length=80)] | None = None
    reason: Annotated[str, StringConstraints(strip_whitespace=True, max_length=500), Written] = ""
    withdrawn: bool = False
    values: Annotated[dict[str, Typed], Field(max_length=12)] | None = None


class Signed(Asked):
    """PIN, strokes (points 0 to 1000 both ways) and the head the signer saw; `typed` says the name was not drawn."""

    pin: Annotated[str, StringConstraints(max_length=16)]
    strokes: Annotated[list[Stroke], Field(max_length=400)]
    expected_head: Annotated[str, StringConstraints(min_length=64, max_length=64)]
    typed: bool = False


Body = TypeVar("Body", bound=Asked)


def read(shape: type[Body]) -> Body:
    """Check the body of the request.

    Raises Refusal with the field and what is wrong with it.
    """
    try:
        return shape.model_validate_json(request.get_data() or b"{}")
    except ValidationError as error:
        first = error.errors(include_url=False, include_context=False, include_input=False)[0]
        field = ".".join(str(part) for part in first["loc"]) or _("the body")
        if first["type"] in ("missing", "string_too_short"):
            raise Refusal(
                "malformed", _("'%(field)s' is missing; fill it in and send it again.", field=field)
            ) from None
        raise Refusal(
            "malformed",
            _("'%(field)s': %(lower)s%(msg)s.", field=field, lower=first["msg"][:1].lower(), msg=first["msg"][1:]),
        ) from None


def ink(strokes: list[list[tuple[int, int]]]) -> list[list[list[int]]]:
    """Return the strokes as they are kept.

    Raises Refusal when there is no signature in them, or too much of it.
    """
    points = sum(len(stroke) for stroke in strokes)
    if points > MOST_POINTS:
        raise Refusal(
            "strokes",
            _(
                "The signature has too many points (%(points)s, at most %(most_points)s); draw it again.",
                points=points,
                most_points=MOST_POINTS,
            ),
        )
    drawn = sum(abs(a[0] - b[0]) + abs(a[1] - b[1]) for stroke in strokes for a, b in pairwise(stroke))
    if drawn < LEAST_INK:
        raise Refusal("strokes", _("The signature is missing; draw it in the box, or type your name."))
    return [[[x, y] for x, y in stroke] for stroke in strokes]
