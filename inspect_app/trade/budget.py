"""The clear-coat budget: what polishing has taken off one spot over every attempt, and whether more may come off.

Clear does not grow back between a first polish, a second one and the one after a marker was sent back. What was taken
off within 50 mm is added up until a new film lies on top; then the counting starts again. Two sums are kept: what was
surely taken off here, and what perhaps was, when places are not known so well.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from math import hypot
from typing import Literal

from pydantic import TypeAdapter

from inspect_app.trade.catalogue import CatalogueError
from inspect_app.trade.catalogue_rows import Method
from inspect_app.trade.rule_rows import Budget, Budgets
from inspect_app.words import N_
from inspect_app.words import gettext as _
from inspect_app.words.figures import tenths

FilmMethod = Literal["magnetic", "eddy", "ultrasonic", "witness", "none"]
FILM_METHODS: dict[str, str] = {
    "magnetic": N_("magnetic gauge"),
    "eddy": N_("eddy-current gauge"),
    "ultrasonic": N_("ultrasonic gauge"),
    "witness": N_("witness tab"),
    "none": N_("not read"),
}
BELOW_ZERO = "film that was taken off cannot be below zero; check the removals"
READS_ON = {"magnetic": ("steel", "metal"), "eddy": ("aluminium", "metal")}
"""What these gauges read on (ASTM D7091 covers metals only). Others read on anything; ultrasonic after ASTM D6132."""


@dataclass(frozen=True, kw_only=True)
class Place:
    """A spot on one view of a part, in tenths of mm, and how far off it may be."""

    view: str
    x: int
    y: int
    spread: int = 0


@dataclass(frozen=True, kw_only=True)
class Removal:
    """One attempt: how much it took off (tenths of µm), where, or nowhere known; or a new film over the whole part."""

    film: int = 0
    place: Place | None = None
    renews: bool = False


@dataclass(frozen=True, kw_only=True)
class FilmReading:
    """A reading in tenths of µm: of the whole film, and of the clear alone when the gauge tells layers apart.

    `after` is how many of the removals, in their order, had been done when it was taken; None: all of them.
    """

    method: FilmMethod
    film: int | None = None
    clear: int | None = None
    after: int | None = None


@dataclass(frozen=True, kw_only=True)
class Left:
    """What is left of a spot's budget. `bars` is why no more may be polished, or None; `text` says it all in words.

    `taken` was surely taken off here, `perhaps` counts what may have been; `clear` is the clear that is left, read or
    worked out. All in tenths of µm.
    """

    outcome: Literal["open", "unsure", "spent"]
    taken: int
    perhaps: int
    attempts: int
    most: int
    clear: int
    stay: int
    text: str
    bars: str | None

    def more(self, takes: int) -> int:
        """Return how many more attempts that take off so much each (tenths of µm, above zero) the budget allows."""
        return 0 if self.bars else max(0, min(self.most - self.taken, self.clear - self.stay) // takes)


@cache
def builtin() -> Budgets:
    """Return the budgets that come with the program, read once from budgets.toml."""
    text = (files("inspect_app.trade") / "catalogue" / "budgets.toml").read_text("utf-8")
    return TypeAdapter(Budgets).validate_python(tomllib.loads(text))


def clear_left(
    here: Place,
    removals: Iterable[Removal],
    *,
    surface_class: str,
    paint: str,
    material: str = "metal",
    takes: int = 0,
    reading: FilmReading | None = None,
    budgets: Budgets | None = None,
) -> Left:
    """Return what is left of the clear at a spot, and whether a method that takes off so much more is still open.

    Args:
        here: the spot that is to be worked on.
        removals: every attempt on the part so far, the oldest first, in whichever visit it was.
        surface_class: "A" to "D".
        paint: whose film it is: "maker" or "ours".
        material: what the gauge reads on: "metal" (or "steel", "aluminium"), "plastic", "glass", "rubber".
        takes: what the next work takes off; 0 asks whether anything at all may come off.
        reading: the latest film reading, None when nobody has read it.
        budgets: None for those that come with the program.

    Raises:
        CatalogueError: no budget for this paint and class, a figure below zero, or a gauge that cannot read on the
            material; in one sentence.
    """
    spot = spot_at(
        here, removals, surface_class=surface_class, paint=paint, material=material, reading=reading, budgets=budgets
    )
    return spot.left(takes)


def spot_at(
    here: Place,
    removals: Iterable[Removal],
    *,
    surface_class: str,
    paint: str,
    material: str = "metal",
    reading: FilmReading | None = None,
    budgets: Budgets | None = None,
) -> Spot:
    """Return a spot with what was taken off it so far, to be asked about several methods; arguments as `clear_left`.

    Raises:
        CatalogueError: as `clear_left` does.
    """
    rules = builtin() if budgets is None else budgets
    budget = budget_for(rules, paint, surface_class)
    done = list(removals)
    if any(one.film < 0 for one in done):
        raise CatalogueError(BELOW_ZERO)
    if reading is not None:
        check_reading(reading, material)
    taken, perhaps, attempts = _sums(here, done, rules.reach)
    clear = _clear(here, done, reading, budget, rules.reach)
    return Spot(rules, budget, surface_class, reading, taken, perhaps, attempts, clear)


@dataclass(frozen=True)
class Spot:
    """A spot with the film that is left there; `spot_at` makes it. In tenths of µm."""

    rules: Budgets
    budget: Budget
    surface_class: str
    reading: FilmReading | None
    taken: int
    perhaps: int
    attempts: int
    clear: int

    def bars(self, takes: int) -> str | None:
        """Return why a method that takes off so much more is barred, or None."""
        if takes < 0:
            raise CatalogueError(BELOW_ZERO)
        return _bars(self.budget, self.rules, self.surface_class, (self.taken, self.clear), takes, self.attempts,
                     self.reading)  # fmt: skip

    def left(self, takes: int) -> Left:
        """Return what is left, and whether a method that takes off so much more is still open."""
        bars, budget, taken, perhaps = self.bars(takes), self.budget, self.taken, self.perhaps
        doubtful = perhaps > taken and perhaps + max(takes, 1) > budget.most
        outcome: Literal["open", "unsure", "spent"] = "spent" if bars else "unsure" if doubtful else "open"
        text = bars or _open_words(outcome, taken, perhaps, budget, self.clear, self.reading)
        return Left(outcome=outcome, taken=taken, perhaps=perhaps, attempts=self.attempts, most=budget.most,
                    clear=self.clear, stay=budget.stay, bars=bars, text=text)  # fmt: skip


def removal_of(method: Method, department: str, film: int | None, place: Place | None) -> Removal | None:
    """Return what one department's step of a method did to the film at a place; None when it did nothing to it.

    `film` is what was read (tenths of µm), None when nobody did: then the method's usual figure counts. The new film of
    a method that is painted is there with the painter's step, any other with each of its steps.
    """
    painted = any(step.department == "paint" for step in method.chain)
    if method.renews_film and (department == "paint" or not painted):
        return Removal(renews=True)
    taken = method.film if film is None else film
    return Removal(film=taken, place=place) if taken else None


def next_film(coming: Iterable[Method], offered: Iterable[Method]) -> int:
    """Return what the next polish of a spot takes off, in tenths of µm; 0 where no method takes anything.

    `coming` are the methods of the steps that nobody has done, in their order, and then the marker's own: the first
    that takes film and lays none is the next polish. Where none does, it is the mildest of those `offered` for the
    kind.
    """
    first = next((one.film for one in coming if one.film and not one.renews_film), 0)
    return first or min((one.film for one in offered if one.film and not one.renews_film), default=0)


def budget_for(budgets: Budgets, paint: str, surface_class: str) -> Budget:
    """Return the budget for a paint and a class; raises CatalogueError when there is none."""
    for budget in budgets.budgets:
        if budget.paint == paint and surface_class in budget.surface_classes:
            return budget
    raise CatalogueError(f"there is no clear-coat budget for {paint}'s paint on class {surface_class}; add a row")


def check_reading(reading: FilmReading, material: str) -> None:
    """Raise CatalogueError, in one sentence, for a gauge that cannot read on the material or a reading of nothing."""
    if material not in READS_ON.get(reading.method, (material,)):
        name = FILM_METHODS[reading.method]
        raise CatalogueError(f"the {name} does not read on {material}; use an ultrasonic gauge, a witness tab, or none")
    figures = [one for one in (reading.film, reading.clear) if one is not None]
    if any(one <= 0 for one in figures) or (reading.method == "none" and figures):
        raise CatalogueError("a film reading is a figure above zero, and 'not read' has none; check gauge and figure")
    if not figures and reading.method != "none":
        raise CatalogueError("a film reading needs its figure; choose 'not read' when there is none")


def _sums(here: Place, removals: list[Removal], reach: int) -> tuple[int, int, int]:
    """What was surely and what was perhaps taken off here since the last new film, and in how many attempts."""
    taken, perhaps, attempts = 0, 0, 0
    for one in removals:
        if one.renews:
            taken, perhaps, attempts = 0, 0, 0
            continue
        near = _near(here, one.place, reach)
        taken += one.film if near is True else 0
        perhaps += one.film if near is not False else 0
        attempts += near is True and one.film > 0
    return taken, perhaps, attempts


def _near(here: Place, there: Place | None, reach: int) -> bool | None:
    """Whether two places are within reach of each other; None when their spreads leave it open."""
    if there is None:
        return None
    if here.view != there.view:
        return False
    apart, off = hypot(here.x - there.x, here.y - there.y), here.spread + there.spread
    return None if apart - off <= reach < apart + off else apart <= reach


def _clear(here: Place, removals: list[Removal], reading: FilmReading | None, budget: Budget, reach: int) -> int:
    """The clear that is left: the one that was read less what came off since, or the assumed one less all of it."""
    if reading is None or reading.clear is None:
        return budget.clear - _sums(here, removals, reach)[0]
    since = removals[len(removals) if reading.after is None else reading.after :]
    if any(one.renews for one in since):
        return budget.clear - _sums(here, removals, reach)[0]
    return reading.clear - _sums(here, since, reach)[0]


def _bars(
    budget: Budget,
    rules: Budgets,
    surface_class: str,
    now: tuple[int, int],
    takes: int,
    attempts: int,
    reading: FilmReading | None,
) -> str | None:
    """Return why so much more may not come off, or None; `now`: what was taken off, and the clear that is there."""
    taken, clear = now
    if reading is not None and reading.film is not None and reading.film < rules.no_cut_film:
        return _(
            "the whole film is %(film)s µm (%(gauge)s); below %(least)s µm nothing is cut",
            film=tenths(reading.film), gauge=_(FILM_METHODS[reading.method]), least=tenths(rules.no_cut_film),
        )  # fmt: skip
    # Asked with 0, a budget used up to the last tenth is spent.
    if takes == 0 and taken >= budget.most:
        return _(
            "%(taken)s of %(most)s µm are off this spot: the budget on class %(class)s is used up",
            **{"taken": tenths(taken), "most": tenths(budget.most), "class": surface_class},
        )
    if takes == 0 and clear <= budget.stay:
        return _(
            "%(clear)s µm of clear are left (%(gauge)s); %(stay)s µm must stay",
            clear=tenths(clear), gauge=_gauge(reading), stay=tenths(budget.stay),
        )  # fmt: skip
    if taken + takes > budget.most:
        return _(
            "%(taken)s µm would be off this spot after %(attempts)s attempts; "
            "the budget on class %(class)s is %(most)s µm",
            **{
                "taken": tenths(taken + takes),
                "attempts": attempts + 1,
                "class": surface_class,
                "most": tenths(budget.most),
            },
        )
    if clear - takes < budget.stay:
        return _(
            "%(clear)s µm of clear would stay (%(gauge)s); %(stay)s µm must",
            clear=tenths(clear - takes), gauge=_gauge(reading), stay=tenths(budget.stay),
        )  # fmt: skip
    return None


def _gauge(reading: FilmReading | None) -> str:
    if reading is None or reading.clear is None:
        return _("assumed, not read")
    return _(FILM_METHODS[reading.method])


def _open_words(outcome: str, taken: int, perhaps: int, budget: Budget, clear: int, reading: FilmReading | None) -> str:
    told = {"taken": tenths(taken), "perhaps": tenths(perhaps), "most": tenths(budget.most), "clear": tenths(clear),
            "gauge": _gauge(reading)}  # fmt: skip
    if outcome == "unsure":
        return _(
            "%(taken)s µm are off this spot, perhaps %(perhaps)s of %(most)s µm: place the earlier work finely", **told
        )
    return _("%(taken)s of %(most)s µm are off this spot; %(clear)s µm of clear are left (%(gauge)s)", **told)
