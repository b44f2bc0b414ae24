"""The shape of each event's body, as sent. Lengths are tenths of a millimetre, film tenths of a micrometre, times milliseconds UTC."""

from __future__ import annotations

import re
from typing import Annotated, Any, Literal, TypeGuard

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, StringConstraints
from pydantic_core import PydanticCustomError

from inspect_app.words import N_

_UNPRINTABLE = re.compile(r"[\x00-\x08\x0e-\x1f\x7f]")  # C0 of ISO/IEC 6429, but for tabs and the ways to break a line


def _as_written(text: str) -> str:
    if _UNPRINTABLE.search(text):
        raise PydanticCustomError(
            "unprintable", N_("it holds a character that cannot be written or printed; write it again by hand")
        )
    return text


Written = AfterValidator(_as_written)  # for every text that a person may have pasted
_ID = re.compile(r"^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$")
Id = Annotated[str, StringConstraints(pattern=_ID.pattern)]
Key = Annotated[str, StringConstraints(min_length=1, max_length=80, pattern=r"^[A-Za-z0-9_.\-]+$")]
Text = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=500), Written]
Time = Annotated[int, Field(ge=0, le=2**53)]
LAST_DAY = 4_102_444_799_999  # the end of 2099; a slip on a date field can be thousands of years off, more than a page can write


def _near(day: int) -> int:
    if day > LAST_DAY:
        raise PydanticCustomError("far_day", N_("this day lies after the year 2099; choose it again"))
    return day


Day = Annotated[int, Field(ge=0, json_schema_extra={"maximum": LAST_DAY}), AfterValidator(_near)]
Place = Annotated[int, Field(ge=-1000, le=200_000)]
Size = Annotated[int, Field(ge=1, le=60_000)]
Count = Annotated[int, Field(ge=1, le=500)]
Share = Annotated[int, Field(ge=0, le=1000)]
Gap = Annotated[int, Field(ge=-500, le=1_000)]
Minutes = Annotated[int, Field(ge=0, le=2_880)]
Severity = Literal["S1", "S2", "S3", "S4", "S5"]


HERE = ("wipe", "hand_polish")  # what an inspector does with the cloth in hand; the rest is a department's work


def _done_here(how: Any) -> Any:
    if how not in HERE:
        raise PydanticCustomError(
            "here", N_("only 'wipe' and 'hand_polish' are done on the spot; send anything more to rework")
        )
    return how


def is_id(found: Any) -> TypeGuard[str]:
    """Whether this is written as an id is."""
    return isinstance(found, str) and _ID.fullmatch(found) is not None


class Body(BaseModel):
    """A body knows its fields and no others."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


class UnitArrived(Body):
    chassis: Annotated[str, StringConstraints(min_length=17, max_length=17)]
    plant: Text
    build_number: Annotated[str, StringConstraints(max_length=120), Written] = ""
    make: Text
    model: Text
    colour: Text
    colour_hex: Annotated[str, StringConstraints(pattern=r"^#[0-9a-f]{6}$")] = "#8a8f94"
    finish: Literal["solid", "metallic"]
    options: list[Text] = []
    due: Day | None = None


class UnitCorrected(Body):
    make: Text | None = None
    model: Text | None = None
    colour: Text | None = None
    colour_hex: Annotated[str, StringConstraints(pattern=r"^#[0-9a-f]{6}$")] | None = None
    finish: Literal["solid", "metallic"] | None = None
    due: Day | None = None
    place: Text | None = None
    keys: Text | None = None


class StationPassed(Body):
    """The van has left this station of the line; `walk` is the one that was done there."""

    station: Key
    walk: Id | None = None


class PartPainted(Body):
    """One part came out of a booth at `at`. `sprayer` is a person, `mix` the paint's batch, `flame_at` when it was flame-treated."""

    part: Key
    booth: Text
    sprayer: Id | None = None
    mix: Text | None = None
    flame_at: Day | None = None
    at: Day


class OutlineSet(Body):
    outline: Key


class ZonesAbsent(Body):
    zones: Annotated[list[Key], Field(min_length=1, max_length=200)]
    why: Literal["not_fitted", "off", "present"]


class WalkStarted(Body):
    walk: Id
    purpose: Key


class OfWalk(Body):
    walk: Id


class ZoneLooked(Body):
    walk: Id
    zone: Key
    lap: Key
    found: Annotated[int, Field(ge=0, le=1000)] = 0


class LookUndone(Body):
    walk: Id
    zone: Key
    lap: Key


class MarkerMade(Body):
    marker: Id
    tag: Annotated[str, StringConstraints(pattern=r"^[A-Z]{1,3}[1-9][0-9]{0,4}$")]
    walk: Id | None = None
    lap: Key | None = None
    kind: Key
    view: Key
    zone: Key | None = None
    x: Place | None = None
    y: Place | None = None
    x2: Place | None = None
    y2: Place | None = None
    spread: Annotated[int, Field(ge=0, le=20_000)] | None = None
    size: Size | None = None
    count: Count = 1
    gap: Gap | None = None
    raking: bool = False
    severity: Severity | None = None
    caused_by: Key | None = None
    reading: Id | None = None


class MarkerAmended(Body):
    marker: Id
    kind: Key | None = None
    size: Size | None = None
    count: Count | None = None
    gap: Gap | None = None
    raking: bool | None = None
    severity: Severity | None = None
    x: Place | None = None
    y: Place | None = None
    x2: Place | None = None
    y2: Place | None = None
    spread: Annotated[int, Field(ge=0, le=20_000)] | None = None
    method: Key | None = None
    method_reason: Text | None = None


class OfMarker(Body):
    marker: Id


class OfMarkerWhy(Body):
    marker: Id
    reason: Text


class MarkerWithdrawn(OfMarkerWhy):
    reading: Id | None = None


class MarkerJoined(Body):
    marker: Id
    into: Id


class NoFlawProposed(Body):
    marker: Id
    job: Id | None = None
    reason: Text


class NoFlawDecided(Body):
    marker: Id
    agreed: bool


class PutRightHere(Body):
    marker: Id
    how: Annotated[Literal["wipe", "hand_polish"], BeforeValidator(_done_here)]
    minutes: Minutes = 1


class MarkerCleared(Body):
    marker: Id
    walk: Id | None = None
    reading: Id | None = None


class MarkerSentBack(Body):
    marker: Id
    walk: Id | None = None
    reason: Text


class OriginRevised(Body):
    marker: Id
    origin: Key


class PhotoAdded(Body):
    photo: Id
    marker: Id | None = None
    job: Id | None = None
    concession: Id | None = None
    role: Literal["found", "after", "concession", "context"]


class PhotoMark(Body):
    """An arrow from one place to the other, or the ring that fills the box between them; thousandths of the picture's
    width and height, from its top left.
    """

    form: Literal["arrow", "ring"]
    x: Share
    y: Share
    x2: Share
    y2: Share


class PhotoMarked(Body):
    """All that is drawn on the photo from now on."""

    photo: Id
    marks: Annotated[list[PhotoMark], Field(max_length=12)]


class PhotoRemoved(Body):
    photo: Id
    reason: Text


class JobTaken(Body):
    job: Id
    cautions: list[Key] = []


class OfJobWhy(Body):
    job: Id
    reason: Text


class JobRerouted(Body):
    job: Id
    department: Key
    reason: Text


class StepInserted(Body):
    job: Id
    method: Key | None = None
    department: Key
    reason: Text


class SpotNotFound(Body):
    job: Id
    marker: Id
    reason: Text


class WaitingFor(Body):
    job: Id
    what: Annotated[str, StringConstraints(max_length=200), Written] = ""
    until: Day | None = None


class WorkDone(Body):
    job: Id
    minutes: Minutes
    film: Annotated[int, Field(ge=0, le=5_000)] | None = None
    clips: Annotated[int, Field(ge=0, le=500)] | None = None


class ConcessionAsked(Body):
    concession: Id
    marker: Id


class OfConcession(Body):
    concession: Id


class ConcessionRefused(Body):
    concession: Id
    reason: Text


class QuestionAnswered(Body):
    question: Id
    answer: Text


class UnitSigned(Body):
    expected_head: Annotated[str, StringConstraints(min_length=64, max_length=64)]


class Why(Body):
    reason: Text


UNIT_BODIES: dict[str, type[Body]] = {
    "unit_arrived": UnitArrived,
    "unit_corrected": UnitCorrected,
    "station_passed": StationPassed,
    "part_painted": PartPainted,
    "outline_set": OutlineSet,
    "zones_absent": ZonesAbsent,
    "walk_started": WalkStarted,
    "walk_finished": OfWalk,
    "marks_released": OfWalk,
    "zone_looked": ZoneLooked,
    "look_undone": LookUndone,
    "marker_made": MarkerMade,
    "marker_amended": MarkerAmended,
    "marker_withdrawn": MarkerWithdrawn,
    "marker_joined": MarkerJoined,
    "marker_accepted": OfMarker,
    "no_flaw_proposed": NoFlawProposed,
    "no_flaw_decided": NoFlawDecided,
    "put_right_here": PutRightHere,
    "marker_cleared": MarkerCleared,
    "marker_sent_back": MarkerSentBack,
    "origin_revised": OriginRevised,
    "photo_added": PhotoAdded,
    "photo_marked": PhotoMarked,
    "photo_removed": PhotoRemoved,
    "job_taken": JobTaken,
    "job_handed_back": OfJobWhy,
    "job_rerouted": JobRerouted,
    "step_inserted": StepInserted,
    "spot_not_found": SpotNotFound,
    "waiting_for": WaitingFor,
    "work_done": WorkDone,
    "concession_asked": ConcessionAsked,
    "concession_agreed": OfConcession,
    "concession_refused": ConcessionRefused,
    "question_answered": QuestionAnswered,
    "unit_signed": UnitSigned,
    "unit_reopened": Why,
}

# Done online only, through a page of the server, never from an outbox.
ONLINE_ONLY = frozenset(
    {
        *("unit_arrived", "unit_corrected", "station_passed", "part_painted"),
        *("part_off", "part_stage", "part_refitted", "part_put_back", "mixup_stopped", "clips_counted"),
        "reading_taken",
        "outline_set",
        "plan_accepted",
        "concession_agreed",
        "concession_refused",
        "gate_confirmed",
        "unit_signed",
        "unit_reopened",
    }
)
