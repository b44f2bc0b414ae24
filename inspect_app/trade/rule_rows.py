"""The rows of the rules that judge beside the limits: frozen dataclasses, as the TOML files and a catalogue hold them.

Lengths are tenths of a millimetre, film is in tenths of a micrometre, times are whole minutes.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import ClassVar, Literal

from inspect_app.trade.catalogue_rows import ClassKey

Within = Literal["square", "circle", "part", "m2", "pair"]
Condition = bool | int | tuple[str, ...]
Wanted = tuple[str, str, Condition]
"""A condition by its name, the fact it asks about, and what is wanted of that."""


@dataclass(frozen=True, kw_only=True)
class Cluster:
    """More than `max_count` flaws of these kinds, each of acceptable size, inside the named space reject all in it.

    `reach` is the side of a square, the diameter of a circle, or the distance of a pair, in tenths of mm. With
    `raking_max_count`, flaws seen only in raking light count against that figure, together with all others, and no
    longer against `max_count`.
    """

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    surface_class: ClassKey
    within: Within
    kinds: tuple[str, ...]
    reach: int | None = None
    max_count: int = 1
    raking_max_count: int | None = None
    text: str
    origin: str


@dataclass(frozen=True, kw_only=True)
class Offer:
    """The methods that come into question for some kinds, mildest first."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    kinds: tuple[str, ...]
    methods: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Bar:
    """Some methods are taken away where all conditions hold; without kinds for any kind."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    methods: tuple[str, ...]
    kinds: tuple[str, ...] = ()
    when: Mapping[str, Condition] = field(default_factory=dict)
    sentence: str
    origin: str


@dataclass(frozen=True, kw_only=True)
class Selectors:
    """All offers and bars of one version."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    offers: tuple[Offer, ...]
    bars: tuple[Bar, ...]

    @cached_property
    def offered(self) -> Mapping[str, tuple[str, ...]]:
        """The methods that come into question for each kind, in the order of the offers."""
        found: dict[str, tuple[str, ...]] = {}
        for offer in self.offers:
            found |= {kind: found.get(kind, ()) + offer.methods for kind in offer.kinds}
        return found

    @cached_property
    def against(self) -> dict[tuple[str, str], list[tuple[str, list[Wanted]]]]:
        """What may bar a method for a kind: each sentence with what is asked; filled as it is asked for."""
        return {}


@dataclass(frozen=True, kw_only=True)
class Budget:
    """What may come off one spot, what must stay, and what is assumed to be there; tenths of a micrometre."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    paint: str
    surface_classes: tuple[str, ...]
    most: int
    stay: int
    clear: int
    origin: str


@dataclass(frozen=True, kw_only=True)
class Budgets:
    """All budgets; within which distance work is on the same clear (tenths of mm); when a whole film is thin."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    reach: int
    thin_film: int
    no_cut_film: int
    origin: str
    budgets: tuple[Budget, ...]


@dataclass(frozen=True, kw_only=True)
class FilmBounds:
    """A whole film in tenths of µm: under `least` it is thin, over `strip` the old paint comes off first."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    strip: int
    least: int = 0
    origin: str


@dataclass(frozen=True, kw_only=True)
class ColourBounds:
    """Tenths of ΔE00: from `warn` on it is looked at again, `metallic_trim` is let through on a trim of effect paint.

    `angles` in degrees are those that metallic and pearl are read at.
    """

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    warn: int
    metallic_trim: int
    angles: tuple[int, ...]
    origin: str


@dataclass(frozen=True, kw_only=True)
class FitBounds:
    """Tenths of mm: how far a gap may run out, differ from left to right, and a rear part stand proud."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    taper: int
    symmetry: int
    proud: int
    origin: str


@dataclass(frozen=True, kw_only=True)
class DewBounds:
    """How far a surface is above the dew point before it is painted, in tenths of a degree."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    margin: int
    origin: str


@dataclass(frozen=True, kw_only=True)
class AdhesionBounds:
    """The worst class of ISO 2409 that passes, by surface class, on films up to `thickest` (tenths of µm)."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    worst: Mapping[str, int]
    thickest: int
    origin: str


@dataclass(frozen=True, kw_only=True)
class Readings:
    """What readings are held against; `film` by place: "body", "radar", "parking_disc"."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    film: Mapping[str, FilmBounds]
    colour: ColourBounds
    fit: FitBounds
    dew: DewBounds
    adhesion: AdhesionBounds


@dataclass(frozen=True, kw_only=True)
class Stage:
    """One stage. `label` is the state a part is in after it, `text` how it is done."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    label: str
    department: str
    text: str
    cautions: tuple[str, ...]
    origin: str


@dataclass(frozen=True, kw_only=True)
class Material:
    """What a part is made of, with its stages in their order; the first is `off`, the last `refitted`."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    label: str
    stages: tuple[str, ...]
    origin: str


@dataclass(frozen=True, kw_only=True)
class Span:
    """A stretch of minutes from one stage to another: a wait (not sooner) or a window (not later)."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    since: str
    before: str
    minutes: int
    text: str
    origin: str


@dataclass(frozen=True, kw_only=True)
class Stages:
    """All of it, as `part_stages.toml` says."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    stages: dict[str, Stage]
    materials: dict[str, Material]
    waits: tuple[Span, ...]
    windows: tuple[Span, ...]


@dataclass(frozen=True, kw_only=True)
class Choice:
    """One answer to choose."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    key: str
    label: str


@dataclass(frozen=True, kw_only=True)
class Ask:
    """One value: a figure between `least` and `most` (tenths where it says so), one of `choices`, or a few words.

    `unit` stands beside the field and after the figure, `short` after the figure only. The gate does not hold when the
    value is the choice `fails`, when it is above nothing and `none` is asked, or when it is less than the value that
    `all_of` names. An optional text is due when `due_with` is chosen before it.
    """

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    key: str
    label: str
    unit: str = ""
    short: str = ""
    tenths: bool = False
    least: int | None = None
    most: int | None = None
    choices: tuple[Choice, ...] = ()
    fails: str = ""
    none: bool = False
    all_of: str = ""
    optional: bool = False
    due_with: str = ""


@dataclass(frozen=True, kw_only=True)
class Asked:
    """All that is asked at one gate. `retest`: it has to be confirmed again after work on a seal."""

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    hint: str
    asks: tuple[Ask, ...]
    origin: str
    cautions: tuple[str, ...] = ()
    retest: bool = False


@dataclass(frozen=True, kw_only=True)
class Rules:
    """All rules of one version beside its limits.

    What lies too close, which methods are open, how much film may come off, what readings are held against, what a part
    goes through off the van, and what is written down at a gate.
    """

    __pydantic_config__: ClassVar = {"extra": "forbid"}

    clusters: tuple[Cluster, ...]
    selectors: Selectors
    budgets: Budgets
    readings: Readings
    part_stages: Stages
    gate_values: Mapping[str, Asked]
