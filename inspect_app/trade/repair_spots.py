"""What work costs, in whole numbers, and the cheapest way to mend the single spots of a part.

A method's set-up is charged once a part however many spots it mends there, so that methods are chosen together: all
sets of them are tried. Flaws that the same methods are open for are one case, which keeps that short.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from operator import itemgetter

from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.repair_order import Doing, Steps, step_minutes

WHOLE = ("refinish", "strip_refinish")  # methods that renew the film of a whole part
FILL = "dent_refinish"  # mends a spot, and lays base and clear over the whole part


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
Chain = tuple[int, Sequence[tuple[str, int, int, str]]]
Row = Sequence[tuple[int, int, int, str]]  # a bit for the method, its set-up, what a spot costs, and the method


class Till:
    """Costs as whole numbers: minutes, or with prices sixtieths of a cent, so that sums are exact and quick."""

    def __init__(self, catalogue: Catalogue, prices: Prices | None):
        self.catalogue = catalogue
        self._prices = prices
        self._share = 1 if prices is None else 60
        self._of: dict[tuple[str, bool], tuple[int, int]] = {}
        self._chain: dict[tuple[str, bool], Chain] = {}
        self._bits = {method: 1 << place for place, method in enumerate(sorted(catalogue.methods))}
        self._rows: dict[tuple[Methods, bool, bool], Row] = {}
        self._renewing: dict[Methods, Methods] = {}

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
            _wait, chain = self.chain(method, off_van)
            base = sum(self.priced(department, minutes) for department, minutes, _each, _text in chain)
            self._of[key] = base, sum(self.priced(department, each) for department, _base, each, _text in chain)
        return self._of[key]

    def chain(self, method: str, off_van: bool) -> Chain:
        """Return the steps of a method on a part, with minutes for set-up and spot; and its wait before them."""
        key = (method, off_van)
        if key not in self._chain:
            one = self.catalogue.method(method)
            steps = [
                (step.department, step_minutes(step, 0, off_van), step.minutes_spot, step.text) for step in one.chain
            ]
            self._chain[key] = one.wait_minutes, steps
        return self._chain[key]

    def renewing(self, methods: Methods) -> Methods:
        """Return those of some methods that renew the film of a whole part."""
        if methods not in self._renewing:
            self._renewing[methods] = tuple(method for method in methods if method in WHOLE)
        return self._renewing[methods]

    def begun(self, method: str, off_van: bool) -> tuple[int, int]:
        """Return the set of one method ("" for none), and what its set-up costs."""
        return (self._bits[method], self.of(method, off_van)[0]) if method else (0, 0)

    def row(self, methods: Methods, booth: bool, off_van: bool) -> Row:
        """Return those of some methods that mend a spot, without the booth or with it; the cheapest a spot first."""
        key = (methods, booth, off_van)
        if key not in self._rows:
            known = self.catalogue.method
            open_ones = [m for m in methods if m not in WHOLE and (booth or not known(m).booth)]
            row = [(self._bits[one], *self.of(one, off_van), one) for one in open_ones]
            self._rows[key] = sorted(row, key=itemgetter(2))
        return self._rows[key]


Cases = Mapping[Methods, int]
"""The flaws of one part as a plan sees them: how many spots there are for which the same methods are open."""

Priced = tuple[int, str, Mapping[Methods, str]]
"""What a way to put a part right costs, the method that renews its film ("" for none), and one for each other case."""


def cases(flaws: Iterable[Flaw]) -> dict[Methods, int]:
    """Return the cases of some flaws, in the order in which they come."""
    counts: dict[Methods, int] = {}
    for flaw in flaws:
        methods = flaw.methods
        counts[methods] = counts[methods] + flaw.count if methods in counts else flaw.count
    return counts


def cheapest(till: Till, some: Cases, *, booth: bool, off_van: bool) -> Priced | None:
    """Return the cheapest way to mend the spots of a part, or None when some flaw cannot be mended so.

    Where one is filled the part gets a new film, and nothing is mended under it that a refinish would take along.
    """
    if not booth or not any(FILL in methods for methods in some) or not any(map(till.renewing, some)):
        return _spots(till, some, booth=booth, off_van=off_van)
    ways = [_spots(till, some, booth=True, off_van=off_van, without=FILL), _filled(till, some, off_van=off_van)]
    return min((way for way in ways if way is not None), key=itemgetter(0), default=None)


def _filled(till: Till, some: Cases, *, off_van: bool) -> Priced | None:
    """The cheapest way in which at least one flaw is filled; None where none is, or another cannot be mended so."""
    under = {methods: count for methods, count in some.items() if till.renewing(methods)}
    rest = {methods: count for methods, count in some.items() if methods not in under}
    way = _spots(till, rest, booth=True, off_van=off_van, begun=FILL)
    if way is None:
        return None
    cost, _whole, chosen = way
    chosen = {**chosen, **dict.fromkeys(under, FILL)}
    if not any(one == FILL and FILL in methods for methods, one in chosen.items()):
        return None
    return cost + till.of(FILL, off_van)[1] * sum(under.values()), "", chosen


def _spots(till: Till, some: Cases, *, booth: bool, off_van: bool, without: str = "", begun: str = "") -> Priced | None:
    """The cheapest way to mend each case by one of its own methods, `without` one of them or with one `begun`."""
    rows = []
    for methods in some:
        row = [one for one in till.row(methods, booth, off_van) if one[3] != without]
        if not row:
            return None
        rows.append(row)
    cost, picked = _best(rows, some.values(), *till.begun(begun, off_van))
    chosen = zip(some, rows, strict=True)
    return cost, "", {methods: next(one for bit, _, _, one in row if picked & bit) for methods, row in chosen}


def _best(rows: Iterable[Row], counts: Iterable[int], begun: int = 0, paid: int = 0) -> tuple[int, int]:
    """Return the least sum of all cases, and the set of methods that comes to it; `begun` methods are `paid` already.

    Case by case, every set that can be reached is kept with the least that leads there; what is set up already is the
    last that is tried, for what follows in the row costs more a spot. Of equal sums the smallest set as a number is
    taken, that is by the names of its methods.
    """
    reached = {begun: paid}
    for row, count in zip(rows, counts, strict=True):
        following: dict[int, int] = {}
        for picked, cost in reached.items():
            for bit, base, each, _method in row:
                known = picked & bit
                total = cost + each * count if known else cost + base + each * count
                now = picked | bit
                if now not in following or total < following[now]:
                    following[now] = total
                if known:
                    break
        reached = following
    least = min(reached.values())
    return least, min([picked for picked, cost in reached.items() if cost == least])


def by_method(way: Priced, flaws: Iterable[Flaw]) -> Iterable[tuple[str, list[Flaw]]]:
    """Return the methods of a way with the flaws that each puts right, what renews the film first."""
    _cost, whole, chosen = way
    work: dict[str, list[Flaw]] = {whole: []} if whole else {}
    for flaw in flaws:
        methods = flaw.methods
        work.setdefault(whole if whole in methods else chosen[methods], []).append(flaw)
    return work.items()


def made(till: Till, method: str, part: str, flaws: Sequence[Flaw], *, off_van: bool) -> Doing:
    """Return one method on one part for these flaws."""
    spots = sum([flaw.count for flaw in flaws])
    wait, chain = till.chain(method, off_van)
    steps = tuple([(department, base + each * spots, text) for department, base, each, text in chain])
    return Doing(method, (part,), tuple([flaw.id for flaw in flaws]), steps, wait)
