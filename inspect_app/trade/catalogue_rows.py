"""The rows of a catalogue: one frozen dataclass for each noun of the trade.

Sizes are whole tenths of a kind's unit (tenths of a millimetre unless the kind says otherwise), film is in tenths of a
micrometre, times are whole minutes. Every row says where its values come from in `origin`.
"""

from dataclasses import dataclass
from typing import ClassVar, Literal

Measure = Literal["size", "length", "count", "gap", "step", "area", "none"]
Unit = Literal["mm", "steps", "ΔE00", "GU"]
Scope = Literal["none", "zone", "part", "part_and_neighbours"]
ClassKey = Literal["A", "B", "C", "D"]
Paint = Literal["ours", "maker"]


@dataclass(frozen=True, kw_only=True)
class Row:
    """What all rows share: a key, a label in shop English, the place in its list, and the origin of its values."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}  # a misspelt field in a file is an error, not silence

    key: str
    label: str
    order: int = 0
    origin: str


@dataclass(frozen=True, kw_only=True)
class Group(Row):
    """A drawer of the kind dock: paint, form and fit, seal and glass, clean, papers."""


@dataclass(frozen=True, kw_only=True)
class Department(Row):
    """Who makes or mends a flaw. `takes_jobs` is false where a flaw can come from but no rework is sent.

    What is `retired` keeps its label in the history and is offered nowhere; so it is with all parts of `RETIRABLE`.
    """

    short: str
    takes_jobs: bool
    retired: bool = False


@dataclass(frozen=True, kw_only=True)
class Kind(Row):
    """One kind of defect. `sizes` are the size buttons in tenths of `unit`, ascending; empty where nothing is sized.

    `everyday` is the fixed place 1 to 5 among the large buttons. `snaps` means the ring jumps to the nearest joint.
    For gaps and steps the size is how far off the joint is from what it should be, without its sign. For areas it is
    how far across the patch reaches at its widest. `method_metal` is the usual method on body metal where it differs:
    a door is not taken off and stripped as a moulding is.
    """

    group: str
    everyday: int | None = None
    describe: str
    cause: str
    measure: Measure
    unit: Unit = "mm"
    sizes: tuple[int, ...] = ()
    snaps: bool = False
    origin_department: str
    method: str
    method_metal: str | None = None
    severity: str
    pictogram: str
    retired: bool = False

    def method_for(self, material: str) -> str:
        """Return the key of the usual method on a zone of this material ("metal", "plastic", "glass", "rubber")."""
        return self.method_metal if material == "metal" and self.method_metal else self.method


@dataclass(frozen=True, kw_only=True)
class Step:
    """One department's share of a method. Minutes are hands-on, without queue, bake and cooling.

    `minutes_off` replaces `minutes_base` when the part lies on a rack: nothing around it has to be masked.
    """

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    department: str
    minutes_base: int
    minutes_spot: int
    minutes_off: int | None = None
    text: str


@dataclass(frozen=True, kw_only=True)
class Voids:
    """Which looks a method undoes: how far around the work, and in which laps."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    scope: Scope
    laps: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Batch:
    """Minutes when a whole set of parts is done together: once for the set, and for each piece."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    minutes_set: int
    minutes_piece: int


@dataclass(frozen=True, kw_only=True)
class Method(Row):
    """How a flaw is put right: `chain` is the order of departments, each seeing its step only when its turn comes.

    `wait_minutes` is the cure before the second look (0: none), `film` what it typically takes off (tenths of µm),
    `renews_film` that new clear lies on top afterwards, so that film taken off earlier no longer counts. `waits_for`
    are the methods that come first where both are due on one part: body before paint, paint before polish.
    """

    steps: tuple[str, ...]
    chain: tuple[Step, ...]
    cautions: tuple[str, ...]
    voids: Voids
    wait_minutes: int
    film: int = 0
    renews_film: bool = False
    booth: bool = False
    batch: Batch | None = None
    materials: tuple[str, ...] = ()
    waits_for: tuple[str, ...] = ()
    retired: bool = False


@dataclass(frozen=True, kw_only=True)
class Caution(Row):
    """What can hurt, what to wear, what to wait for. The catalogue's clause belongs under every one of them.

    `timer` names a wait that runs by the clock ("" for none): `timer_minutes` are proposed when somebody starts it,
    fewer than `timer_least` are not taken. It never ends by itself.
    """

    danger: str
    wear: str
    wait: str
    pictogram: str
    timer: str = ""
    timer_minutes: int = 0
    timer_least: int = 0
    retired: bool = False


@dataclass(frozen=True, kw_only=True)
class Severity(Row):
    """What a flaw means to the customer. `approvers` concede it (None: nobody can); notes do not block release."""

    meaning: str
    demerit: int
    blocks_release: bool
    approvers: int | None = None


@dataclass(frozen=True, kw_only=True)
class SurfaceClass(Row):
    """How visible a surface is, and from how far it is judged."""

    meaning: str
    distance: str


@dataclass(frozen=True, kw_only=True)
class Limit:
    """What is still allowed for some kinds on one surface class. 0 means none allowed, None means not limited.

    A size equal to `max_size` is within. `raking_max_size` replaces it for a flaw seen only in raking light. `paint`
    says whose paint a row is for ("ours", "maker": what the chassis maker painted); a row without it holds wherever no
    other does.
    """

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    kinds: tuple[str, ...]
    surface_class: ClassKey
    paint: Paint | None = None
    max_size: int | None = None
    max_count: int | None = None
    raking_max_size: int | None = None
    text: str
    origin: str


@dataclass(frozen=True, kw_only=True)
class Gate(Row):
    """A question that must be answered before a unit is released, and the roles that may answer it."""

    question: str
    lifted_by: tuple[str, ...]
    by_default: bool
    comment: str = ""


@dataclass(frozen=True, kw_only=True)
class Purpose(Row):
    """Why a unit is walked, in which laps, and whether its looks count for the coverage gate."""

    laps: tuple[str, ...]
    counts_for_coverage: bool


@dataclass(frozen=True, kw_only=True)
class Lap(Row):
    """One way round the unit: under the lamp, for fit, for glass and seal."""

    hint: str


@dataclass(frozen=True, kw_only=True)
class Station(Row):
    """A stretch of the line that a van goes through, and the departments that work on it there."""

    departments: tuple[str, ...]
    retired: bool = False


@dataclass(frozen=True, kw_only=True)
class Option(Row):
    """Something a van is ordered with, by the name that lists of units use (`label`), and the zones that hang on it.

    `brings` are zones that are on a van with this option alone, `takes` zones that such a van does not have; both are
    ids of the outline. They are worked out when a unit arrives.
    """

    brings: tuple[str, ...] = ()
    takes: tuple[str, ...] = ()
    retired: bool = False
