"""What a plan holds of the hidden patterns, counted: the table of docs/half_year.md.

`python -m sample_units.half_year.patterns` prints it; tests/sample_units/test_half_year_plan.py holds the page to it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from sample_units.half_year import key
from sample_units.half_year.plan import Unit, plan

Pick = Callable[[Unit], bool]


@dataclass(frozen=True, kw_only=True)
class Count:
    """So many flaws on so many vans."""

    flaws: int
    vans: int

    @property
    def rate(self) -> float:
        """Flaws a van."""
        return self.flaws / self.vans


@dataclass(frozen=True, kw_only=True)
class Pattern:
    """One pattern: what is counted where it shows and where it does not, and the rates that were planned for both."""

    name: str
    where: str
    against: str
    shown: Count
    other: Count
    planned: float
    planned_other: float


def whole(units: Iterable[Unit]) -> list[Unit]:
    """The vans whose first walk lies in the 26 whole weeks."""
    return [unit for unit in units if 0 <= unit.walked < key.DAYS]


def count(units: Iterable[Unit], kinds: Sequence[str], origin: str | None = None) -> Count:
    """Count the flaws of some kinds found on first walks; `origin`: only those made there."""
    vans = list(units)
    found = [flaw for unit in vans for flaw in unit.flaws if flaw.on == "first" and flaw.kind in kinds]
    return Count(flaws=sum(origin in (None, flaw.origin) for flaw in found), vans=len(vans))


def _late_booth(unit: Unit) -> bool:
    return unit.booth == key.BOOTH and key.week(unit.painted) > key.BOOTH_AFTER


def _learning(unit: Unit) -> bool:
    return unit.inspector == key.NEW and key.NEW_FROM <= unit.week <= key.NEW_UNTIL


def counted(units: Iterable[Unit]) -> tuple[Pattern, ...]:
    """Count the patterns of rates in a plan; the drift is no rate: `drifted`."""
    vans = whole(units)
    taught = [unit for unit in vans if not _learning(unit)]
    monday = sum(key.MEANS[kind] for kind in key.MONDAY_KINDS)
    everything = tuple(kind for kind in key.MEANS if kind not in (*key.MONDAY_KINDS, "nib", "gap"))
    same = sum(key.MEANS[kind] for kind in everything)
    nib, chip = key.MEANS["nib"], key.MEANS[key.MOVED]

    def pattern(name: str, words: tuple[str, str], counts: tuple[Count, Count], means: tuple[float, float]) -> Pattern:
        return Pattern(
            name=name, where=words[0], against=words[1], shown=counts[0], other=counts[1],
            planned=means[0], planned_other=means[1],
        )  # fmt: skip

    def split(
        among: Sequence[Unit], pick: Pick, kinds: Sequence[str], origin: str | None = None
    ) -> tuple[Count, Count]:
        return (
            count([unit for unit in among if pick(unit)], kinds, origin),
            count([unit for unit in among if not pick(unit)], kinds, origin),
        )

    after = f"from week {key.MOVED_FROM_WEEK} on"
    return (
        pattern(
            "Booth 2", (f"nibs, painted there after week {key.BOOTH_AFTER}", "nibs, all other vans"),
            split(taught, _late_booth, ("nib",)), (nib * key.BOOTH_TIMES, nib),
        ),
        pattern(
            "New inspector", (f"her first walks in weeks {key.NEW_FROM} to {key.NEW_UNTIL}", "all other first walks"),
            split(vans, _learning, everything), (same * key.NEW_FINDS, same),
        ),
        pattern(
            "Mondays", ("swirls, residue, dirt: first walk on a Monday", "the same, other days"),
            split(taught, lambda unit: unit.walked % 5 == 0, key.MONDAY_KINDS), (monday * key.MONDAY_TIMES, monday),
        ),
        pattern(
            "Chips, Trim", (f"chips made in Trim, {after}", "before"),
            split(taught, lambda unit: unit.week >= key.MOVED_FROM_WEEK, (key.MOVED,), key.MOVED_BEFORE), (0.0, chip),
        ),
        pattern(
            "Chips, Doors", (f"chips made in Doors and fittings, {after}", "before"),
            split(taught, lambda unit: unit.week >= key.MOVED_FROM_WEEK, (key.MOVED,), key.MOVED_AFTER), (chip, 0.0),
        ),
    )  # fmt: skip


def drifted(units: Iterable[Unit], weeks: tuple[int, int]) -> tuple[int, int, float]:
    """The drifting gap in some weeks (both ends in): vans of the make, those marked, and how far off these are (mm)."""
    vans = [unit for unit in whole(units) if unit.make == key.DRIFTS and weeks[0] <= unit.week <= weeks[1]]
    off = [
        flaw.gap - 50 for unit in vans for flaw in unit.flaws
        if flaw.gap is not None and flaw.zone == key.DRIFT_ZONE and flaw.kind == "gap" and flaw.on == "first"
    ]  # fmt: skip
    return len(vans), len(off), sum(off) / len(off) / 10


BLOCKS = ((1, 6), (7, 12), (13, 18), (19, 26))


def table(units: Sequence[Unit]) -> list[str]:
    """The rows of the page's two tables."""
    rows = [
        f"| {one.name} | {one.where} | {one.planned:.2f} | {one.shown.rate:.2f} ({one.shown.flaws} on {one.shown.vans})"
        f" | {one.against} | {one.planned_other:.2f} | {one.other.rate:.2f} ({one.other.flaws} on {one.other.vans}) |"
        for one in counted(units)
    ]
    for first, last in BLOCKS:
        vans, marked, off = drifted(units, (first, last))
        rows.append(f"| {first} to {last} | {vans} | {marked} | {off:.2f} mm |")
    return rows


if __name__ == "__main__":
    print("\n".join(table(plan())))
