"""Taking turns: a floor and a subject measured one right after the other, so that the machine's noise meets both."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

Step = Callable[[int], object]
"""Does the work of one round, given the round's number; what is prepared beforehand is not timed."""


@dataclass(frozen=True, kw_only=True)
class Finding:
    """One claim as it was found. `most` is the claim's bound; without one the row is there to compare with."""

    claim: str
    found: float
    unit: str = "×"
    most: float | None = None

    @property
    def held(self) -> bool:
        """Whether the claim holds in this run, in the digits that are shown."""
        return self.most is None or round(self.found, 2) <= self.most


@dataclass(frozen=True, kw_only=True)
class Turns:
    """Seconds of each round."""

    floor: Sequence[float]
    subject: Sequence[float]

    @property
    def ratio(self) -> float:
        """Median of the subject over the median of the floor."""
        return statistics.median(self.subject) / statistics.median(self.floor)


def turns(floor: Step, subject: Step, *, rounds: int, warm: int = 1, swap: bool = True) -> Turns:
    """Run floor and subject in turns; with `swap` each is first every other time. `warm` rounds are not counted."""
    took: dict[Step, list[float]] = {floor: [], subject: []}
    for number in range(rounds + warm):
        for step in (floor, subject) if swap and number % 2 else (subject, floor):
            seconds = timed(step, number)
            if number >= warm:
                took[step].append(seconds)
    return Turns(floor=took[floor], subject=took[subject])


def timed(step: Step, number: int) -> float:
    """Seconds of one round; a step that returns a float has measured itself."""
    start = time.perf_counter()
    told = step(number)
    return told if isinstance(told, float) else time.perf_counter() - start


def p95(seconds: Sequence[float]) -> float:
    """The 95th percentile."""
    return sorted(seconds)[int(len(seconds) * 0.95)]
