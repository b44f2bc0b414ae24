"""An event as it is sent, as it is stored, and what is answered.

What is made of every event on its way is a named tuple: it cannot be changed either, and is made in a quarter of the
time of a frozen dataclass, which counts when a tablet brings hundreds.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping
from contextvars import Context
from dataclasses import dataclass, field
from typing import Annotated, Any, NamedTuple

import orjson
from pydantic import BaseModel, ConfigDict, Field, StringConstraints, ValidationError

from inspect_app.journal import (  # noqa: F401  (they register their bodies)
    bodies_methods,
    bodies_parts,
    bodies_plans,
    bodies_readings,
    bodies_timers,
)
from inspect_app.journal.bodies import UNIT_BODIES, Body, Id, Key, Time, Written
from inspect_app.words import N_
from inspect_app.words import gettext as _
from inspect_app.words.faults import fault

PLANT = "plant"  # the stream of the plant itself
SERVER = "server"  # the author of what the server works out for itself


class Refusal(Exception):
    """An event that is kept outside the chain. `code` for programs, `reason` for the person, `status` for HTTP."""

    def __init__(self, code: str, reason: str, status: int = 422):
        super().__init__(reason)
        self.code = code
        self.reason = reason
        self.status = status


Short = Annotated[str, StringConstraints(strip_whitespace=True, max_length=2000), Written]
Name = Annotated[str, StringConstraints(max_length=200), Written]


class Private(BaseModel):
    """What can be forgotten: free words, customers' names, the strokes of a signature."""

    model_config = ConfigDict(extra="forbid", strict=True)
    note: Short | None = None
    reason: Short | None = None
    customer: Name | None = None
    channel: Name | None = None
    strokes: Annotated[list[list[tuple[int, int]]], Field(max_length=400)] | None = None


class Envelope(BaseModel):
    """One event as a tablet sends it."""

    model_config = ConfigDict(extra="forbid", strict=True)
    id: Id
    stream: Annotated[str, StringConstraints(pattern=r"^unit:[0-9a-f\-]{36}$")]
    type: Key
    tablet: Key
    seq: Annotated[int, Field(ge=0, le=2**53)]  # what a browser can count to, and SQLite can keep
    ticket: Key
    at: Time
    offset: Annotated[int, Field(ge=-(2**53), le=2**53)] = 0
    catalogue: Key | None = None
    outline: Key | None = None
    body: dict[str, Any]
    private: Private | None = None


class Incoming(NamedTuple):
    """A checked event on its way into the chain. `at` is corrected by the tablet's offset.

    `raw` is the body as sent, `text` the same in canonical JSON, `body` the same as checked.
    """

    id: str
    stream: str
    type: str
    tablet: str
    seq: int
    ticket: str
    person: str
    roles: frozenset[str]
    departments: frozenset[str]
    at: int
    offset: int
    received_at: int
    catalogue: str | None
    outline: str | None
    raw: dict[str, Any]
    text: str
    body: Any
    private: dict[str, Any] | None
    sent_hash: str
    online: bool = False
    proofs: frozenset[str] = frozenset()
    asked_in: Context | None = None  # of the request that waits for the answer: how its reader is spoken to

    @property
    def unit(self) -> str:
        """The unit's id, for a unit stream."""
        return self.stream.removeprefix("unit:")


@dataclass(frozen=True, kw_only=True)
class Resolved:
    """What the server worked out: values to copy, the outcome, and the events that follow from this one."""

    values: dict[str, Any] = field(default_factory=dict)
    outcome: str = "applied"
    reason: str | None = None
    follow: tuple[tuple[str, dict[str, Any]], ...] = ()


class Stored(NamedTuple):
    """An event of the chain as the projections read it."""

    n: int
    id: str
    stream: str
    type: str
    tablet: str
    ticket: str
    person: str
    at: int
    received_at: int
    body: dict[str, Any]
    resolved: dict[str, Any]
    outcome: str
    reason: str | None
    private: dict[str, Any]

    @property
    def unit(self) -> str:
        """The unit's id, for a unit stream."""
        return self.stream.removeprefix("unit:")


def stored(row: Mapping[str, Any] | sqlite3.Row) -> Stored:
    """Read an event of the chain from its row, which has the private words beside it as `content`."""
    return Stored(
        n=row["n"],
        id=row["id"],
        stream=row["stream"],
        type=row["type"],
        tablet=row["tablet"],
        ticket=row["ticket"],
        person=row["person"],
        at=row["at"],
        received_at=row["received_at"],
        body=json.loads(row["body"]),
        resolved=json.loads(row["resolved"]),
        outcome=row["outcome"],
        reason=row["reason"],
        private=json.loads(row["content"]) if row["content"] else {},
    )


class Answer(NamedTuple):
    """What is told of one event: its outcome, the reason in words, its running number and the resolved values."""

    id: str
    outcome: str
    reason: str | None = None
    code: str | None = None
    n: int | None = None
    resolved: dict[str, Any] | None = None

    def to_json(self) -> dict[str, Any]:
        """Shape it for the wire."""
        return {
            "id": self.id,
            "outcome": self.outcome,
            "reason": self.reason,
            "code": self.code,
            "n": self.n,
            "resolved": self.resolved,
        }


def canonical(value: Any) -> str:
    """Write JSON in the one way that is hashed: sorted keys, no blanks, UTF-8.

    It is what `json.dumps` writes with these settings; orjson writes the same in a fifth of the time.
    """
    try:
        return orjson.dumps(value, option=orjson.OPT_SORT_KEYS).decode()
    except TypeError:  # half a surrogate pair, a number beyond 64 bits: only ever in an event that is refused
        return json.dumps(value, sort_keys=True, separators=(",", ":"))


def read_envelope(raw: Any) -> Envelope:
    """Check the header of one event.

    Raises Refusal("malformed") with the field and what is wrong with it.
    """
    try:
        return Envelope.model_validate(raw)
    except ValidationError as error:
        raise Refusal("malformed", _sentence(error, _("event"))) from None


def read_body(event_type: str, raw: dict[str, Any]) -> Body:
    """Check a body against its event's shape.

    Raises Refusal("malformed") with the field and what is wrong with it.
    """
    shape = UNIT_BODIES.get(event_type)
    if shape is None:
        raise Refusal(
            "unknown_event",
            _("'%(event)s' is not an event this server knows; update the tablet or the server.", event=event_type),
        )
    try:
        return shape.model_validate(raw)
    except ValidationError as error:
        raise Refusal("malformed", _sentence(error, event_type)) from None


OBJECT = N_("'%(field)s' in %(where)s must be an object")
IN_WORDS = {
    "missing": N_("'%(field)s' in %(where)s is missing"),
    "extra_forbidden": N_("'%(field)s' in %(where)s is not known here"),
    "model_type": OBJECT,
    "dict_type": OBJECT,
    "list_type": N_("'%(field)s' in %(where)s must be a list"),
    "int_type": N_("'%(field)s' in %(where)s must be a whole number"),
    "bool_type": N_("'%(field)s' in %(where)s must be true or false"),
    "string_type": N_("'%(field)s' in %(where)s must be a text"),
    "string_unicode": N_("'%(field)s' in %(where)s must be a text of whole letters"),
    "string_pattern_mismatch": N_("'%(field)s' in %(where)s is not written as it must be"),
}


def _sentence(error: ValidationError, where: str) -> str:
    """Say the first fault. Private words are not told again: a refusal is kept, and they must be able to be forgotten."""
    first = error.errors(include_url=False)[0]
    name = ".".join(str(part) for part in first["loc"])[:60] or _("the event")
    words = IN_WORDS.get(first["type"])
    if words is not None:
        said = _(words, field=name, where=where)
    else:
        said = _("'%(field)s' in %(where)s: %(fault)s", field=name, where=where, fault=fault(first))
    got = first.get("input")
    if isinstance(got, dict) or "private" in first["loc"]:
        whole = _("%(fault)s.", fault=said)
    else:
        whole = _("%(fault)s (got %(got)s).", fault=said, got=_short(got))
    return printable(whole.replace("\n", " "))


def _short(got: Any) -> str:
    return json.dumps(got, ensure_ascii=False, default=str)[:60]


def printable(text: str) -> str:
    """The text with a mark in place of halves of surrogate pairs, which JSON can carry and nothing can store."""
    return text.encode("utf-8", "replace").decode()
