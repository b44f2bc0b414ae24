"""All that a sheet says, as plain values: nothing here reads a file, a clock or a database.

Positions are view-local tenths of a millimetre, x to the right, y down. Times are whole milliseconds UTC; the
sheet writes them in `SheetData.timezone`. Every text may hold any Unicode and may be of any length. All of it
pickles, for the sheet is made in another process (see pool.py).
"""

from dataclasses import dataclass
from typing import Any

Stroke = tuple[tuple[float, float], ...]
"""One pen stroke: points in a box of 0 to 1000 both ways, x to the right, y down."""


class SheetError(Exception):
    """A sheet that cannot be made, told in one sentence for the person who asked for it."""


@dataclass(frozen=True, kw_only=True)
class Unit:
    """The van: identity as on its papers. `arrived` and `due` are ms UTC, `colour_hex` is `#rrggbb` or None."""

    plant: str
    chassis_number: str
    last_six: str
    build_number: str = ""
    make: str = ""
    model: str = ""
    colour: str = ""
    colour_hex: str | None = None
    finish: str = ""
    options: str = ""
    arrived: int | None = None
    due: int | None = None


@dataclass(frozen=True, kw_only=True)
class Photo:
    """A picture of a marker. `state` is stored, awaited or refused; `path` names the stored 600 px JPEG.

    `role` is found, after or concession. `marks` are lines drawn on the picture by a person.
    """

    role: str = "found"
    state: str = "stored"
    path: str | None = None
    caption: str = ""
    marks: tuple[Stroke, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Work:
    """One turn of work logged on a marker. `minutes` is None where none were given."""

    who: str
    at: int | None = None
    minutes: int | None = None
    method: str = ""
    department: str = ""


@dataclass(frozen=True, kw_only=True)
class Marker:
    """One marker. `x` and `y` are None where its view is only a list.

    `state` is one of open, in_rework, reworked, cleared, accepted, conceded, no_flaw, withdrawn; `severity` is S1 to
    S5; `verdict` is within, over, unmeasured or no_limit; `basis` says if the origin was assumed or judged.
    """

    tag: str
    kind: str
    view: str
    state: str = "open"
    severity: str = "S4"
    x: int | None = None
    y: int | None = None
    x2: int | None = None
    y2: int | None = None
    zone: str = ""
    surface_class: str = ""
    words: str = ""
    size: str = ""
    limit: str = ""
    verdict: str = ""
    origin: str = ""
    basis: str = ""
    found_at: str = ""
    """The station of the line it was found at; "" where nobody noted that."""
    made_by: str = ""
    made_at: int | None = None
    worked: tuple[Work, ...] = ()
    cleared_by: str = ""
    cleared_at: int | None = None
    closing: str = ""
    """What closed it, if not a second look: the reason of a withdrawal, who accepted it, and the like."""
    note: str = ""
    returns: int = 0
    escape: bool = False
    photos: tuple[Photo, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Concession:
    """Leave to release a flaw as it is. `state` is asked, agreed or refused."""

    tag: str
    reason: str
    state: str = "agreed"
    asked_by: str = ""
    asked_at: int | None = None
    approvers: tuple[str, ...] = ()
    decided_at: int | None = None
    customer: str = ""
    channel: str = ""


@dataclass(frozen=True, kw_only=True)
class Override:
    """Where a person chose otherwise than the rules or sums say: a barred method, a part of a plan, a mix of paint."""

    what: str
    reason: str
    person: str
    at: int


@dataclass(frozen=True, kw_only=True)
class Walk:
    """A pass round the van. `key` is what its looks name it by; `label` is what a person reads."""

    key: str
    label: str
    person: str
    started: int | None = None
    finished: int | None = None


@dataclass(frozen=True, kw_only=True)
class Look:
    """One zone looked at in one lap. `voided` is True when later work made it stale."""

    walk: str
    lap: str
    view: str
    zone: str
    person: str
    at: int
    voided: bool = False


@dataclass(frozen=True, kw_only=True)
class Unlooked:
    """A zone without a look that counts, and why: not looked at, not fitted, off the van."""

    zone: str
    why: str
    lap: str = ""


@dataclass(frozen=True, kw_only=True)
class Gate:
    """One gate of release. `state` is held (it holds), blocked or overridden."""

    label: str
    state: str
    by: str = ""
    at: int | None = None
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Reading:
    """What was read where, the figures, and how they were judged.

    `state` is "within", "look_again", "over" or "unmeasured".
    """

    what: str
    place: str
    told: str
    verdict: str
    state: str
    person: str
    at: int


@dataclass(frozen=True, kw_only=True)
class Question:
    """Something two tablets did not agree on, and the answer a person gave."""

    text: str
    tag: str = ""
    answer: str = ""
    answered_by: str = ""
    at: int | None = None


@dataclass(frozen=True, kw_only=True)
class Signature:
    """A person's own strokes, with the time and the role they signed in."""

    person: str
    role: str
    at: int
    strokes: tuple[Stroke, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Revision:
    """An earlier sheet of the same unit, which this one follows but does not replace."""

    letter: str
    issued: int | None = None
    signed_by: str = ""
    reopened_because: str = ""
    sha: str = ""


@dataclass(frozen=True, kw_only=True)
class Speech:
    """How the plant speaks: the key of a language ("" is English), the CLDR locale by which it writes numbers and dates
    ("" is the house's own form, 2026-11-25 14:05 and 0.8), and the folder of its own files of words.
    """

    language: str = ""
    formats: str = ""
    words: str | None = None


@dataclass(frozen=True, kw_only=True)
class SheetData:
    """Everything on one sheet. `outline` is `outline.to_sheet()`; `head` is the hash of the chain it was signed at.

    `figures` are further counts for the cover, as (word, number); the counts by state are taken from `markers`.
    """

    unit: Unit
    revision: str
    head: str
    outline: dict[str, Any]
    timezone: str = "UTC"
    speech: Speech = Speech()
    catalogue_version: str = ""
    outline_version: str = ""
    builtin_limits: bool = False
    figures: tuple[tuple[str, int], ...] = ()
    markers: tuple[Marker, ...] = ()
    concessions: tuple[Concession, ...] = ()
    overrides: tuple[Override, ...] = ()
    walks: tuple[Walk, ...] = ()
    looks: tuple[Look, ...] = ()
    unlooked: tuple[Unlooked, ...] = ()
    gates: tuple[Gate, ...] = ()
    readings: tuple[Reading, ...] = ()
    questions: tuple[Question, ...] = ()
    signatures: tuple[Signature, ...] = ()
    earlier: tuple[Revision, ...] = ()
