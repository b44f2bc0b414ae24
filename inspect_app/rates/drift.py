"""Whether what is measured drifts over time: a straight line through the readings, and how sure its slope is.

The slope is that of least squares, its interval that of Student's t on two degrees of freedom less than readings:
NIST/SEMATECH e-Handbook of Statistical Methods, chapter 4 (process modeling). It holds for readings that are taken one
independent of the other about a straight line.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum, sqrt
from statistics import fmean, linear_regression

LEAST_READINGS = 8
LEAST_WEEKS = 2.0  # between the first and the last


@dataclass(frozen=True, kw_only=True)
class Reading:
    """One measured width, in mm, `week` (with its fraction) weeks after some day."""

    week: float
    mm: float


@dataclass(frozen=True, kw_only=True)
class Drift:
    """A line through the readings: mm at the first and the last week, and mm a week from `low` to `high`."""

    n: int
    mean: float
    first: tuple[float, float]
    last: tuple[float, float]
    slope: float
    low: float
    high: float

    @property
    def is_seen(self) -> bool:
        """Whether no drift at all lies outside the interval."""
        return self.low > 0 or self.high < 0


def drift(readings: Sequence[Reading], *, confidence: float = 0.99) -> Drift | None:
    """Return the line through the readings; None for fewer than eight or for less than two weeks.

    Raises ValueError for a confidence that is none.
    """
    if not 0 < confidence < 1:
        raise ValueError(f"'confidence' must be between 0 and 1 (got {confidence})")
    n = len(readings)
    weeks = [one.week for one in readings]
    if n < LEAST_READINGS or max(weeks) - min(weeks) < LEAST_WEEKS:
        return None
    from scipy.special import stdtrit  # late: half the start-up of the program otherwise

    widths = [one.mm for one in readings]
    slope, start = linear_regression(weeks, widths)
    middle = fmean(weeks)
    spread = fsum((week - middle) ** 2 for week in weeks)
    rest = fsum((mm - start - slope * week) ** 2 for week, mm in zip(weeks, widths, strict=True))
    either = float(stdtrit(n - 2, (1 + confidence) / 2)) * sqrt(rest / (n - 2) / spread)
    first, last = ((week, start + slope * week) for week in (min(weeks), max(weeks)))
    return Drift(n=n, mean=fmean(widths), first=first, last=last, slope=slope, low=slope - either, high=slope + either)
