"""What work costs, in whole numbers, and the cheapest way to mend the single spots of a part.

A method's set-up is charged once a part however many spots it mends there, so that methods are chosen together: all
sets of them are tried. Flaws that the same methods are open for are one case, which keeps that short.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.repair_order import Doing, Steps, doing, step_minutes

WHOLE = ("refinish", "strip_refinish")  # methods that renew the film of a whole part


@dataclass(frozen=True, kw_only=True)
class Flaw:
    """One marker to put right: on which part, by any of its open methods (see selectors.py), for how many spots."""

    id: str
    part: str
    methods: tuple[str, ...]
    count: int = 1


@dataclass(frozen=True, kw_only=True)
class Prices:
    """Counts in money instead of minutes: cents an hour by department ("" for all others), cents a booth visit."""

    per_hour: Mapping[str, int]
    booth_visit: int

    def hour(self, department: str) -> int:
        """Return what an hour of a department costs."""
        return self.per_hour.get(department, self.per_hour.get("", 0))


Methods = tuple[str, ...]


class Till:
    """Costs as whole numbers: minutes, or with prices sixtieths of a cent, so that sums are exact and quick."""

    def __init__(self, catalogue: Catalogue, prices: Prices | None):
        self.catalogue = catalogue
        self._prices = prices
        self._share = 1 if prices is None else 60
        self._of: dict[tuple[str, bool], tuple[int, int]] = {}
        self._open: dict[tuple[Methods, bool], Methods] = {}
        self._renewing: dict[Methods, Methods] = {}
        self._ranked: dict[tuple[Methods, bool], Sequence[tuple[int, str]]] = {}

    def told(self, cost: int) -> Fraction:
        """Return a cost in minutes, or in cents."""
        return Fraction(cost, self._share)

    @property
    def visit(self) -> int:
        """What one visit to the booth costs beside its minutes."""
        return 0 if self._prices is None else self._prices.booth_visit * self._share

    def priced(self, department: str, minutes: int) -> int:
        """Return what minutes of a department cost."""
        if self._prices is None:
            return minutes
        return minutes * self._prices.hour(department)

    def sum(self, doings: Iterable[Doing]) -> int:
        """Return what all steps of some doings cost."""
        return sum(self.of_steps(one.steps) for one in doings)

    def of_steps(self, steps: Steps) -> int:
        """Return what some steps cost."""
        if self._prices is None:
            return sum(minutes for _department, minutes, _text in steps)
        return sum(self.priced(department, minutes) for department, minutes, _text in steps)

    def of(self, method: str, off_van: bool) -> tuple[int, int]:
        """Return what a method costs on a part, for its set-up and for each spot."""
        key = (method, off_van)
        if key not in self._of:
            chain = self.catalogue.method(method).chain
            base = sum(self.priced(step.department, step_minutes(step, 0, off_van)) for step in chain)
            self._of[key] = base, sum(self.priced(step.department, step.minutes_spot) for step in chain)
        return self._of[key]

    def renewing(self, methods: Methods) -> Methods:
        """Return those of some methods that renew the film of a whole part."""
        if methods not in self._renewing:
            self._renewing[methods] = tuple(method for method in methods if method in WHOLE)
        return self._renewing[methods]

    def ranked(self, methods: Methods, off_van: bool) -> Sequence[tuple[int, str]]:
        """Return some methods by what each spot costs, the cheapest first, with that cost."""
        key = (methods, off_van)
        if key not in self._ranked:
            self._ranked[key] = sorted([(self.of(one, off_van)[1], one) for one in methods], key=lambda one: one[0])
        return self._ranked[key]

    def spots(self, methods: Methods, booth: bool) -> Methods:
        """Return those of some methods that mend a spot, without the booth or with it."""
        key = (methods, booth)
        if key not in self._open:
            known = self.catalogue.method
            self._open[key] = tuple(m for m in methods if m not in WHOLE and (booth or not known(m).booth))
        return self._open[key]


Priced = tuple[int, list[tuple[str, list[Flaw]]]]
"""Methods of one part, each with the flaws it mends; and before them what that costs."""


def cheapest(till: Till, part: str, flaws: Sequence[Flaw], *, booth: bool, off_van: bool) -> Priced | None:
    """Return the cheapest way to mend the spots of a part, or None when some flaw cannot be mended so."""
    counts: dict[Methods, int] = {}
    for flaw in flaws:
        methods = flaw.methods
        counts[methods] = counts[methods] + flaw.count if methods in counts else flaw.count
    cases = []
    for methods, count in counts.items():
        those = till.spots(methods, booth)
        if not those:
            return None
        cases.append((those, methods, count))
    cost, chosen = _best(till, cases, off_van)
    by_method: dict[str, list[Flaw]] = {}
    for flaw in flaws:
        by_method.setdefault(chosen[flaw.methods], []).append(flaw)
    return cost, list(by_method.items())


def _best(till: Till, cases: Sequence[tuple[Methods, Methods, int]], off_van: bool) -> tuple[int, dict[Methods, str]]:
    """Choose a method for each case (its spot methods, all its methods, its spots), the sum of all being the least."""
    named = {method for those, _methods, _count in cases for method in those}
    forced = {those[0] for those, _methods, _count in cases if len(those) == 1}
    order = [*sorted(named - forced), *forced]
    bits = {method: 1 << place for place, method in enumerate(order)}
    bases = [0]  # of every set of methods
    for method in order:
        base, _each = till.of(method, off_van)
        bases += [one + base for one in bases]
    # What each spot costs grows from left to right: the first one that is picked is the one to take.
    ranked = [
        [(bits[method], each * count, method) for each, method in till.ranked(those, off_van)]
        for those, _methods, count in cases
    ]
    always = sum([bits[method] for method in forced])
    least, chosen = -1, 0
    for picks in range(always, always + (1 << (len(order) - len(forced)))):
        cost = bases[picks]  # a set with a method too many costs more than the one without it, and is not the least
        if 0 <= least <= cost:
            continue
        for those in ranked:
            for bit, spots, _method in those:
                if picks & bit:
                    cost += spots
                    break
            else:
                break
        else:
            if least < 0 or cost < least:
                least, chosen = cost, picks
    taken = [next(method for bit, _spots, method in those if chosen & bit) for those in ranked]
    return max(least, 0), {methods: one for (_those, methods, _count), one in zip(cases, taken, strict=True)}


def cost_of(till: Till, method: str, flaws: Sequence[Flaw], *, off_van: bool) -> int:
    """Return what one method costs on one part for these flaws."""
    base, each = till.of(method, off_van)
    return base + each * sum([flaw.count for flaw in flaws])


def made(till: Till, method: str, part: str, flaws: Sequence[Flaw], *, off_van: bool) -> Doing:
    """Return one method on one part for these flaws."""
    spots = sum([flaw.count for flaw in flaws])
    return doing(till.catalogue.method(method), [part], [flaw.id for flaw in flaws], spots, off_van=off_van)
