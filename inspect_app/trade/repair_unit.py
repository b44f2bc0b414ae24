"""The plan for a unit: solved without the booth and with one visit to it, the cheaper one proposed, and why.

A visit to the booth is charged once for the unit, however many parts are painted in it; a set of mouldings is charged
once for all its strips. Both are tried with and without, so that the least sum is exact. Metallic and pearl are blended
into the next part of body metal where exactly one of two is refinished; a repainted trim is never blended.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from operator import attrgetter, itemgetter
from typing import Literal

from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.repair_choice import cheapest_plan
from inspect_app.trade.repair_order import Doing, Laid, Steps, lay_out, split
from inspect_app.trade.repair_spots import WHOLE, Cases, Flaw, Priced, Prices, Till, by_method, cases, cheapest, made
from inspect_app.words import gettext as _
from inspect_app.words.figures import figure
from inspect_app.words.spans import minutes_words

BOOTH_MINUTES = 60  # to load, wipe down, purge and empty the booth once: common practice, no source
BLEND, SET = "blend_neighbour", "strip_refinish"
NOTHING: Priced = (0, "", {})
Chosen = Literal["spots", "refinish"]


@dataclass(frozen=True, kw_only=True)
class Ground:
    """What a plan must know of a part: its material, whether it lies on a rack, why it is not mended spot by spot.

    `chosen` is a person's word: "spots" or "refinish", whatever is cheaper.
    """

    material: str
    off_van: bool = False
    no_spots: str = ""
    chosen: Chosen | None = None


@dataclass(frozen=True, kw_only=True)
class Way:
    """One way to do it: what it costs (None: not possible, `why_not` says so), and the work in order."""

    booth: bool
    cost: Fraction | None
    why_not: str = ""
    refinish: frozenset[str] = frozenset()
    blends: tuple[tuple[str, str], ...] = ()
    as_set: tuple[str, ...] = ()
    doings: tuple[Doing, ...] = ()
    laid: Laid | None = None


@dataclass(frozen=True, kw_only=True)
class UnitPlan:
    """Both ways, the one proposed, what it saves against the other, in words; and flaws that no method is open for."""

    without: Way
    visit: Way
    proposed: Way
    saves: Fraction | None
    text: str
    undecided: tuple[str, ...]


@dataclass(frozen=True)
class _Unit:
    """The task as it was given, so that it need not be handed on piece by piece."""

    till: Till
    flaws: Mapping[str, list[Flaw]]
    parts: Mapping[str, Ground]
    pairs: Sequence[tuple[str, str]]
    prices: Prices | None
    booth_minutes: int
    known: dict[tuple[str, bool], Priced | None] = field(default_factory=dict)
    whole: dict[str, list[Priced]] = field(default_factory=dict)
    alone: dict[str, int] = field(default_factory=dict)  # what a moulding by itself costs to renew

    @property
    def catalogue(self) -> Catalogue:
        return self.till.catalogue

    @cached_property
    def ways(self) -> list[tuple[str, Priced | None, list[Priced]]]:
        """For each part the cheapest way to mend its spots with the booth, and the ways to renew it whole."""
        return [
            (part, _mended(self, part, booth=True),
             [] if self.parts[part].chosen == "spots" else _renewed(self, part))
            for part in self.flaws
        ]  # fmt: skip

    @cached_property
    def cases(self) -> Mapping[str, Cases]:
        """The flaws of each part, those together that the same methods are open for."""
        return {part: cases(flaws) for part, flaws in self.flaws.items()}

    @cached_property
    def whole_only(self) -> frozenset[str]:
        """The parts that are renewed whole if they are put right at all."""
        return frozenset(part for part, flaws in self.flaws.items() if _whole_only(self, part, flaws))

    @cached_property
    def piece(self) -> Steps:
        """The steps of one moulding of a set, which are the same for each."""
        method = self.catalogue.method(SET)
        return tuple(split(method.batch.minutes_piece if method.batch else 0, method))

    @cached_property
    def blend(self) -> Steps:
        """What blending across one joint adds to refinishing one of its two parts, whichever they are."""
        both, one = self.catalogue.method(BLEND), self.catalogue.method("refinish")
        alone = {step.department: step.minutes_base for step in one.chain}
        text = _("Fade the base across the joint, clear the neighbour to a break.")
        return tuple(
            (step.department, max(0, step.minutes_base - alone.get(step.department, 0)), step.text if later else text)
            for later, step in enumerate(both.chain)
        )


def plan_unit(
    catalogue: Catalogue,
    flaws: Iterable[Flaw],
    parts: Mapping[str, Ground],
    joints: Iterable[tuple[str, str]] = (),
    *,
    effect: bool = False,
    prices: Prices | None = None,
    booth_minutes: int = BOOTH_MINUTES,
) -> UnitPlan:
    """Return the cheapest way to put a unit right, without the booth and with one visit to it.

    Args:
        catalogue: the methods with their minutes, waits and departments.
        flaws: the open markers. One without an open method is left out and named in `undecided`.
        parts: every part that has a flaw or stands in a joint.
        joints: pairs of parts that meet.
        effect: the body is metallic or pearl, so that colour has to be blended between parts of body metal.
        prices: count in cents; None counts in minutes.
        booth_minutes: what one visit costs in minutes, whatever is painted in it; not used with prices.

    Raises:
        ValueError: a flaw or joint on an unknown part, an unknown method, a count below one, a choice that cannot be
            carried out; in one sentence.
    """
    by_part: dict[str, list[Flaw]] = {part: [] for part in parts}
    undecided: list[Flaw] = []
    given = list(flaws)
    if len({flaw.id for flaw in given}) < len(given):
        twice = [tag for tag, times in Counter(flaw.id for flaw in given).items() if times > 1]
        raise ValueError(f"the marker '{twice[0]}' is in the list twice; keep one of them")
    for methods in {flaw.methods for flaw in given}:
        for method in methods:
            catalogue.method(method)
    for flaw in given:
        if flaw.part not in parts or flaw.count < 1:
            raise ValueError(_wrong(flaw, parts))
        (by_part[flaw.part] if flaw.methods else undecided).append(flaw)
    pairs = _joined(joints, parts)
    metal = [(a, b) for a, b in pairs if parts[a].material == parts[b].material == "metal"]
    unit = _Unit(Till(catalogue, prices), by_part, parts, metal if effect else [], prices, booth_minutes)
    _check_chosen(unit)
    without, visit = _without(unit), _visit(unit)
    proposed = without if without.cost is not None and without.cost <= (visit.cost or 0) else visit
    other = visit if proposed is without else without
    saves = None if other.cost is None else other.cost - (proposed.cost or 0)
    text = _in_words(unit, proposed, other, saves)
    names = tuple(flaw.id for flaw in undecided)
    return UnitPlan(without=without, visit=visit, proposed=proposed, saves=saves, text=text, undecided=names)


def set_minutes(catalogue: Catalogue, pieces: int) -> int | None:
    """Return the minutes of a set of mouldings from off to refitted, with its booth visit; None without a set price."""
    method = catalogue.methods.get(SET)
    if method is None or method.batch is None or pieces < 1:
        return None
    return method.batch.minutes_set + method.batch.minutes_piece * pieces + BOOTH_MINUTES


def _wrong(flaw: Flaw, parts: Mapping[str, Ground]) -> str:
    if flaw.part not in parts:
        return f"the marker '{flaw.id}' is on '{flaw.part}', which is not among the parts"
    return f"the marker '{flaw.id}' stands for {flaw.count} flaws; give it one or more"


def _check_chosen(unit: _Unit) -> None:
    """Refuse a choice that cannot be carried out, in one sentence."""
    for part, flaws in unit.flaws.items():
        ground = unit.parts[part]
        if not flaws or (ground.chosen is None and not ground.no_spots):
            continue
        if ground.chosen == "spots" and (ground.no_spots or _mended(unit, part, booth=True) is None):
            tags = ", ".join(flaw.id for flaw in flaws if all(method in WHOLE for method in flaw.methods))
            raise ValueError(
                ground.no_spots or _("%(tags)s cannot be mended as a spot; the part is refinished.", tags=tags)
            )
        renews = any(method in WHOLE for flaw in flaws for method in flaw.methods)
        if ground.chosen != "spots" and not (renews and _renewed(unit, part)):
            tags = ", ".join(flaw.id for flaw in flaws)
            raise ValueError(_("Refinishing the part would not put %(tags)s right.", tags=tags))


def _joined(joints: Iterable[tuple[str, str]], parts: Mapping[str, Ground]) -> list[tuple[str, str]]:
    """The pairs that meet, each once and in the order of their names."""
    pairs = {(a, b) if a < b else (b, a) for a, b in joints if a != b}
    if strange := [(a, b) for a, b in sorted(pairs) if a not in parts or b not in parts]:
        a, b = strange[0]
        raise ValueError(f"the joint of '{a}' and '{b}' names '{b if a in parts else a}', which is not among the parts")
    return sorted(pairs)


def _without(unit: _Unit) -> Way:
    doings: list[Doing] = []
    for part, flaws in unit.flaws.items():
        mended = None if _whole_only(unit, part, flaws) else _mended(unit, part, booth=False)
        if mended is None:
            tags = ", ".join(flaw.id for flaw in flaws if _whole_only(unit, part, flaws) or _only_booth(unit, flaw))
            return Way(booth=False, cost=None, why_not=_("%(tags)s can only be put right in the booth", tags=tags))
        doings += _made(unit, part, mended)
    cost = unit.till.told(unit.till.sum(doings))
    return Way(booth=False, cost=cost, doings=tuple(doings), laid=lay_out(unit.catalogue, doings))


def _whole_only(unit: _Unit, part: str, flaws: list[Flaw]) -> bool:
    """Whether a part that has a flaw is renewed whole: because somebody says so, or because spots are barred there."""
    ground = unit.parts[part]
    return bool(flaws) and (ground.chosen == "refinish" or bool(ground.no_spots))


def _only_booth(unit: _Unit, flaw: Flaw) -> bool:
    return all(unit.catalogue.method(method).booth for method in flaw.methods)


def _visit(unit: _Unit) -> Way:
    """One visit, once with the mouldings one by one and once as a set: whichever is cheaper."""
    solved = [_solved(unit, as_set=False)]
    strips = any(SET in flaw.methods for flaws in unit.flaws.values() for flaw in flaws)
    if strips and unit.catalogue.method(SET).batch:
        solved.append(_solved(unit, as_set=True))
    best = min(solved, key=attrgetter("cost"))
    work, pieces = _work(unit, best)
    blends = tuple((a, b) for a, b in unit.pairs if (a in best.refinish) != (b in best.refinish))
    doings = (*work, *(_between(unit, a, b) for a, b in blends))
    if pieces:
        doings = (*(one for one in doings if one.method != SET), _set(unit, doings, pieces))
    laid = lay_out(unit.catalogue, doings)
    return Way(booth=True, cost=unit.till.told(best.cost), refinish=best.refinish, blends=blends, as_set=pieces,
               doings=doings, laid=laid)  # fmt: skip


@dataclass(frozen=True)
class _Solved:
    """What one visit costs at least, the parts that are then refinished, and how each part could be."""

    cost: int
    refinish: frozenset[str]
    wholes: Mapping[str, Priced]
    as_set: bool


def _solved(unit: _Unit, *, as_set: bool) -> _Solved:
    """Solve one visit. Its sum is that of the work, which need not be written out for it."""
    till = unit.till
    costs: dict[str, tuple[int | None, int | None]] = {}
    wholes: dict[str, Priced] = {}
    for part, mended, renewed in unit.ways:
        if as_set:
            renewed = [_in_pieces(unit, part, way) if way[1] == SET else way for way in renewed]
        spots = None if mended is None else mended[0]
        if not renewed:
            costs[part] = spots, None
            continue
        whole = wholes[part] = renewed[0] if len(renewed) == 1 else min(renewed, key=itemgetter(0))
        costs[part] = None if part in unit.whole_only else spots, whole[0]
    blend = till.of_steps(unit.blend) if unit.pairs else 0
    chosen = cheapest_plan(costs, [(a, b, blend) for a, b in unit.pairs])
    cost = int(chosen.minutes) + till.sum([_booth(unit)]) + till.visit
    if as_set and any(wholes[part][1] == SET for part in chosen.refinish):
        cost += till.sum([_set(unit, (), ())])
    return _Solved(cost, chosen.refinish, wholes, as_set)


def _work(unit: _Unit, solved: _Solved) -> tuple[list[Doing], tuple[str, ...]]:
    """The work of a visit, part by part, but for what is blended; and the mouldings that are painted as a set."""
    doings = [_booth(unit)]
    for part in unit.flaws:
        way = solved.wholes[part] if part in solved.refinish else _mended(unit, part, booth=True)
        doings += _made(unit, part, way, solved.as_set)
    return doings, tuple(one.parts[0] for one in doings if one.method == SET) if solved.as_set else ()


def _mended(unit: _Unit, part: str, *, booth: bool) -> Priced | None:
    """The cheapest way to mend the spots of a part, found once."""
    key = (part, booth)
    if key not in unit.known:
        off_van = unit.parts[part].off_van
        unit.known[key] = cheapest(unit.till, unit.cases[part], booth=booth, off_van=off_van)
    return unit.known[key]


def _renewed(unit: _Unit, part: str) -> list[Priced]:
    """The ways to renew the whole film of a part, each with what that does not put right; found once."""
    if part not in unit.whole:
        unit.whole[part] = _ways_to_renew(unit, part)
    return unit.whole[part]


def _ways_to_renew(unit: _Unit, part: str) -> list[Priced]:
    ground, some, till, ways = unit.parts[part], unit.cases[part], unit.till, []
    able = {one for methods in some for one in till.renewing(methods)}
    if not able and ground.material == "metal" and WHOLE[0] in unit.catalogue.methods:
        able = {WHOLE[0]}  # painted along with its neighbour, which can be cheaper than a blend
    for method in WHOLE:
        if method not in able:
            continue
        base, each = till.of(method, ground.off_van)
        cost, rest = base, {}
        for methods, count in some.items():
            if method in methods:
                cost += each * count
            else:
                rest[methods] = count
        if method == SET:
            unit.alone[part] = cost
        mended = cheapest(till, rest, booth=True, off_van=ground.off_van) if rest else NOTHING
        if mended is not None:
            ways.append((cost + mended[0], method, mended[2]))
    return ways


def _in_pieces(unit: _Unit, part: str, way: Priced) -> Priced:
    """The same work, its moulding priced as a piece of a set."""
    cost, method, chosen = way
    return cost - unit.alone[part] + unit.till.of_steps(unit.piece), method, chosen


def _made(unit: _Unit, part: str, way: Priced | None, as_set: bool = False) -> list[Doing]:
    """The work of one part, with its steps and minutes."""
    off_van = unit.parts[part].off_van
    return [
        _piece(unit, part, flaws) if as_set and method == SET else made(unit.till, method, part, flaws, off_van=off_van)
        for method, flaws in (by_method(way, unit.flaws[part]) if way else ())
    ]


def _piece(unit: _Unit, part: str, flaws: Sequence[Flaw]) -> Doing:
    wait, markers = unit.catalogue.method(SET).wait_minutes, tuple(flaw.id for flaw in flaws)
    return Doing(SET, (part,), markers, unit.piece, wait)


def _set(unit: _Unit, doings: Sequence[Doing], pieces: tuple[str, ...]) -> Doing:
    method = unit.catalogue.method(SET)
    strips = [one for one in doings if one.method == SET]
    once = split(method.batch.minutes_set if method.batch else 0, method)
    steps = tuple(
        (department, minutes + sum(one.steps[place][1] for one in strips), text)
        for place, (department, minutes, text) in enumerate(once)
    )
    markers = tuple(marker for one in strips for marker in one.markers)
    return Doing(method=SET, parts=pieces, markers=markers, steps=steps, wait_minutes=method.wait_minutes)


def _between(unit: _Unit, a: str, b: str) -> Doing:
    wait = unit.catalogue.method(BLEND).wait_minutes
    return Doing(BLEND, (a, b), (), unit.blend, wait)


def _booth(unit: _Unit) -> Doing:
    minutes = 0 if unit.prices else unit.booth_minutes
    step = ("paint", minutes, _("Load the booth, wipe down, purge and empty it."))
    return Doing(method="", parts=(), markers=(), steps=(step,), wait_minutes=0)


def _in_words(unit: _Unit, proposed: Way, other: Way, saves: Fraction | None) -> str:
    amount, less = (amount_words(one, unit.prices) for one in (proposed.cost, saves))
    if saves is None:
        return _("One booth visit, %(amount)s: %(why)s.", amount=amount, why=other.why_not)
    if proposed.booth:
        return _("One booth visit, %(amount)s: %(less)s less than without the booth.", amount=amount, less=less)
    return _("No booth visit, %(amount)s: %(less)s less than with one.", amount=amount, less=less)


def amount_words(cost: Fraction | None, prices: Prices | None) -> str:
    """Say a cost: minutes as time, money (`prices` given) as a figure, nothing where there is none."""
    if cost is None:
        return ""
    if prices is None:
        return minutes_words(round(cost))
    return figure(f"{round(cost) / 100:.2f}")
