"""The outbox file: what a tablet saves when it cannot send. It came by hand and may have been edited."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, StringConstraints, ValidationError

from inspect_app.words import gettext as _

FORMAT = "lampwalk-outbox"
VERSION = 1
MOST_EVENTS = 5_000
MOST_PHOTOS = 500
DEEPEST = 12
Line = Annotated[str, StringConstraints(max_length=4_000)]


class FileFault(ValueError):
    """Why a file cannot be brought in, in one sentence."""


class Photo(BaseModel):
    """A photo's bytes in base64, under its own id."""

    model_config = ConfigDict(strict=True, extra="ignore")
    photo: Annotated[str, StringConstraints(max_length=64)]
    event: Annotated[str, StringConstraints(max_length=64)] = ""
    data: str


class Outbox(BaseModel):
    """The file's own shape. What is in `events` is checked one by one, as in a sync."""

    model_config = ConfigDict(strict=True, extra="ignore")
    format: Literal["lampwalk-outbox"]
    version: Literal[1]
    tablet: Annotated[str, StringConstraints(max_length=80)]
    tickets: Annotated[list[Line], Field(max_length=2_000)]
    events: list[Any]
    photos: list[Photo] = []


@dataclass(frozen=True, kw_only=True)
class Parcel:
    """A file that was read: entries in the tablet's order, the proofs of their authors, photos, and the file's hash."""

    tablet: str
    tokens: tuple[str, ...]
    events: tuple[Any, ...]
    photos: tuple[Photo, ...]
    sha: str


def read(content: bytes) -> Parcel:
    """Read an outbox file.

    Raises FileFault with one sentence: what is wrong and what to do.
    """
    raw = _json(content)
    if not isinstance(raw, dict) or raw.get("format") != FORMAT:
        raise FileFault(_("This is not an outbox file; choose one whose name begins with lampwalk-outbox."))
    if raw.get("version") != VERSION:
        raise FileFault(
            _("This file was saved by a newer Lampwalk than this server; update the server and bring it in again.")
        )
    try:
        outbox = Outbox.model_validate(raw)
    except ValidationError as fault:
        where = ".".join(str(part) for part in fault.errors()[0]["loc"])[:80]
        raise FileFault(
            _("'%(where)s' in this file is not as a tablet writes it; save the file anew on the tablet.", where=where)
        ) from None
    if len(outbox.events) > MOST_EVENTS:
        told = _("This file has %(n)s entries; at most %(most)s are taken at a time.")
        raise FileFault(told % {"n": len(outbox.events), "most": MOST_EVENTS})
    if len(outbox.photos) > MOST_PHOTOS:
        told = _("This file has %(n)s photos; at most %(most)s are taken at a time.")
        raise FileFault(told % {"n": len(outbox.photos), "most": MOST_PHOTOS})
    if not outbox.events and not outbox.photos:
        raise FileFault(_("This file is empty: nothing waited on the tablet when it was saved."))
    return Parcel(
        tablet=outbox.tablet, tokens=tuple(outbox.tickets), events=tuple(sorted(outbox.events, key=_order)),
        photos=tuple(outbox.photos), sha=hashlib.sha256(content).hexdigest(),
    )  # fmt: skip


def _json(content: bytes) -> Any:
    if not content:
        raise FileFault(_("This file is empty; save it anew on the tablet."))
    try:
        # Not orjson: a note may hold half a surrogate pair, which a browser writes and only this reads.
        found = json.loads(content, parse_constant=_no_number)
    except (ValueError, RecursionError):
        raise FileFault(_("This file is broken or cut off, or no outbox file; save it anew on the tablet.")) from None

    if _deep(found):
        raise FileFault(_("This file nests deeper than a tablet writes; save it anew on the tablet."))
    return found


def _no_number(text: str) -> None:
    raise ValueError(text)


def _deep(found: Any) -> bool:
    """Whether anything lies deeper than `DEEPEST`; an event's deepest is a stroke of a signature."""
    level = [found]
    for _level in range(DEEPEST):
        level = [inner for one in level if isinstance(one, dict | list) for inner in _inside(one)]
    return any(isinstance(one, dict | list) for one in level)


def _inside(one: dict[str, Any] | list[Any]) -> list[Any]:
    return list(one.values()) if isinstance(one, dict) else one


def _order(event: Any) -> int:
    """The tablet's running number; what has none goes first, and is refused for that."""
    seq = event.get("seq") if isinstance(event, dict) else None
    return seq if isinstance(seq, int) else -1
